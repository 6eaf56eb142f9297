"""A truck as its axles feel it: moments balance, and every limit is a straight line in the axle weights."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.tiny import tiny_operation
from routing.loads.vehicle import rig_of, vehicle


def test_a_straight_truck_carries_its_deck_between_two_axles(rig):
    axles = vehicle(rig())
    # 35 in behind the deck's front end is 60 + 35 = 95 in behind the steer axle: half way to 190 in.
    assert [share.at(35.0) for share in axles.shares] == pytest.approx([0.5, 0.5])
    assert axles.empty_lb == (5400.0, 6400.0)
    assert axles.names == ("steer axle", "rear axle")
    assert axles.limits_lb == (8500.0, 17500.0)


@given(along_in=st.floats(-50, 700))
def test_a_pound_anywhere_is_a_pound_on_the_road(rig, semi, along_in):
    for one in (rig(), semi):
        assert sum(share.at(along_in) for share in vehicle(one).shares) == pytest.approx(1.0)


def test_a_pound_over_the_kingpin_is_carried_by_the_tractor(semi):
    axles = vehicle(semi)
    # The deck's front end is 36 in ahead of the kingpin; the kingpin is 200 in behind the steer axle, the
    # rear tandem 205 in: 5 / 205 on the steer axle, 200 / 205 on the tandem, nothing on the trailer.
    assert [share.at(36.0) for share in axles.shares] == pytest.approx([5 / 205, 200 / 205, 0.0])
    # Over the trailer's tandem, 440 in behind the kingpin, it carries all.
    assert [share.at(476.0) for share in axles.shares] == pytest.approx([0.0, 0.0, 1.0])


def test_the_law_binds_where_the_rating_does_not(rig, semi):
    steer, rear = rig().axle_groups
    strong = vehicle(rig(axles=(steer, rear.model_copy(update={"rating_lb": 23000.0}))))
    # 23 USC 127(a)(2): 20,000 lb on one axle, 34,000 lb on a tandem.
    assert strong.limits_lb == (8500.0, 20000.0)
    heavy = [group.model_copy(update={"rating_lb": 40000.0}) for group in semi.axle_groups[1:]]
    limits = vehicle(semi.model_copy(update={"axle_groups": (semi.axle_groups[0], *heavy)})).limits_lb
    assert limits == (12000.0, 34000.0, 34000.0)


def test_five_axles_make_ten_runs_of_the_bridge_formula(semi):
    law = [one for one in vehicle(semi).bearings if one.force == "law"]
    single = [one for one in law if one.check.startswith("single axles")]
    runs = [one for one in law if one not in single]
    assert len(runs) == 5 * 4 / 2
    assert len(single) == 3
    # Axles 2 to 5 from 179 in (205 - 26) to 664.5 in (200 + 440 + 24.5): 40.5 ft, four axles, read as 40 ft:
    # 500 (40 x 4 / 3 + 12 x 4 + 36) = 68,667, to the nearest 500: 68,500.
    assert [one.limit_lb for one in runs if one.check.startswith("bridge formula, axles 2 to 5")] == [68500.0]


def test_carried_lifting_gear_weighs_behind_the_deck(rig):
    carried = vehicle(rig(lifting_weight_lb=2000.0, lifting_mount="rear overhang"))
    # 60 + 240 + 36 = 336 in behind the steer axle: 336 / 190 of it on the rear axle, the front is lifted.
    assert carried.empty_lb == pytest.approx((5400 + 2000 * (1 - 336 / 190), 6400 + 2000 * 336 / 190))


def test_axles_that_carry_nothing_are_refused(rig):
    with pytest.raises(ValueError, match="two axle groups"):
        vehicle(rig(axles=rig().axle_groups[:1]))


def test_a_rig_is_found_by_name():
    found = rig_of(tiny_operation(), "Old blue")
    assert (len(found.axle_groups), len(found.tie_downs)) == (2, 1)
    with pytest.raises(ValueError, match="'Red'"):
        rig_of(tiny_operation(), "Red")
