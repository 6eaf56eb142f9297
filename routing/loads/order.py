"""What stands in the way of what: which units must be lifted twice, so that every drop can come off.

A unit rides from the stop where it is loaded to the stop where it is set down. Another unit is in its way
when it is on the deck at one of those two moments and stands on it, or between it and the side from which it
is lifted: behind it on a deck unloaded from the rear; on both sides of it on a deck unloaded from the side.
At one stop, what is to be set down goes off first, whatever is loaded there comes on after that.
"""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from routing.loads.load import Placement

Unloading = Literal["side", "rear"]
# Sums of fractions of an inch: edges nearer than this touch.
TOUCH_IN = 0.01


class Ride(NamedTuple):
    """From the stop where a unit is loaded to the stop where it is set down."""

    on: int
    off: int

    def meets(self, other: "Ride") -> bool:
        """Tell whether both are on the deck at some moment on the road."""
        return self.on < other.off and other.on < self.off

    def holds(self, other: "Ride") -> bool:
        """Tell whether ``other`` comes on no earlier and goes off no later."""
        return self.on <= other.on and other.off <= self.off

    def carries(self, other: "Ride") -> bool:
        """Tell whether this unit is on the deck when ``other`` comes on."""
        return self.on <= other.on < self.off

    def hinders(self, other: "Ride") -> bool:
        """Tell whether this unit is on the deck when ``other`` is loaded or set down."""
        return self.on < other.on < self.off or self.on < other.off < self.off


def ride(unit: Placement) -> Ride:
    """Return the ride of a unit; a load typed in by hand knows the order of drops only."""
    return Ride(unit.loaded_at, unit.set_down_at or unit.drop_order)


def overlap_along(one: Placement, other: Placement) -> bool:
    """Tell whether two units share some of the deck's length."""
    first, second = (one, other) if one.front_in <= other.front_in else (other, one)
    return second.front_in < first.front_in + first.length_in - TOUCH_IN


def overlap_across(one: Placement, other: Placement) -> bool:
    """Tell whether two units share some of the deck's width."""
    first, second = (one, other) if one.left_in <= other.left_in else (other, one)
    return second.left_in < first.left_in + first.width_in - TOUCH_IN


def lifted_twice(units: Sequence[Placement], unloading: Unloading) -> tuple[str, ...]:
    """Return the labels of units that must be lifted out of the way of others.

    Parameters
    ----------
    units
        Everything that rides in the load.
    unloading
        The side or end from which the deck is loaded and unloaded.

    Returns
    -------
    tuple[str, ...]
        In the order of ``units``, each once; empty when every unit can be reached.
    """
    rides = [ride(unit) for unit in units]
    if not any(one.hinders(other) for one in set(rides) for other in set(rides)):
        return ()
    found: set[str] = set()
    for unit, own in zip(units, rides, strict=True):
        hindering = [other for other, its in zip(units, rides, strict=True) if its.hinders(own)]
        found.update(other.label for other in standing_in_the_way(unit, hindering, unloading))
    return tuple(unit.label for unit in units if unit.label in found)


def standing_in_the_way(unit: Placement, others: Sequence[Placement], unloading: Unloading) -> list[Placement]:
    """Return those of ``others`` that must be lifted before a unit can come off, or after it has come on."""
    along = [other for other in others if overlap_along(unit, other)]
    across = [other for other in others if overlap_across(unit, other)]
    above = [other for other in along if other in across and other.tier > unit.tier]
    if unloading == "rear":
        end_in = unit.front_in + unit.length_in - TOUCH_IN
        return above + [other for other in across if other.front_in >= end_in]
    left = [other for other in along if other.left_in + other.width_in <= unit.left_in + TOUCH_IN]
    right = [other for other in along if other.left_in >= unit.left_in + unit.width_in - TOUCH_IN]
    return above + min(left, right, key=len)
