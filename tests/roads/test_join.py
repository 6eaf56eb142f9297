"""Measured ways among the operation's tables: one row for every truck, own rows first, places closed by name."""

import pytest

from routing.inputs.cross_check import cross_check
from routing.inputs.operation import Distance
from routing.inputs.ways import ClosedPlace
from routing.roads.closed import closed_places
from routing.roads.join import MANY_WAYS, OnTheWay, distance_rows, sign_rows, with_roads
from routing.roads.measured import OffRoad, gate_to_gate
from routing.roads.on_way import Passing
from routing.roads.roads import road_table
from routing.roads.sign import Sign

ALL = {"Home Hill": (16.0, 25.0), "Hill Home": (16.0, 25.0), "Home Marsh": (28.0, 40.0), "Marsh Home": (28.0, 40.0),
       "Hill Marsh": (24.0, 36.0), "Marsh Hill": (24.0, 36.0)}  # fmt: skip
BRIDGE = Sign(kind="height", key="maxheight", value="12-6", heard=True, road="Mill Road", line=((44.05, -90.2), (44.06, -90.2)))
RATED = Sign(
    kind="rated weight", key="maxweightrating", value="10 st", heard=False, road="Ridge Road", line=((44.1, -90.1), (44.2, -90.1))
)


def test_the_same_both_ways_is_one_row_and_a_longer_way_back_is_two(land, measured) -> None:
    rows = distance_rows(land, [measured({**ALL, "Marsh Home": (31.0, 44.0)}, "Old blue")])
    assert [(row.origin, row.destination, row.miles, row.both_ways) for row in rows] == [
        ("Home", "Hill", 16.0, True), ("Home", "Marsh", 28.0, False), ("Marsh", "Home", 31.0, False),
        ("Hill", "Marsh", 24.0, True),
    ]  # fmt: skip
    assert {(row.trucks, row.basis) for row in rows} == {("", "road graph of x.osm.pbf (0123); for Old blue")}


def test_the_row_for_every_truck_has_the_most_that_any_needs_and_a_quicker_truck_its_own(land, measured) -> None:
    blue = measured(ALL, "Old blue")
    semi = measured({**ALL, "Home Hill": (21.0, 24.0), "Hill Home": (21.0, 24.0)}, "Semi", vehicle_class="semi")
    rows = [row for row in distance_rows(land, [blue, semi]) if (row.origin, row.destination) == ("Home", "Hill")]
    figures = [(row.trucks, row.miles, row.minutes) for row in rows]
    assert figures == [("", 21.0, 25.0), ("Old blue", 16.0, 25.0), ("Semi", 21.0, 24.0)]
    assert [row.basis.partition("; ")[2] for row in rows] == ["the most of Old blue, Semi", "for Old blue", "for Semi"]
    found = with_roads(land, [OnTheWay(blue, (), ()), OnTheWay(semi, (), ())])
    assert road_table(found).miles("Home", "Hill") == 21.0
    assert road_table(found, truck="Old blue").miles("Home", "Hill") == 16.0
    assert road_table(found, truck="Semi").minutes("Home", "Hill") == 24.0
    assert road_table(found, truck="Old blue").miles("Home", "Marsh") == 28.0


def test_a_truck_that_does_not_get_there_does_not_make_the_way_longer(land, measured) -> None:
    no_hill = {pair: way for pair, way in ALL.items() if "Hill" not in pair}
    semi = measured({**no_hill, "Hill Home": (99.0, 180.0), "Hill Marsh": (90.0, 160.0)}, "Semi", vehicle_class="semi")
    blue = measured(ALL, "Old blue")
    found = with_roads(land, [OnTheWay(blue, (), ()), OnTheWay(semi, (), ())])
    assert [(row.truck, row.place) for row in found.closed_places] == [("Semi", "Hill")]
    assert road_table(found).miles("Hill", "Home") == 16.0


def test_the_users_own_rows_stay_and_count_first_and_an_earlier_measurement_goes(land, measured) -> None:
    own = Distance(origin="Home", destination="Hill", miles=15.5, minutes=24.0)
    old = Distance(origin="Home", destination="Marsh", miles=70.0, minutes=99.0, basis="road graph of old.osm.pbf (9999)")
    closed = ClosedPlace(truck="Semi", place="Marsh", why="mud, as R. Example says")
    before = land.model_copy(update={"distances": (own, old), "closed_places": (closed,)})
    found = with_roads(before, [OnTheWay(measured(ALL, "Old blue", "Semi"), (), ())])
    assert found.distances[0] == own
    assert old not in found.distances
    assert not [row for row in found.distances[1:] if {row.origin, row.destination} == {"Home", "Hill"}]
    assert found.closed_places == (closed,)
    assert with_roads(found, [OnTheWay(measured(ALL, "Old blue", "Semi"), (), ())]) == found


OWN = Distance(origin="Home", destination="Hill", miles=15.5, minutes=24.0, both_ways=False)


