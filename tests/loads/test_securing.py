"""Tie-downs by length and by weight, straps of hives, air when it is warm."""

import pytest

from routing.inputs.fleet import TieDown
from routing.loads.circumstances import Circumstances, Riders
from routing.loads.securing import securing, strap_places_in, straps_needed

NONE = Circumstances(temperature_f=None, riders=())
GOOD = {"headboard_height_in": 48.0, "headboard_holds_lb": 9000.0}


def straps(count=8, wll_lb=5400.0, **more):
    return (TieDown(truck="Old blue", kind="webbing strap", size="4 in", count=count, wll_lb=wll_lb, **more),)


def finding(found, check):
    return next(one for one in found if one.check == check)


def row(placement, count, **changes):
    return tuple(placement(f"A{n}", front_in=37.0 * n, **changes) for n in range(count))


@pytest.mark.parametrize(
    ("count", "headboard", "needed"),
    [
        (3, True, 1),  # 111 in: 9.25 ft, blocked: 1 per 10 ft or fraction
        (4, True, 2),  # 148 in: 12.3 ft
        (3, False, 2),  # 9.25 ft, not blocked: 2 up to 10 ft
        (4, False, 3),  # 12.3 ft: 2 and 1 more
        (6, False, 3),  # 222 in: 18.5 ft
    ],
)
def test_the_number_follows_the_length(rig, placement, count, headboard, needed):
    """49 CFR 393.110."""
    assert straps_needed(row(placement, count), rig(headboard=headboard, **GOOD)) == needed


def test_a_gap_makes_two_rows_and_the_second_is_not_blocked(rig, placement):
    units = (placement("A1"), placement("A2", front_in=150.0))
    # 37 in against the headboard: 1; 37 in, 522 lb, not blocked, at most 5 ft and 1,100 lb: 1.
    assert straps_needed(units, rig(**GOOD)) == 1 + 1


def test_the_number_follows_the_weight_too(rig, placement):
    """49 CFR 393.106(d): 12,000 lb need 6,000 lb together; from and to one side a strap counts half."""
    units = row(placement, 3, weight_high_lb=4000.0)
    assert straps_needed(units, rig(straps=straps(wll_lb=3000.0), **GOOD)) == 2
    assert straps_needed(units, rig(straps=straps(wll_lb=3000.0, over_to_other_side=False), **GOOD)) == 4


def test_the_strongest_are_counted_first_and_what_is_missing_is_told(rig, placement, load):
    units = row(placement, 3, weight_high_lb=4000.0)
    weak = rig(straps=straps(count=2, wll_lb=1000.0))
    # 2,000 of 6,000 lb: four more of 1,000 lb.
    assert straps_needed(units, weak) == 2 + 4
    found = finding(securing(load(*units), weak, about=NONE), "working load limit, all together")
    assert (found.status, found.measured, found.limit) == ("broken", 2000.0, 6000.0)


def test_an_unmarked_strap_counts_as_the_table_says(rig, placement, load):
    """49 CFR 393.108: unmarked 2 in webbing counts 2,000 lb."""
    unmarked = TieDown(truck="Old blue", kind="webbing strap", size="2 in", count=3)
    found = securing(load(placement()), rig(straps=(unmarked,)), about=NONE)
    assert finding(found, "working load limit, all together").measured == 3 * 2000.0


def test_a_strap_of_which_nothing_is_known_counts_nothing_and_is_named(rig, placement, load):
    odd = TieDown(truck="Old blue", kind="webbing strap", size="odd", count=3)
    found = securing(load(placement()), rig(straps=(odd,)), about=NONE)
    assert finding(found, "unmarked tie-down").status == "unknown"
    assert finding(found, "working load limit, all together").status == "broken"


def test_no_straps_listed_is_broken_for_our_own_truck_and_unknown_for_a_hired_one(rig, placement, load):
    own = securing(load(placement()), rig(straps=()), about=NONE)
    assert finding(own, "tie-downs").status == "broken"
    hired = securing(load(placement()), rig(straps=(), hired=True), about=NONE)
    assert finding(hired, "tie-downs").status == "unknown"


@pytest.mark.parametrize(("strapped", "status"), [(True, "ok"), (False, "broken"), (None, "unknown")])
def test_hives_ride_strapped(rig, placement, load, strapped, status):
    about = Circumstances(
        temperature_f=40.0, riders=(Riders(group="H1", hives=4, strapped=strapped, air="screened"),)
    )
    assert finding(securing(load(placement()), rig(), about=about), "hives of H1 strapped").status == status


@pytest.mark.parametrize(("strapped", "measured", "status"), [
    (True, 8 * 5400.0, "ok"), (False, 0.0, "broken"), (None, 8 * 5400.0, "unknown"),
])  # fmt: skip
def test_no_cargo_strap_counts_over_hives_that_are_not_strapped(rig, placement, load, strapped, measured, status):
    about = Circumstances(temperature_f=40.0, riders=(Riders(group="H1", hives=4, strapped=strapped, air="screened"),))
    found = finding(securing(load(placement()), rig(), about=about), "working load limit, all together")
    assert (found.status, found.measured) == (status, measured)


