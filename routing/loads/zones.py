"""A plain deck plan made as a driver would: what comes off last goes to the front, stack by stack.

It starts the solver's search, and it is the plan when no better one is found.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.inputs.fleet import Truck
from routing.loads.capacity import TINY_IN, Slot
from routing.loads.deck import Batch, Stowed


class Zoned(NamedTuple):
    """A stowage and what it left behind."""

    stowage: tuple[Stowed, ...]
    left_out: int
    """Units that found no place."""


def zones(truck: Truck, carried: Sequence[Batch], layout: Sequence[Slot]) -> Zoned:
    """Return the lowest such plan that holds everything; else the one that leaves the fewest units behind."""
    best = Zoned((), sum(batch.number for batch in carried))
    for tiers in range(1, truck.most_tiers + 1):
        filled = _filled(truck, carried, layout, tiers)
        if filled.left_out < best.left_out:
            best = filled
        if best.left_out == 0:
            break
    return best


def _filled(truck: Truck, carried: Sequence[Batch], layout: Sequence[Slot], tiers: int) -> Zoned:
    order = sorted(range(len(carried)), key=lambda place: (-carried[place].ride.off, carried[place].ride.on))
    stacks: dict[int, list[int]] = {}
    left_out = 0
    for batch in order:
        for _ in range(carried[batch].number):
            slot = _first_slot(truck, carried, layout, (stacks, batch, tiers))
            if slot is None:
                left_out += 1
            else:
                stacks.setdefault(slot, []).append(batch)
    stowage = [
        Stowed(batch, slot, tier) for slot, pile in stacks.items() for tier, batch in enumerate(pile, 1)
    ]
    return Zoned(tuple(stowage), left_out)


def _first_slot(
    truck: Truck,
    carried: Sequence[Batch],
    layout: Sequence[Slot],
    so_far: tuple[dict[int, list[int]], int, int],
) -> int | None:
    """Return the foremost slot that takes one more unit of a batch."""
    stacks, batch, tiers = so_far
    for slot in sorted(range(len(layout)), key=lambda place: layout[place]):
        pile = stacks.get(slot, [])
        if len(pile) < tiers and _may_stand(truck, carried, layout[slot], (pile, batch)):
            return slot
    return None


def _may_stand(truck: Truck, carried: Sequence[Batch], slot: Slot, on: tuple[list[int], int]) -> bool:
    pile, batch = on
    one = carried[batch]
    height_in = one.unit.height_in + sum(carried[other].unit.height_in for other in pile)
    if not one.fits(slot) or truck.deck_height_in + height_in > truck.most_height_in + TINY_IN:
        return False
    return all(
        carried[other].footprint == one.footprint and carried[other].ride.holds(one.ride) for other in pile
    )