@pytest.mark.parametrize(("own", "left"), [
    (OWN, [("Hill", "Home", False)]),
    (OWN.model_copy(update={"origin": "Hill", "destination": "Home"}), [("Home", "Hill", False)]),
    (OWN.model_copy(update={"both_ways": True}), []), (OWN.model_copy(update={"trucks": "Semi"}), [("Home", "Hill", True)]),
])  # fmt: skip
def test_only_the_directions_that_the_user_left_out_are_filled(land, measured, own: Distance, left) -> None:
    before = land.model_copy(update={"distances": (own,)})
    found = with_roads(before, [OnTheWay(measured(ALL, "Old blue", "Semi"), (), ())])
    rows = [row for row in found.distances[1:] if {row.origin, row.destination} == {"Home", "Hill"}]
    assert [(row.origin, row.destination, row.both_ways) for row in rows] == left
    assert [str(flaw) for flaw in cross_check(found) if flaw.table == "distances"] == []


def test_the_users_row_counts_before_a_measured_one_of_a_single_truck(land, measured) -> None:
    semi = measured({**ALL, "Home Hill": (21.0, 30.0)}, "Semi", vehicle_class="semi")
    before = land.model_copy(update={"distances": (OWN,)})
    found = with_roads(before, [OnTheWay(measured(ALL, "Old blue"), (), ()), OnTheWay(semi, (), ())])
    assert {road_table(found, truck=truck).miles("Home", "Hill") for truck in ("", "Old blue", "Semi")} == {15.5}


def test_what_is_measured_passes_the_door(land, measured) -> None:
    found = with_roads(land, [OnTheWay(measured(ALL, "Old blue", "Semi"), (Passing(RATED, (("Home", "Hill"),)),), ())])
    assert [str(flaw) for flaw in cross_check(found) if flaw.table in ("distances", "closed_places", "road_signs")] == []


@pytest.mark.parametrize(("missing", "words"), [
    (("Home Hill", "Hill Home"), "no way there or back from Home"), (("Home Hill",), "a way back, but none there from Home"),
    (("Hill Home",), "a way there, but none back from Home"),
])  # fmt: skip
def test_a_place_without_a_way_there_and_back_is_closed_and_says_which_is_missing(land, measured, missing, words: str) -> None:
    one = measured({pair: way for pair, way in ALL.items() if pair not in missing}, "Old blue")
    (row,) = closed_places(land, one, ())
    assert (row.truck, row.place) == ("Old blue", "Hill")
    assert row.why == f"road graph of x.osm.pbf (0123): {words}"


def test_the_sign_in_the_way_is_named(land, measured) -> None:
    one = measured({pair: way for pair, way in ALL.items() if "Hill" not in pair}, "Old blue")
    (row,) = closed_places(land, one, [Passing(BRIDGE, (("Home", "Hill"),))])
    assert row.why.endswith("; in the way: maxheight=12-6 on Mill Road")


def test_nothing_is_closed_where_no_such_truck_may_go_where_no_road_is_met_or_from_an_unmeasured_base(land, measured) -> None:
    semi = measured({}, "Semi", vehicle_class="semi")
    small = land.model_copy(update={"yards": tuple(one.model_copy(update={"access": "pickup"}) for one in land.yards)})
    assert closed_places(small, semi, ()) == ()
    assert len(closed_places(land, semi, ())) == 2
    off = {"Hill": OffRoad("no road near"), "Marsh": OffRoad("outside the map")}
    assert closed_places(land, measured({}, "Semi", vehicle_class="semi", off=off), ()) == ()
    assert closed_places(land, measured({}, "Semi", vehicle_class="semi", off={"Home": OffRoad("no road near")}), ()) == ()


def test_signs_that_were_obeyed_or_let_the_truck_through_are_not_told(land, measured) -> None:
    one = measured(ALL, "Old blue")  # 11 ft high, rated 25,900 lb
    low = BRIDGE.model_copy(update={"value": "10-6"})
    signs = (BRIDGE, RATED, low, RATED.model_copy(update={"value": "15 st"}))
    passed = tuple(Passing(sign, (("Home", "Hill"),)) for sign in signs)
    rows = sign_rows(OnTheWay(one, passed, ()))
    # 10 ft 6 in keeps out a truck of 11 ft that the engine sent there all the same: it is told although it was "heard".
    assert [(row.text, row.kept_out) for row in rows] == [("maxweightrating=10 st", True), ("maxheight=10-6", True)]
    assert {(row.origin, row.destination, row.trucks) for row in rows} == {("Home", "Hill", "Old blue")}


def test_a_sign_on_many_ways_has_one_row_that_names_none(measured) -> None:
    many = tuple((f"A{number}", "Home") for number in range(MANY_WAYS + 1))
    for ways, rows in ((many, 1), (many[:-1], MANY_WAYS)):
        found = sign_rows(OnTheWay(measured(ALL), (Passing(RATED, ways),), ()))
        assert len(found) == rows
        assert (found[0].origin == "") is (rows == 1)


def test_lanes_at_both_ends_are_added_at_walking_pace_of_a_truck() -> None:
    # 1,609.344 m in 120 s, and half a mile of lanes at 8 mph: 3.75 minutes.
    way = gate_to_gate(1609.344, 120.0, (1320.0, 1320.0))
    assert (way.miles, way.minutes, way.lanes_ft) == (pytest.approx(1.5), pytest.approx(5.75), (1320.0, 1320.0))
