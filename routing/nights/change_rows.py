"""Rows of the joint model that price changes: hives and truck-nights that growers and drivers were told of.

Variables: y[s,m] hives of slot s that move as told in move m (an orchard, a night, in or out); kept[m] hives kept.
    y[s,m] <= hives of s at the orchard, and 0 on another night; kept[m] <= told[m], kept[m] <= fixed[m] + sum_s y[s,m].
Cost: each hive told and not kept; each truck-night told and not run, each run and not told.
The model is handed in; nothing here knows which solver is behind it.
"""

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from routing.nights.change import hives_moved
from routing.nights.slot import Task
from routing.nights.told import Move

if TYPE_CHECKING:
    from routing.nights.master import SlotVariables


def add_changes(model: Any, task: Task, slots: "list[SlotVariables]", money: int) -> list[Any]:
    """Add the rows; return the cost terms (less a constant: what cannot be kept by these slots)."""
    if not task.problem.told.runs:
        return []
    fixed = hives_moved(task.problem, task.fixed)
    cost: list[Any] = []
    for move, hives in task.problem.told.hives.items():
        wanted = hives - fixed[move]
        moving = [part for one in slots if (part := _moving(task, one, move)) is not None] if wanted > 0 else []
        if moving:
            kept = model.new_int_var(0, wanted, "")
            was = hives_moved(task.problem, [one.slot.was for one in slots if one.slot.was])[move]
            model.add_hint(kept, min(wanted, was))
            model.add(kept <= sum(_on_the_night(model, task, (one, terms), move) for one, terms in moving))
            cost.append(-round(task.problem.told.usd_per_colony * money) * kept)
    return cost + _runs(task, slots, money)


def _moving(task: Task, one: "SlotVariables", move: Move) -> "tuple[SlotVariables, list[Any]] | None":
    place, night, inward = move
    found = one.off if inward else one.on
    terms = [task.problem.kinds[kind].hives * var for (_, where, kind), var in found.items() if where == place]
    return (one, terms) if terms and night in one.night else None


def _on_the_night(model: Any, task: Task, moving: "tuple[SlotVariables, list[Any]]", move: Move) -> Any:
    """Return the hives of a slot that move on the night told."""
    one, terms = moving
    if len(one.night) == 1:
        return sum(terms)
    moved = model.new_int_var(0, 10_000, "")
    model.add_hint(moved, hives_moved(task.problem, [one.slot.was] if one.slot.was else [])[move])
    model.add(moved <= sum(terms))
    model.add(moved <= 10_000 * one.night[move[1]])
    return moved


def _runs(task: Task, slots: "list[SlotVariables]", money: int) -> list[Any]:
    problem, price = task.problem, round(task.problem.told.usd_per_run * money)
    taken = {(one.rig, one.night) for one in task.fixed}
    runs: dict[tuple[int, int], list[Any]] = defaultdict(list)
    for one in slots:
        for night, var in one.night.items():
            if (one.slot.rig, night) not in taken:
                runs[one.slot.rig, night].append(var)
    return [
        (-price if (problem.rigs[rig].name, night) in problem.told.runs else price) * sum(vars_)
        for (rig, night), vars_ in runs.items()
    ]