def test_hives_that_are_strapped_do_not_make_up_for_those_that_are_not(rig, placement, load):
    groups = (("A", None), ("B", False))
    riders = tuple(Riders(group=name, hives=2, strapped=strapped, air="screened") for name, strapped in groups)
    found = securing(load(placement()), rig(), about=Circumstances(temperature_f=40.0, riders=riders))
    assert finding(found, "working load limit, all together").status == "broken"


def test_the_weaker_of_strap_and_anchor_counts(rig, placement, load):
    """49 CFR 393.108: the lowest of the components and the anchor points."""
    found = securing(load(placement()), rig(straps=straps(count=3, anchor_wll_lb=1600.0)), about=NONE)
    assert finding(found, "working load limit, all together").measured == 3 * 1600.0


@pytest.mark.parametrize(("height_in", "holds_lb", "statuses"), [
    (24.0, 261.0, ("broken", "ok")),  # the pallet stands 25.75 in high, under 48: that height is asked
    (25.75, 260.9, ("ok", "broken")),  # 522 lb: half of it, as the headboard is under 6 ft
    (72.0, 208.8, ("ok", "ok")),  # 0.4 of it from 6 ft on
    (None, 500.0, ("unknown",)), (48.0, None, ("unknown",)),
])  # fmt: skip
def test_a_headboard_is_high_and_strong_enough(rig, placement, load, height_in, holds_lb, statuses):
    """49 CFR 393.114."""
    one = rig(headboard_height_in=height_in, headboard_holds_lb=holds_lb)
    found = [each for each in securing(load(placement()), one, about=NONE) if "headboard" in each.check]
    assert tuple(each.status for each in found) == statuses


def test_without_a_headboard_nothing_is_asked_of_it(rig, placement, load):
    found = securing(load(placement()), rig(headboard=False), about=NONE)
    assert not any("headboard" in each.check for each in found)


@pytest.mark.parametrize(("about", "needed"), [
    ({}, 2), ({"headboard_height_in": 48.0}, 2), ({"headboard_holds_lb": 9000.0}, 2),  # too little is known
    ({"headboard_height_in": 25.7, "headboard_holds_lb": 783.0}, 2),
    ({"headboard_height_in": 25.75, "headboard_holds_lb": 782.0}, 2),
    ({"headboard_height_in": 25.75, "headboard_holds_lb": 783.0}, 1),
])  # fmt: skip
def test_a_headboard_not_known_to_be_high_and_strong_enough_blocks_nothing(rig, placement, about, needed):
    """49 CFR 393.110: 9.25 ft, one blocked, two not. Three pallets of 522 lb ask for 783 lb, and 25.75 in."""
    assert straps_needed(row(placement, 3), rig(**about)) == needed


@pytest.mark.parametrize("about", [{}, {"headboard_height_in": 12.0}, {"headboard_holds_lb": 10.0}])
def test_a_headboard_of_which_too_little_is_known_is_told_with_what_it_would_spare(rig, placement, load, about):
    found = finding(securing(load(*row(placement, 3)), rig(**about), about=NONE), "tie-downs")
    note = "counted as without a headboard: its height or strength is not in the table of trucks"
    # What is known of it, and too little, still counts: then nothing is spared.
    assert (found.limit, found.note) == (2.0, note + ("; 1 would do should it hold" if not about else ""))


@pytest.mark.parametrize("about", [{"headboard": False}, {"headboard_height_in": 48.0, "headboard_holds_lb": 2000.0}])
def test_nothing_is_said_of_a_headboard_that_is_known_or_is_not_there(rig, placement, load, about):
    assert finding(securing(load(*row(placement, 3)), rig(**about), about=NONE), "tie-downs").note == ""


def test_straps_go_over_the_middle_of_units_evenly_along_each_article(rig, placement):
    # Four pallets of 37 in, blocked: two straps, evenly at 37 and 111 in; the middles nearest are 18.5 (before 55.5) and 92.5.
    assert strap_places_in(row(placement, 4), rig(**GOOD)) == (18.5, 92.5)
    # A gap makes a second article with a strap of its own.
    apart = (placement("A1"), placement("A2", front_in=150.0))
    assert strap_places_in(apart, rig(**GOOD)) == (18.5, 168.5)


def test_straps_that_only_the_weight_asks_for_are_placed_too(rig, placement):
    units = row(placement, 3, weight_high_lb=4000.0)
    weak = rig(straps=straps(count=6, wll_lb=1000.0))
    assert len(strap_places_in(units, weak)) == straps_needed(units, weak) == 6


def test_an_empty_deck_asks_for_no_strap(rig):
    assert strap_places_in((), rig()) == ()
