"""How the slots of a layout stand to each other: which is ahead, behind, left and right of which."""

from collections.abc import Sequence

from routing.loads.capacity import Slot
from routing.loads.order import TOUCH_IN

# Nothing that rides is narrower: ends of slots that differ by less belong to one row.
NARROWEST_IN = 12.0


def ahead(layout: Sequence[Slot], place: int) -> list[int]:
    """Return the slots just ahead of one, in its own lane."""
    one = layout[place]
    before = [
        other
        for other, slot in enumerate(layout)
        if _across(slot, one) and _end(slot) <= one.front_in + TOUCH_IN
    ]
    nearest_in = max((_end(layout[other]) for other in before), default=0.0)
    return [other for other in before if _end(layout[other]) > nearest_in - NARROWEST_IN]


def behind(layout: Sequence[Slot], place: int) -> list[int]:
    """Return every slot between one and the rear end of the deck."""
    one = layout[place]
    return [
        other
        for other, slot in enumerate(layout)
        if _across(slot, one) and slot.front_in >= _end(one) - TOUCH_IN
    ]


def left_of(layout: Sequence[Slot], place: int) -> list[int]:
    """Return every slot between one and the left side of the deck."""
    one = layout[place]
    return [
        other
        for other, slot in enumerate(layout)
        if _along(slot, one) and slot.left_in + slot.width_in <= one.left_in + TOUCH_IN
    ]


def right_of(layout: Sequence[Slot], place: int) -> list[int]:
    """Return every slot between one and the right side of the deck."""
    one = layout[place]
    return [
        other
        for other, slot in enumerate(layout)
        if _along(slot, one) and slot.left_in >= one.left_in + one.width_in - TOUCH_IN
    ]


def starting_lines(layout: Sequence[Slot]) -> list[tuple[float, set[int]]]:
    """Return each line across the deck where a load may start, with the first slots at or behind it."""
    found = []
    for line_in in sorted({round(slot.front_in, 3) for slot in layout}):
        at_or_behind = {place for place, slot in enumerate(layout) if slot.front_in >= line_in - TOUCH_IN}
        found.append(
            (line_in, {place for place in at_or_behind if not at_or_behind & set(ahead(layout, place))})
        )
    return found


def _end(slot: Slot) -> float:
    return slot.front_in + slot.length_in


def _across(one: Slot, other: Slot) -> bool:
    """Tell whether two slots share some of the deck's width."""
    first, second = (one, other) if one.left_in <= other.left_in else (other, one)
    return second.left_in < first.left_in + first.width_in - TOUCH_IN


def _along(one: Slot, other: Slot) -> bool:
    """Tell whether two slots share some of the deck's length."""
    first, second = (one, other) if one.front_in <= other.front_in else (other, one)
    return second.front_in < _end(first) - TOUCH_IN
