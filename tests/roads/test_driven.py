"""What truck-nights meet on measured ways, and what a driver's sheet says of it."""

import pytest

from fixtures.tiny import tiny_plan
from routing.inputs.operation import Distance
from routing.inputs.ways import ClosedPlace, RoadSign
from routing.plan_record import Plan
from routing.roads.driven import driven_findings, is_measured_way, signs_on_leg
from routing.roads.told import driver_words
from routing.sheets.drop_sheet import drop_sheets

NIGHT = tiny_plan().truck_nights[0]
LEG = (NIGHT.stops[1].place, NIGHT.stops[2].place)
"""From the yard where the truck loads, which is its base, to the first orchard."""


def sign(**columns: object) -> RoadSign:
    usual = {"origin": LEG[0], "destination": LEG[1], "kind": "rated weight", "text": "maxweightrating=10 st",
             "road": "Ridge Road", "latitude_deg": 43.8, "longitude_deg": -86.2}  # fmt: skip
    return RoadSign.model_validate({**usual, **columns})


def plan(**tables: object) -> Plan:
    made = tiny_plan()
    return made.model_copy(update={"operation": made.operation.model_copy(update=tables)})


@pytest.mark.parametrize(("columns", "met"), [
    ({}, True), ({"trucks": "Old blue"}, True), ({"trucks": "Hired semi, Old blue"}, True),
    ({"origin": "", "destination": ""}, True),
    ({"trucks": "Hired semi"}, False), ({"origin": LEG[1], "destination": "Far yard"}, False),
])  # fmt: skip
def test_only_signs_on_legs_that_the_truck_drives_are_told(columns: "dict[str, object]", met: bool) -> None:
    one = plan(road_signs=(sign(**columns),))
    assert len(driven_findings(one.operation, one.truck_nights)) == met


def test_a_sign_that_keeps_the_truck_out_is_broken_with_its_figures() -> None:
    one = plan(road_signs=(sign(kept_out=True, trucks="Old blue"),))
    (found,) = driven_findings(one.operation, one.truck_nights)
    assert (found.status, found.measured, found.limit, found.margin, found.unit) == ("broken", 25900.0, 20000.0, -5900.0, "lb")
    assert "Ridge Road at 43.80000, -86.20000" in found.note
    (asked,) = driven_findings(plan(road_signs=(sign(),)).operation, one.truck_nights)
    assert asked.status == "unknown"


def test_a_stop_at_a_place_closed_to_the_truck_is_broken() -> None:
    one = plan(closed_places=(ClosedPlace(truck="Old blue", place=LEG[1], why="bridge of 8 ft, own tape"),))
    found = driven_findings(one.operation, one.truck_nights)
    assert {(each.status, each.note) for each in found} == {("broken", "bridge of 8 ft, own tape")}
    assert found[0].subject == f"{NIGHT.id}, stop 2 {LEG[1]}"
    other = plan(closed_places=(ClosedPlace(truck="Old red", place=LEG[1], why="bridge"),))
    assert driven_findings(other.operation, other.truck_nights) == ()


def test_the_driver_reads_the_signs_at_the_stop_before_the_way() -> None:
    sheet = drop_sheets(plan(road_signs=(sign(),)))[0]
    assert sheet.stops[1].checks[-1] == f"On the way to {LEG[1]} look at the signs: rated weight 10 st on Ridge Road"
    assert not any("look at the signs" in line for line in sheet.stops[2].checks)
    assert signs_on_leg(plan().operation, "Old blue", LEG) == ()


@pytest.mark.parametrize(("columns", "words"), [
    ({}, "rated weight 10 st on Ridge Road"), ({"kind": "ferry", "text": "route=ferry", "road": "Old Ferry"}, "ferry Old Ferry"),
    ({"kind": "at times", "text": "maxweight:conditional=5 st @ (Mar-Apr)"}, "weight at times 5 st @ (Mar-Apr) on Ridge Road"),
    ({"kind": "at times", "text": "access:conditional=no @ snow"}, "access at times no @ snow on Ridge Road"),
    ({"kind": "height", "text": "maxheight=low", "road": ""}, "height low on a road without a name"),
])  # fmt: skip
def test_a_driver_reads_words_and_not_the_maps_tags(columns: "dict[str, object]", words: str) -> None:
    assert driver_words(sign(**columns)) == words


def test_a_measured_way_says_so_on_the_sheet_and_the_users_own_does_not() -> None:
    row = next(one for one in tiny_plan().operation.distances if {one.origin, one.destination} == set(LEG))
    measured = row.model_copy(update={"basis": "road graph of x.osm.pbf (0123)"})
    one = plan(distances=(measured,))
    assert is_measured_way(one.operation, LEG)
    assert drop_sheets(one)[0].stops[2].way_words.endswith(", measured on a road map")
    assert not is_measured_way(plan(distances=(row,)).operation, LEG)
    assert not drop_sheets(plan())[0].stops[2].way_words.endswith("map")
    assert isinstance(measured, Distance)
