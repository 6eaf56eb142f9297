"""What a truck is for the road: its worst on any night."""

import pytest

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.loads.capacity import tiers_that_fit, unit
from routing.roads.vehicle import road_vehicles, vehicle_findings


def changed(operation: Operation, **columns: object) -> Operation:
    return operation.model_copy(update={"trucks": tuple(one.model_copy(update=columns) for one in operation.trucks)})


def test_it_weighs_what_it_may_weigh_at_most() -> None:
    (blue,) = road_vehicles(tiny_operation())
    assert blue.gross_lb == 5400 + 6400 + 12000  # empty and payload, less than its rating of 25,900
    (light,) = road_vehicles(changed(tiny_operation(), gross_rating_lb=20000.0))
    assert light.gross_lb == 20000.0


def test_its_heaviest_axle_counts_by_its_rating_and_a_tandem_by_its_share() -> None:
    goldfinch, mabel, semi = road_vehicles(demo_operation())
    assert (goldfinch.axle_lb, goldfinch.tandem_lb) == (9600.0, 10400.0)
    assert (mabel.axle_lb, mabel.tandem_lb) == (18500.0, 0.0)
    assert (semi.axle_lb, semi.tandem_lb) == (max(12000.0, semi.tandem_lb / 2), 38000.0)


def test_it_is_as_high_as_the_load_that_the_deck_planner_may_stack() -> None:
    operation = changed(tiny_operation(), most_tiers=3, deck_height_in=60.0, cab_height_in=100.0)
    truck = operation.trucks[0]
    highest = max(
        tiers_that_fit(truck, unit(operation, one).height_in) * unit(operation, one).height_in
        for one in operation.hive_groups if one.may_travel
    )  # fmt: skip
    assert road_vehicles(operation)[0].height_in == pytest.approx(60.0 + highest)


CABS = [("pickup", 84.0), ("pickup with trailer", 84.0), ("straight truck", 126.0), ("semi", 162.0)]


@pytest.mark.parametrize(("kind", "inches"), CABS)
def test_an_unmeasured_cab_is_taken_for_a_usual_one_and_told(kind: str, inches: float) -> None:
    (one,) = road_vehicles(changed(tiny_operation(), vehicle_class=kind))
    assert one.height_in == inches
    assert [finding.check for finding in vehicle_findings(one)] == ["height on the road", "length on the road"]
    assert all(finding.status == "unknown" for finding in vehicle_findings(one))


def test_a_truck_measured_in_full_has_nothing_to_tell() -> None:
    (one,) = road_vehicles(changed(tiny_operation(), cab_height_in=108.0, overall_length_in=336.0))
    assert (one.height_in, one.length_in) == (108.0, 336.0)
    assert vehicle_findings(one) == ()


def test_an_unmeasured_length_reaches_past_bumper_deck_and_carried_forklift() -> None:
    # Deck from 60 to 300 in behind the steer axle, 48 in ahead of it, a forklift of 96 in behind.
    assert road_vehicles(tiny_operation())[0].length_in == 48 + 300
    assert road_vehicles(changed(tiny_operation(), lifting_mount="rear overhang"))[0].length_in == 48 + 300 + 96


def test_a_truck_without_axle_groups_counts_with_the_federal_axle_and_says_so() -> None:
    operation = tiny_operation().model_copy(update={"axle_groups": ()})
    (one,) = road_vehicles(operation)
    assert (one.axle_lb, one.gross_lb, one.axles) == (20000.0, 25900.0, 2)
    assert "axle weight on the road" in [finding.check for finding in vehicle_findings(one)]


def test_trucks_alike_are_one_vehicle() -> None:
    tiny = tiny_operation().model_copy(update={"axle_groups": ()})
    twin = tiny.model_copy(update={"trucks": (*tiny.trucks, tiny.trucks[0].model_copy(update={"name": "Old red"}))})
    (one,) = road_vehicles(twin)
    assert one.trucks == ("Old blue", "Old red")
    assert one.name == "Old blue and Old red"
