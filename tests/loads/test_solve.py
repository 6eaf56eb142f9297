"""From a night's stops to its loads."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation, tiny_plan
from routing.inputs.operation import Temperature
from routing.inputs.rigging import Carried, RoadLimit
from routing.loads.deck import batches
from routing.loads.order import Ride
from routing.loads.solve import loaded_stretches, plan_load, plan_loads, room_to_fill
from routing.loads.vehicle import rig_of, vehicle

OPERATION = tiny_operation()
APRIL, MAY, JUNE = tiny_plan().truck_nights


def broken(load):
    return [one.check for one in load.findings if one.status == "broken"]


def test_the_tiny_plan_has_three_loads_with_nothing_broken():
    loads = plan_loads(OPERATION, (APRIL, MAY, JUNE))
    assert [load.hives for load in loads] == [16, 22, 22]
    assert [broken(load) for load in loads] == [[], [], []]
    assert [load.number for load in loads] == [1, 1, 1]


def test_every_hive_of_every_lot_has_a_place():
    (load,) = plan_loads(OPERATION, (MAY,))
    hives = {lot: sum(one.hives for one in load.placements if one.lot == lot) for lot in ("A", "B")}
    assert hives == {"A": 6, "B": 16}
    assert sorted(one.label for one in load.placements if one.lot == "B") == ["B1", "B2", "B3", "B4"]


def test_weights_are_told_after_each_stop_with_something_on_the_deck():
    (load,) = plan_loads(OPERATION, (JUNE,))
    assert [(state.after_stop, state.hives_on_deck) for state in load.states] == [(1, 22), (2, 6)]
    # 5,400 + 6,400 + 200 for a helper + 4 x (42 + 4 x 120) for the pallets, and six loose hives.
    loose_lb = sum(one.weight_high_lb for one in load.placements if one.group == "L1")
    assert load.states[0].gross_high_lb == pytest.approx(12000 + 4 * 522 + loose_lb)
    assert load.states[1].gross_high_lb == pytest.approx(12000 + loose_lb)


def test_a_load_ends_when_the_deck_is_empty_even_at_a_stop_that_loads_again():
    first, second, third, last = MAY.stops[1:5]
    # Stop 2 sets down all that came from stop 1 and takes up lot B for stop 3.
    (lot_a,), (lot_b,) = first.picked_up, second.picked_up
    night = MAY.model_copy(
        update={
            "stops": (
                MAY.stops[0],
                first,
                second.model_copy(update={"set_down": (lot_a,)}),
                third.model_copy(update={"set_down": (lot_b,)}),
                last,
            )
        }
    )
    assert loaded_stretches(night) == ((1, 2), (2, 3))
    loads = plan_loads(OPERATION, (night,))
    assert [{one.lot for one in load.placements} for load in loads] == [{"A"}, {"B"}]


def test_the_last_pallet_of_a_lot_may_carry_fewer_hives():
    (lot,) = APRIL.stops[1].picked_up
    ten = lot.model_copy(update={"hives": 10, "pallets": 3})
    stops = (
        APRIL.stops[1].model_copy(update={"picked_up": (ten,)}),
        APRIL.stops[2].model_copy(update={"set_down": (ten,)}),
    )
    full, rest = batches(OPERATION, stops)
    assert (full.number, full.hives_each, rest.number, rest.hives_each) == (2, 4, 1, 2)
    assert rest.high_lb == 42 + 2 * 120
    assert full.ride == Ride(1, 2)


def test_what_finds_no_place_is_a_finding():
    (lot,) = APRIL.stops[1].picked_up
    many = lot.model_copy(update={"hives": 56, "pallets": 14})
    stops = (
        APRIL.stops[1].model_copy(update={"picked_up": (many,)}),
        APRIL.stops[2].model_copy(update={"set_down": (many,)}),
    )
    night = APRIL.model_copy(update={"stops": stops})
    load = plan_load(OPERATION, night, number=1, first_stop=1, last_stop=2)
    found = load.findings[0]
    # 240 / 37 = 6 rows of two: twelve places.
    assert (found.check, found.status, found.measured) == ("units without a place on the deck", "broken", 2.0)
    assert len(load.placements) == 12


def test_a_warm_evening_is_taken_from_the_table_of_temperatures():
    warm = Temperature(
        place="Home yard", night=dt.date(2027, 4, 24), sunset_f=64.0, low_f=40.0, sunrise_f=45.0
    )
    operation = OPERATION.model_copy(update={"temperatures": (warm,)})
    (load,) = plan_loads(operation, (APRIL,))
    air = next(one for one in load.findings if one.check == "air for closed hives of H1")
    assert air.status == "unknown"
    assert air.note.startswith("64 F: screen the entrances")


def test_hives_not_strapped_today_are_not_said_to_be_strapped():
    (load,) = plan_loads(OPERATION, (MAY,))
    found = next(one for one in load.findings if one.check == "hives of L1 strapped")
    assert found.status == "unknown"


def test_an_empty_stretch_is_refused():
    with pytest.raises(ValueError, match="nothing is picked up"):
        plan_load(OPERATION, APRIL, number=1, first_stop=2, last_stop=3)


def test_the_same_night_gets_the_same_loads():
    assert plan_loads(OPERATION, (MAY,)) == plan_loads(OPERATION, (MAY,))


def test_a_listed_height_keeps_the_deck_plan_low():
    thaw = RoadLimit(where="Low bridge", kind="height", value=40.0 + 2 * 24.0, source="invented", places="Late blueberries")
    (load,) = plan_loads(OPERATION.model_copy(update={"road_limits": (thaw,)}), (MAY,))
    told = next(one for one in load.findings if one.check == "height, Low bridge")
    assert told.measured == load.top_of_load_in
    assert told.status == "ok"


def test_a_listed_limit_of_other_places_is_not_asked():
    thaw = RoadLimit(where="Low bridge", kind="height", value=61.0, source="invented", places="Early cherries")
    (load,) = plan_loads(OPERATION.model_copy(update={"road_limits": (thaw,)}), (JUNE,))
    assert not any("Low bridge" in one.check for one in load.findings)


def test_hives_and_empty_gear_share_a_deck():
    gear = Carried(truck="Old blue", what="empty pallets", weight_lb=300.0, deck_length_in=60.0, behind_in=270.0)
    (load,) = plan_loads(OPERATION.model_copy(update={"carried": (gear,)}), (MAY,))
    found = next(one for one in load.findings if one.check == "length of the load on the deck")
    # 240 in of deck, 60 of them for the pallets.
    assert (found.status, found.limit) == ("ok", 180.0)
    assert max(unit.front_in + unit.length_in for unit in load.placements) <= 180.0
    assert "Keep the last 60 in of the deck for empty pallets: strap it down by itself." in load.to_do


def test_lifting_gear_behind_the_deck_weighs_where_the_deck_ends():
    rig = rig_of(OPERATION, "Old blue")
    lift = {"lifting": "forklift", "lifting_weight_lb": 4000.0, "lifting_mount": "rear overhang"}
    rig = rig.model_copy(update={"truck": rig.truck.model_copy(update=lift), "carried": (
        Carried(truck="Old blue", what="empty pallets", weight_lb=0.0, deck_length_in=60.0, behind_in=270.0),
    )})  # fmt: skip
    assert vehicle(room_to_fill(rig)).empty_lb == vehicle(rig).empty_lb
