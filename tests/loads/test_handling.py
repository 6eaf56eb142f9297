"""The order in which a load comes off, what is lifted twice and why, and stacks that are split at a drop."""

import itertools

import pytest

from routing.loads.deck import placements
from routing.loads.handling import drop_offs, handling_words, rehandlings
from routing.loads.order import lifted_twice
from routing.loads.solve import stow
from routing.loads.vehicle import vehicle


def row(placement, orders, **changes):
    """Return one lane of units from the front to the rear, each with its drop."""
    return [placement(f"{'ABCDEF'[n]}1", front_in=37.0 * n, drop_order=order, destination=f"place {order}", **changes)
            for n, order in enumerate(orders)]  # fmt: skip


def test_from_the_rear_the_rearmost_comes_off_first_and_the_top_one_of_a_stack(placement):
    units = [*row(placement, [1, 1]), placement("T1", front_in=37.0, tier=2)]
    (drop,) = drop_offs(units, "rear")
    assert drop.labels == ("T1", "B1", "A1")


def test_from_the_sides_the_outer_ones_come_first(placement):
    units = [placement(f"A{n}", left_in=32.0 * n, width_in=32.0) for n in range(3)]
    (drop,) = drop_offs(units, "side")
    assert drop.labels[-1] == "A1"


def test_what_stands_behind_is_lifted_twice_and_the_sentence_says_for_what(placement):
    units = row(placement, [1, 2, 3])
    (one, two) = rehandlings(units, "rear")
    assert (one.stop, one.reached, one.lifted) == (1, ("A1",), ("B1", "C1"))
    assert (two.stop, two.reached, two.lifted) == (2, ("B1",), ("C1",))
    assert handling_words(units, "rear")[0] == "Stop 1, place 1: lift B1, C1 off and on again, to reach A1."


def test_last_off_at_the_front_is_lifted_once(placement):
    assert handling_words(row(placement, [3, 2, 1]), "rear") == ()


def test_a_stack_split_at_a_drop_is_strapped_again(placement):
    units = [placement("B1", drop_order=2, destination="Hill"), placement("A1", tier=2, destination="Creek")]
    assert handling_words(units, "side") == (
        "After Creek the stacks of B1 are lower: strap them again before you roll.",
    )


@pytest.mark.parametrize("rides", [
    [(1, 3), (2, 4)], [(1, 3), (2, 4), (1, 4)], [(1, 2), (1, 3), (2, 3)], [(1, 4), (2, 5), (3, 6)],
])  # fmt: skip
def test_no_other_order_in_one_lane_lifts_fewer_twice(rig, batch, rides):
    truck = rig(unloading="rear", deck_width_in=46.0, deck_length_in=37.0 * len(rides))
    carried = tuple(batch("ABCDEF"[n], 1, one) for n, one in enumerate(rides))
    found = stow(truck, vehicle(truck), carried=carried)
    units = placements(carried, found.layout, found.stowed)
    places = sorted(unit.front_in for unit in units)
    every = [
        len(lifted_twice([unit.model_copy(update={"front_in": at}) for unit, at in zip(units, order, strict=True)], "rear"))
        for order in itertools.permutations(places)
    ]
    assert len(lifted_twice(units, "rear")) == min(every)


def test_the_lower_of_two_stacks_is_the_one_that_is_lifted_twice(rig, batch):
    # One lane of two places, two layers: two units of A, one of B. A came first and must go first, B came on later: one of
    # them stands in the other's way, and lifting the one B is less work than lifting two of A.
    truck = rig(unloading="rear", deck_width_in=46.0, deck_length_in=74.0, most_tiers=2)
    carried = (batch("A", 2, (1, 3)), batch("B", 1, (2, 4)))
    found = stow(truck, vehicle(truck), carried=carried)
    units = placements(carried, found.layout, found.stowed)
    assert len(lifted_twice(units, "rear")) == 1
