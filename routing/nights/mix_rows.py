"""Rows (11) of the joint model: units of several sizes on one deck.

One size alone fills a deck as ``fit`` says. Several sizes stand in rows across, each row of one size, and every
size keeps its stretch of the deck from the moment the deck is first loaded until it is empty again: then what
comes off never leaves room in the wrong place. The model is handed in; nothing here knows which solver it is.
"""

from collections.abc import Mapping, Sequence
from math import prod
from typing import TYPE_CHECKING, Any

from routing.loads.mixed import Row
from routing.nights.decks import WHOLE, Size, by_size, row_of
from routing.nights.draft import DraftNight
from routing.nights.problem import Problem

if TYPE_CHECKING:
    from routing.nights.master import SlotVariables

INCH = 100
"""Lengths are counted in hundredths of an inch, rounded against the plan."""


def add_mixes(model: Any, problem: Problem, one: "SlotVariables", *, length: int) -> None:
    """Add (11) for one slot of ``length`` stops."""
    rig = problem.rigs[one.slot.rig]
    sizes = by_size(problem, sorted({kind for _, kind in one.deck}))
    if len(sizes) < 2:
        return
    was = _loads_of(problem, one.slot.was, sizes)
    rows = {size: row_of(problem, rig, alike) for size, alike in sizes.items()}
    deck_in = int(rig.deck_in[0] * INCH)
    before: dict[Size, Any] = {}
    mixed_before: Any = None
    empty_before: Any = None
    for p in range(length):
        riding = {size: sum(one.deck[p, kind] for kind in alike) for size, alike in sizes.items()}
        empty, mixed = model.new_bool_var(""), model.new_bool_var("")
        model.add_hint(empty, p >= len(was) or was[p] is None)
        model.add_hint(mixed, p < len(was) and _several(was[p]))
        aboard, marked = [], {}
        for size, alike in sizes.items():
            most = max(rig.fit[kind] for kind in alike)
            there = model.new_bool_var("")
            aboard.append(there)
            model.add(riding[size] <= most * there)
            model.add(riding[size] <= most * (1 - empty))
            marked[size] = _stretch(model, rows[size], deck_in, riding[size], mixed, most)
            model.add_hint(marked[size], _rows_needed(rows[size], was[p] if p < len(was) else None, size))
        model.add(sum(aboard) <= 1 + (len(sizes) - 1) * mixed)
        model.add(sum(_inches(rows[size]) * number for size, number in marked.items()) <= deck_in)
        if p:
            _stay(model, (before, marked), (mixed_before, mixed), empty_before, deck_in)
        before, mixed_before, empty_before = marked, mixed, empty


def decks_may_hold(problem: Problem, night: DraftNight) -> bool:
    """Tell whether every load of a draft night has room by the count of alike units, by floor and by weight.

    A deck plan is not sought: where sizes mix there may be none.
    """
    rig = problem.rigs[night.rig]
    aboard: dict[int, int] = {}
    for stop in night.stops:
        for lifted, sign in ((stop.set_down, -1), (stop.picked_up, 1)):
            for kind, units in lifted:
                aboard[kind] = aboard.get(kind, 0) + sign * units
        there = {kind: units for kind, units in aboard.items() if units > 0}
        weight_lb = sum(problem.kinds[kind].weight_lb * units for kind, units in there.items())
        if weight_lb > rig.payload_lb or any(not rig.fit[kind] for kind in there):
            return False
        floor_in2 = sum(prod(problem.kinds[kind].footprint_in) * units / max(1, rig.tiers[kind]) for kind, units in there.items())
        alike = by_size(problem, there).values()
        full = any(sum(there[kind] / rig.fit[kind] for kind in kinds) > WHOLE for kinds in alike)
        if full or floor_in2 > prod(rig.deck_in) * WHOLE:
            return False
    return True


def decks_hold(problem: Problem, night: DraftNight) -> bool:
    """Tell whether every load of a draft night has room: alike units by their count, several sizes in rows, all by weight.

    Rows keep their stretch of the deck for a whole load, which a deck plan need not: what holds here holds surely.
    """
    if not decks_may_hold(problem, night):
        return False
    rig, kinds = problem.rigs[night.rig], sorted({kind for stop in night.stops for kind, _ in stop.picked_up})
    sizes = by_size(problem, kinds)
    if len(sizes) < 2:
        return True
    rows = {size: row_of(problem, rig, alike) for size, alike in sizes.items()}
    deck_in = int(rig.deck_in[0] * INCH)
    for load in _loads_of(problem, night, sizes):
        if _several(load) and (
            any(rows[size] is None for size in load or ())
            or sum(_inches(rows[size]) * _rows_needed(rows[size], load, size) for size in load or ()) > deck_in
        ):
            return False
    return True


def _stretch(model: Any, row: Row | None, deck_in: int, riding: Any, mixed: Any, most: int) -> Any:
    """Return the rows that one size has on a mixed deck."""
    number = model.new_int_var(0, deck_in // _inches(row) if row else 0, "")
    model.add(riding <= (row.units if row else 0) * number + most * (1 - mixed))
    return number


def _stay(
    model: Any, marked: tuple[Mapping[Size, Any], Mapping[Size, Any]], mixed: tuple[Any, Any], empty: Any, deck_in: int
) -> None:
    """Keep the stretches of a deck from one stop to the next unless it is empty between them."""
    model.add(mixed[0] <= mixed[1] + empty)
    model.add(mixed[1] <= mixed[0] + empty)
    for size, number in marked[0].items():
        model.add(number - marked[1][size] <= deck_in // INCH * empty)
        model.add(marked[1][size] - number <= deck_in // INCH * empty)


def _inches(row: Row | None) -> int:
    return max(1, -int(-row.length_in * INCH // 1)) if row else 1


def _several(load: Mapping[Size, int] | None) -> bool:
    return load is not None and len(load) > 1


def _rows_needed(row: Row | None, load: Mapping[Size, int] | None, size: Size) -> int:
    if row is None or load is None or len(load) < 2:
        return 0
    return -(-load.get(size, 0) // row.units)


def _loads_of(
    problem: Problem, night: DraftNight | None, sizes: Mapping[Size, Sequence[int]]
) -> list[Mapping[Size, int] | None]:
    """Return, for each stop of a planned night, the most of each size aboard during its load; None when it ends empty."""
    aboard: list[dict[Size, int]] = []
    now = dict.fromkeys(sizes, 0)
    for stop in night.stops if night else ():
        for moved, sign in ((stop.picked_up, 1), (stop.set_down, -1)):
            for kind, units in moved:
                now[problem.kinds[kind].footprint_in] = now.get(problem.kinds[kind].footprint_in, 0) + sign * units
        aboard.append({size: units for size, units in now.items() if units})
    found: list[Mapping[Size, int] | None] = [None] * len(aboard)
    first = 0
    for index, load in enumerate(aboard):
        if not load:
            most = {
                size: units for size in sizes
                if (units := max((one.get(size, 0) for one in aboard[first:index]), default=0))
            }
            found[first:index] = [most] * (index - first)
            first = index + 1
    return found
