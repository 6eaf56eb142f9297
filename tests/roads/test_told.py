"""Findings on measured roads that the tables of an operation carry."""

import pytest

from routing.finding import Finding
from routing.inputs.operation import Distance
from routing.inputs.ways import ClosedPlace, RoadSign
from routing.roads.check import road_findings
from routing.roads.join import OnTheWay
from routing.roads.measured import Meeting, OffRoad, Way
from routing.roads.meeting_check import measuring_findings
from routing.roads.on_way import Passing
from routing.roads.roads import road_table
from routing.roads.sign import Sign
from routing.roads.told import sign_findings, told_findings

ROW = Distance(origin="Home", destination="Hill", miles=16.0, minutes=25.0, basis="road graph of x.osm.pbf (0123)")
SIGN = RoadSign(
    origin="Home", destination="Hill", kind="ferry", text="route=ferry", road="Old Ferry", latitude_deg=44.1, longitude_deg=-90.1
)


def by_check(found: "tuple[Finding, ...]") -> "dict[str, Finding]":
    return {one.check: one for one in found}


def test_the_limits_obeyed_are_named_and_nothing_is_called_legal(land) -> None:
    (found,) = told_findings(land.model_copy(update={"distances": (ROW,)}))
    assert found.status == "unknown"
    assert found.note.startswith("posted limits of height, weight, axle weight, length, width and no trucks were obeyed as")
    assert "no permit" in found.note
    assert "legal" not in found.model_dump_json()


def test_a_source_without_limits_says_so(land) -> None:
    row = ROW.model_copy(update={"basis": "road server 127.0.0.1:5000, no posted limits"})
    (found,) = told_findings(land.model_copy(update={"distances": (row,)}))
    assert found.note.startswith("the source of these ways knows no posted limits")


def test_own_rows_alone_have_nothing_to_tell(land) -> None:
    assert told_findings(land.model_copy(update={"distances": (ROW.model_copy(update={"basis": ""}),)})) == ()


def test_a_closed_place_is_told_by_name(land) -> None:
    closed = ClosedPlace(truck="Semi", place="Hill", why="bridge of 11 ft")
    (found,) = told_findings(land.model_copy(update={"closed_places": (closed,)}))
    assert (found.subject, found.status) == ("Semi to Hill", "unknown")
    assert found.note.startswith("bridge of 11 ft.")


def test_one_sign_on_several_ways_is_one_finding_with_its_place(land) -> None:
    ways = [SIGN.model_copy(update={"destination": name}) for name in ("Hill", "Marsh")]
    (found,) = sign_findings(land, ways)
    assert "Old Ferry at 44.10000, -90.10000: a ferry: ask for its hours" in found.note
    assert found.note.endswith("Home to Hill; Home to Marsh")


def test_places_that_no_measured_way_reaches_are_named_among_those_estimated(land) -> None:
    operation = land.model_copy(update={"distances": (ROW,)})
    found = by_check(road_findings(operation, road_table(operation)))["road miles known"]
    assert "4 of 6 ways are estimated" in found.note
    assert "Not measured: Marsh." in found.note
    plain = by_check(road_findings(land, road_table(land)))["road miles known"]
    assert "Not measured" not in plain.note


def test_two_rows_for_different_trucks_do_not_disagree(land) -> None:
    rows = (ROW, ROW.model_copy(update={"trucks": "Semi", "miles": 20.0}))
    operation = land.model_copy(update={"distances": rows})
    assert "one row for one way" not in by_check(road_findings(operation, road_table(operation)))


@pytest.mark.parametrize(("feet", "status"), [(999.9, "ok"), (1000.0, "ok"), (1000.1, "broken")])
def test_a_place_far_from_its_road_is_told_with_what_it_meets(land, measured, feet: float, status: str) -> None:
    met = measured({"Home Hill": (16.0, 25.0)}, off={"Hill": Meeting(feet, 44.2, -90.1, road="Lane", remarks=("track",))})
    found = {one.subject: one for one in measuring_findings(land, OnTheWay(met, (), ())) if one.check == "feet from the road"}
    assert found["Hill"].status == status
    assert "meets Lane, track, at 44.20000, -90.10000" in found["Hill"].note


def test_places_off_the_road_and_missing_ways_are_told_by_name(land, measured) -> None:
    met = measured({"Home Hill": (16.0, 25.0)}, off={"Marsh": OffRoad("no road near")})
    found = measuring_findings(land, OnTheWay(met, (), ()))
    told = {(one.check, one.subject): one for one in found}
    assert told["place on a road", "Marsh"].status == "unknown"
    assert "no road near" in told["place on a road", "Marsh"].note
    assert "none for Old blue to Home" in told["way by road", "from Hill"].note
    assert ("way by road", "from Home") not in told


def test_a_sign_that_makes_a_way_longer_is_told_with_the_miles(land, measured) -> None:
    met = measured({"Home Hill": (21.0, 30.0)}, height_in=160.0)
    free = met.__class__(**{**met.__dict__, "freely": {("Home", "Hill"): Way(16.0, 25.0)}})
    bridge = Sign(kind="height", key="maxheight", value="12-6", heard=True, road="Mill Road", line=((44.1, -90.0),))
    (found,) = [one for one in measuring_findings(land, OnTheWay(free, (), (Passing(bridge, (("Home", "Hill"),)),)))
                if one.check == "sign that is gone round"]  # fmt: skip
    assert (found.measured, found.limit) == (21.0, 16.0)
    assert "Mill Road at 44.10000, -90.00000: Home to Hill is 5.0 mi longer" in found.note


@pytest.mark.parametrize(("feet", "told"), [(329.9, False), (330.1, True)])
def test_a_place_whose_ways_begin_on_another_road_is_told(land, measured, feet: float, told: bool) -> None:
    # Each place meets its nearest road 30 ft away.
    plain = measured({"Home Hill": (16.0, 25.0)})
    way = Way(16.0, 25.0, "", (30.0, feet))
    met = plain.__class__(**{**plain.__dict__, "ways": {("Home", "Hill"): way}})
    found = [one for one in measuring_findings(land, OnTheWay(met, (), ())) if one.check == "nearest road leads on"]
    assert [one.subject for one in found] == (["Hill"] if told else [])
