"""Rows (12) of the joint model: as many visits as decks must make, which the solver does not see by itself.

A load spread thinly over many half-made drives costs a linear program next to nothing. Where a promise still wants
D hives and no deck takes more than C of them, at least D / C visits are made, rounded up; missing hives m pay for a
visit less: with r = D - C (ceil(D / C) - 1), r visits + m >= r ceil(D / C) (mixed-integer rounding; Nemhauser and
Wolsey, Integer and Combinatorial Optimization, Wiley 1988, II.1; from memory). The same for hives to be taken out.
The model is handed in; nothing here knows which solver is behind it.
"""

from collections.abc import Sequence
from itertools import combinations
from typing import TYPE_CHECKING, Any

from routing.nights.cover_rows import hand_on
from routing.nights.decks import most_on_deck
from routing.nights.draft import delivered, taken
from routing.nights.promise_rows import Missing
from routing.nights.slot import Task

if TYPE_CHECKING:
    from routing.nights.master import SlotVariables


def add_visits(model: Any, task: Task, slots: "Sequence[SlotVariables]", missing: Missing) -> None:
    """Add (12) for every promise, and for every pair of promises, that the slots may serve."""
    for inward in (True, False):
        names = [name for name, way in missing if way == inward]
        owed = {name: hives for name in names if (hives := _owed(task, name, missing, inward=inward)) > 0}
        for name, hives in owed.items():
            _served(model, slots, name, hives, missing[name, inward])
        for size in (1, 2):
            for chosen in combinations(owed, size):
                if not hand_on(task.problem, chosen):
                    hives = sum(owed[name] for name in chosen)
                    _cover(model, task, slots, chosen, (hives, sum(missing[name, inward] for name in chosen)))


def _owed(task: Task, name: str, missing: Missing, *, inward: bool) -> int:
    """Return the hives that fixed nights leave to be brought, or to be taken out; 0 when that is not known."""
    kinds = task.problem.kinds
    came, gone = (
        sum(kinds[kind].hives * units for kind, units in moved.items())
        for moved in (delivered(task.fixed, name), taken(task.fixed, name))
    )
    promised = task.problem.promises[name].colonies
    if inward:
        return promised - came
    if (name, True) not in missing:
        return came - gone
    return promised if not gone else 0


def _served(model: Any, slots: "Sequence[SlotVariables]", name: str, owed: int, missing: Any) -> None:
    """Some slot goes there, and is used, unless all is missing."""
    going = []
    for one in slots:
        visits = [var for (_, place), var in one.at.items() if place == name]
        if visits:
            goes = model.new_bool_var("")
            was = one.slot.was
            model.add_hint(goes, was is not None and any(stop.place == name for stop in was.stops))
            model.add(goes <= sum(visits))
            model.add(goes <= one.used)
            going.append(goes)
    if going:
        model.add(owed * sum(going) + missing >= owed)


def _cover(
    model: Any, task: Task, slots: "Sequence[SlotVariables]", chosen: tuple[str, ...], owed: tuple[int, Any]
) -> None:
    hives, missing = owed
    kinds = {kind for name in chosen for kind in task.problem.promises[name].kinds}
    worth = {kind: float(task.problem.kinds[kind].hives) for kind in kinds}
    most = max(int(most_on_deck(task.problem, task.problem.rigs[one.slot.rig], worth) + 1e-6) for one in slots)
    if most <= 0:
        return
    visits: Any = 0
    for one in slots:
        visits += sum(var for (_, place), var in one.at.items() if place in chosen)
        visits -= sum(var for (_, i, j), var in one.hop.items() if i in chosen and j in chosen)
    needed = -(-hives // most)
    part = hives - most * (needed - 1)
    model.add(part * visits + missing >= part * needed)
