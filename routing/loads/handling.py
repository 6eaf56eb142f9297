"""How a load comes off: the order at each drop, what must be lifted twice and why, and which stacks need straps anew."""

from collections.abc import Sequence
from typing import NamedTuple

from routing.loads.load import Placement
from routing.loads.order import Unloading, overlap_across, overlap_along, ride, standing_in_the_way


class Rehandling(NamedTuple):
    """Units that are lifted off and on again at one stop, to reach others."""

    stop: int
    reached: tuple[str, ...]
    """Labels of the units for which they are lifted."""
    lifted: tuple[str, ...]


class DropOff(NamedTuple):
    """What comes off at one stop."""

    stop: int
    place: str
    labels: tuple[str, ...]
    """In the order in which they can be lifted."""
    lowered: tuple[str, ...]
    """Labels of units that stay and that something was taken off: their straps hang loose."""


def drop_offs(units: Sequence[Placement], unloading: Unloading) -> tuple[DropOff, ...]:
    """Return what comes off at each stop, in order.

    From the rear, the rearmost comes first; from the sides, the one nearest to its side; in a stack, the top one.
    """
    found = []
    for stop in sorted({ride(unit).off for unit in units}):
        off = [unit for unit in units if ride(unit).off == stop]
        ordered = sorted(off, key=lambda unit: (_depth(unit, off, unloading), unit.label))
        places = sorted({unit.destination for unit in off} - {""})
        labels = tuple(unit.label for unit in ordered)
        found.append(DropOff(stop, ", ".join(places), labels, _lowered(units, stop)))
    return tuple(found)


def _depth(unit: Placement, off: Sequence[Placement], unloading: Unloading) -> tuple[float, ...]:
    if unloading == "rear":
        return (-(unit.front_in + unit.length_in), -float(unit.tier))
    left = max(other.left_in + other.width_in for other in off)
    to_side_in = min(unit.left_in, max(0.0, left - unit.left_in - unit.width_in))
    return (-float(unit.tier), to_side_in, -unit.front_in)


def _lowered(units: Sequence[Placement], stop: int) -> tuple[str, ...]:
    staying = [unit for unit in units if ride(unit).on < stop < ride(unit).off]
    gone = [unit for unit in units if ride(unit).off == stop]
    return tuple(
        unit.label
        for unit in staying
        if any(other.tier > unit.tier and overlap_along(unit, other) and overlap_across(unit, other) for other in gone)
    )


def rehandlings(units: Sequence[Placement], unloading: Unloading) -> tuple[Rehandling, ...]:
    """Return what must be lifted off and on again at each stop; empty when every unit can be reached."""
    by_stop: dict[int, tuple[list[str], list[str]]] = {}
    for unit in units:
        for stop in ride(unit):
            aboard = [other for other in units if ride(other).on < stop < ride(other).off]
            hindering = standing_in_the_way(unit, aboard, unloading)
            if hindering:
                reached, lifted = by_stop.setdefault(stop, ([], []))
                reached.append(unit.label)
                lifted += [other.label for other in hindering if other.label not in lifted]
    return tuple(Rehandling(stop, tuple(reached), tuple(lifted)) for stop, (reached, lifted) in sorted(by_stop.items()))


def handling_words(units: Sequence[Placement], unloading: Unloading) -> tuple[str, ...]:
    """Return in sentences what the crew does beside lifting each drop off: re-handlings, straps of lowered stacks."""
    said = []
    drops = {one.stop: one for one in drop_offs(units, unloading)}
    for one in rehandlings(units, unloading):
        where = f"Stop {one.stop}" + (f", {drops[one.stop].place}" if one.stop in drops and drops[one.stop].place else "")
        said.append(f"{where}: lift {_list(one.lifted)} off and on again, to reach {_list(one.reached)}.")
    for drop in drops.values():
        if drop.lowered:
            where = drop.place or f"stop {drop.stop}"
            said.append(f"After {where} the stacks of {_list(drop.lowered)} are lower: strap them again before you roll.")
    return tuple(said)


def _list(labels: Sequence[str]) -> str:
    return ", ".join(labels[:12]) + (f" and {len(labels) - 12} more" if len(labels) > 12 else "")
