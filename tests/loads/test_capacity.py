"""How many units a truck carries."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.inputs.fleet import Pallet, Truck
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.operation import Constant, Operation
from routing.inputs.rigging import Carried, RoadLimit
from routing.inputs.yard import HiveGroup
from routing.loads.capacity import payload_left_lb, slots, tiers_that_fit, unit, units_that_fit

FOUR_WAY = Pallet(name="four-way", length_in=47.0, width_in=33.0, height_in=4.5, hives=4, weight_lb=42.0)
SMALL = Pallet(name="small", length_in=40.0, width_in=30.0, height_in=4.5, hives=4, weight_lb=30.0)
BUILD = HiveBuild(
    name="double",
    box_frames=10,
    bottom_board="pallet",
    entrance="open",
    lid="migratory",
    weight_low_lb=95.0,
    weight_high_lb=120.0,
)
BOXES = tuple(Box(build="double", position=n, depth="deep", role="brood", frames=10) for n in (1, 2))
GROUP = HiveGroup(
    name="H1", yard="Home", build="double", pallet="four-way", hives=40, inspected_on=dt.date(2027, 4, 1)
)
OPERATION = Operation(
    name="Test",
    time_zone="America/Chicago",
    first_night=dt.date(2027, 4, 1),
    last_night=dt.date(2027, 5, 1),
    hive_builds=(BUILD,),
    boxes=BOXES,
    pallets=(FOUR_WAY, SMALL),
    hive_groups=(GROUP,),
)
TRUCK = Truck(
    name="Old blue",
    vehicle_class="straight truck",
    base="Home",
    deck_length_in=240.0,
    deck_width_in=96.0,
    deck_height_in=42.0,
    deck_front_in=60.0,
    payload_lb=80000.0,
    gross_rating_lb=90000.0,
    unloading="side",
    cost_usd_per_mile=1.0,
)


def with_(truck=TRUCK, **changes):
    return truck.model_copy(update=changes)


def test_a_unit_is_as_large_as_its_pallet_when_the_hives_fit_on_it():
    one = unit(OPERATION, GROUP)
    assert (one.length_in, one.width_in) == (47.0, 33.0)
    assert one.height_in == pytest.approx(4.5 + 2 * 9.625 + 2.0)
    assert one.high_lb == 42 + 4 * 120


def test_hives_that_stick_out_of_a_pallet_make_the_unit_larger():
    one = unit(OPERATION, GROUP.model_copy(update={"pallet": "small"}))
    # Lids 21.875 in long and 16.25 in wide, two by two: 43.75 x 32.5.
    assert (one.length_in, one.width_in) == (2 * 21.875, 2 * 16.25)


def test_pallets_stand_two_across_with_the_short_side_along_the_deck():
    places = slots(240.0, 96.0, length_in=47.0, width_in=33.0)
    # 240 / 33 = 7.3 rows of two (2 x 47 = 94 in of 96).
    assert len(places) == 7 * 2
    assert {(one.length_in, one.width_in) for one in places} == {(33.0, 47.0)}


def test_a_narrow_deck_is_covered_in_lanes_turned_two_ways():
    # On 82 in: rows of two turned pallets give 192 / 47 = 4 times 2 = 8;
    # lanes 47 and 33 in wide (80 in) give 192 / 33 + 192 / 47 = 5 + 4 = 9.
    assert len(slots(192.0, 82.0, length_in=47.0, width_in=33.0)) == 5 + 4


def test_rows_left_over_are_turned_the_other_way():
    # 113 x 100 in: rows 33 in long take 2, rows 46 in long take 3 (3 x 33 = 99).
    # 3 x 33 = 99 in: 6; 2 x 46 = 92 in: 6; 46 + 2 x 33 = 112 in: 3 + 4 = 7.
    assert len(slots(113.0, 100.0, length_in=46.0, width_in=33.0)) == 3 + 2 * 2


def test_four_hundred_and_eight_double_deeps_ride_on_a_53_foot_deck():
    # beesource.com pallet thread: a flatbed load of double deeps is 408 hives.
    # Four-way pallets 45 x 37 in: 636 / 37 = 17 rows of 2, three high: 102 pallets. Weight is another matter.
    pallet = Pallet(name="p", length_in=45.0, width_in=37.0, height_in=4.5, hives=4, weight_lb=42.0)
    operation = OPERATION.model_copy(update={"pallets": (pallet,)})
    semi = with_(deck_length_in=53 * 12.0, deck_width_in=102.0, deck_height_in=60.0, most_tiers=3)
    group = GROUP.model_copy(update={"pallet": "p"})
    assert units_that_fit(operation, semi, group) * 4 == 408


def test_layers_end_at_the_lowest_bridge():
    # 42 + 4 x 25.75 = 145 <= 162; on a 60 in deck 60 + 3 x 25.75 = 137.25 and a fourth would be 163 > 162.
    assert tiers_that_fit(with_(most_tiers=3), 25.75) == 3
    assert tiers_that_fit(with_(most_tiers=3, deck_height_in=60.0, most_height_in=137.25), 25.75) == 3
    assert tiers_that_fit(with_(most_tiers=3, deck_height_in=60.0, most_height_in=137.0), 25.75) == 2
    assert tiers_that_fit(with_(deck_height_in=80.0, most_height_in=100.0), 25.75) == 0


def test_payload_ends_the_load_before_the_deck_is_full():
    # 522 lb a pallet: 5,220 lb is just ten, a pound less only nine.
    assert units_that_fit(OPERATION, with_(payload_lb=5220.0), GROUP) == 10
    # Two helpers of 200 lb ride along.
    assert units_that_fit(OPERATION, with_(payload_lb=5620.0, helpers=2), GROUP) == 10
    assert units_that_fit(OPERATION, with_(payload_lb=5619.0, helpers=2), GROUP) == 9
    assert units_that_fit(OPERATION, with_(payload_lb=5219.0), GROUP) == 9


def test_lifting_gear_that_rides_along_takes_payload():
    carried = with_(lifting_weight_lb=2200.0, lifting_mount="rear overhang")
    assert payload_left_lb(carried) == 80000 - 2200
    assert payload_left_lb(with_(lifting_weight_lb=2200.0)) == 80000


def test_loose_hives_stand_in_rows():
    group = GROUP.model_copy(update={"pallet": None})
    # 21.875 x 16.25 in on 240 x 96: rows of 4 every 16.25 in give 14 x 4 = 56; lanes give more:
    # two lanes 21.875 wide with 240 / 16.25 = 14 each, three 16.25 wide (43.75 + 48.75 = 92.5) with 10 each.
    assert units_that_fit(OPERATION, TRUCK, group) == 2 * 14 + 3 * 10


def test_nothing_fits_on_a_deck_that_is_too_narrow():
    assert units_that_fit(OPERATION, with_(deck_width_in=30.0), GROUP) == 0


@given(st.floats(20, 640), st.floats(20, 110), st.floats(14, 60), st.floats(14, 60))
def test_places_never_overlap_and_never_leave_the_deck(deck_length, deck_width, length, width):
    places = slots(deck_length, deck_width, length_in=length, width_in=width)
    for one in places:
        assert one.front_in >= -1e-9
        assert one.left_in >= -1e-9
        assert one.front_in + one.length_in <= deck_length + 1e-5
        assert one.left_in + one.width_in <= deck_width + 1e-5
    for first, one in enumerate(places):
        for other in places[first + 1 :]:
            apart_along = (
                max(one.front_in, other.front_in)
                >= min(one.front_in + one.length_in, other.front_in + other.length_in) - 1e-6
            )
            apart_across = (
                max(one.left_in, other.left_in)
                >= min(one.left_in + one.width_in, other.left_in + other.width_in) - 1e-6
            )
            assert apart_along or apart_across
    assert len(places) * length * width <= deck_length * deck_width * 1.001


def test_a_height_listed_for_every_move_takes_layers_from_the_tours_and_one_for_some_places_does_not():
    # 42 + 2 x 25.75 = 93.5 in for two layers.
    two = with_(most_tiers=2)
    listed = RoadLimit(where="State", kind="height", value=93.0, source="own")
    under = OPERATION.model_copy(update={"road_limits": (listed,)})
    places = units_that_fit(OPERATION, with_(), GROUP)
    assert units_that_fit(OPERATION, two, GROUP) == 2 * places
    assert units_that_fit(under, two, GROUP) == places
    for part in ({"places": "Somewhere"}, {"counts_from": dt.date(2027, 4, 1)}, {"value": 93.5}, {"kind": "width"}):
        some = OPERATION.model_copy(update={"road_limits": (listed.model_copy(update=part),)})
        assert units_that_fit(some, two, GROUP) == 2 * places


def test_the_air_that_is_asked_for_between_stacks_takes_places():
    # 47 x 33 in and 8 in of air are 55 x 41 in, on 248 x 104 in of deck and air: a lane 55 wide takes 248 / 41 = 6, one 41
    # wide beside it 248 / 55 = 4.
    airy = OPERATION.model_copy(update={"constants": (Constant(name="least_air_gap_in", value=8.0, source="own"),)})
    assert units_that_fit(airy, with_(deck_length_in=240.0, deck_width_in=96.0), GROUP) == 6 + 4
    assert units_that_fit(OPERATION, with_(deck_length_in=240.0, deck_width_in=96.0), GROUP) > 10


def test_empty_gear_on_the_deck_takes_places():
    # 45 in of gear leave 195 of 240 in.
    gear = Carried(truck=TRUCK.name, what="empty pallets", weight_lb=0.0, deck_length_in=45.0, behind_in=200.0)
    loaded = OPERATION.model_copy(update={"carried": (gear,)})
    whole, left = with_(deck_length_in=240.0), with_(deck_length_in=195.0)
    assert units_that_fit(loaded, whole, GROUP) == units_that_fit(OPERATION, left, GROUP)
    assert units_that_fit(OPERATION, left, GROUP) < units_that_fit(OPERATION, whole, GROUP)
