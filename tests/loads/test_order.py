"""What stands in the way of what."""

import pytest

from routing.loads.order import Ride, lifted_twice


@pytest.mark.parametrize(
    ("own", "other", "hinders"),
    [
        ((1, 3), (1, 2), True),  # it stays while the other is set down
        ((1, 2), (1, 3), False),
        ((1, 3), (1, 3), False),  # set down at one stop: in whatever order suits
        ((1, 4), (2, 5), True),  # it is there when the other is loaded
        ((2, 5), (1, 4), True),  # and here it stays when the other is set down
        ((1, 2), (2, 3), False),  # off before the other comes on
    ],
)
def test_who_is_on_the_deck_when_another_is_moved(own, other, hinders):
    assert Ride(*own).hinders(Ride(*other)) is hinders


def test_what_stays_must_not_stand_behind_what_goes_on_a_deck_unloaded_from_the_rear(placement):
    ahead, behind = placement("A1", drop_order=1), placement("B1", front_in=37.0, drop_order=2)
    assert lifted_twice((ahead, behind), "rear") == ("B1",)
    assert lifted_twice((ahead.model_copy(update={"drop_order": 3}), behind), "rear") == ()


def test_another_lane_is_not_in_the_way(placement):
    ahead, behind = placement("A1", drop_order=1), placement("B1", front_in=37.0, left_in=45.0, drop_order=2)
    assert lifted_twice((ahead, behind), "rear") == ()


def test_from_the_side_a_unit_needs_one_free_side(placement):
    middle = placement("A1", left_in=30.0, width_in=30.0, drop_order=1)
    left = placement("B1", left_in=0.0, width_in=30.0, drop_order=2)
    right = placement("C1", left_in=60.0, width_in=30.0, drop_order=2)
    assert lifted_twice((middle, left), "side") == ()
    assert lifted_twice((middle, left, right), "side") == ("B1",)


def test_what_stays_must_not_stand_on_what_goes(placement):
    under, above = placement("A1", drop_order=1), placement("B1", tier=2, drop_order=2)
    assert lifted_twice((under, above), "side") == ("B1",)
    assert lifted_twice((under.model_copy(update={"drop_order": 2}), above), "rear") == ()


def test_what_was_loaded_before_is_in_the_way_of_loading(placement):
    # At stop 2 the place ahead of A1 can only be reached over A1, which rides from stop 1 to stop 3.
    first = placement("A1", front_in=37.0, loaded_at=1, set_down_at=3)
    second = placement("B1", front_in=0.0, loaded_at=2, set_down_at=4)
    assert lifted_twice((first, second), "rear") == ("A1",)
