"""Rows (6) to (10) of the joint model: what promises and yards ask of the slots together.

The model is handed in; nothing here knows which solver is behind it.
"""

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from routing.nights.draft import delivered, taken
from routing.nights.slot import Task, stock_by_segment

if TYPE_CHECKING:
    from routing.nights.master import SlotVariables

FRAMES = 100
"""Frames of bees are counted in hundredths."""


Missing = dict[tuple[str, bool], Any]
"""(promise, inward) -> hives not brought; not inward: hives not taken out."""


def add_promises(model: Any, task: Task, slots: "list[SlotVariables]", money: int) -> tuple[list[Any], Missing]:
    """Add (6) to (9); return the cost terms, and what each promise misses."""
    cost: list[Any] = []
    missing: Missing = {}
    for name in task.problem.promises:
        in_free = [(one, key, var) for one in slots for key, var in one.off.items() if key[1] == name]
        out_free = [(one, key, var) for one in slots for key, var in one.on.items() if key[1] == name]
        if in_free:
            cost += _nights_in(model, task, name, in_free, money)
            terms, missing[name, True] = _terms(model, task, name, in_free, money)
            cost += terms
        if out_free:
            _nights_out(model, task, name, out_free)
        if in_free or out_free:
            terms, left = _empty_out(model, task, name, in_free, out_free, money)
            cost += terms
            if out_free and name in task.outs_due:
                missing[name, False] = left + missing.get((name, True), 0)
    return cost, missing


def _nights_in(model: Any, task: Task, name: str, free: list[Any], money: int) -> list[Any]:
    """(6) inward: not before the window, and late at a price."""
    promise, kinds = task.problem.promises[name], task.problem.kinds
    cost = []
    for one in {id(one): one for one, _, _ in free}.values():
        dropped = [(kinds[key[2]].hives, var) for owner, key, var in free if owner is one]
        most = task.problem.promises[name].colonies + promise.over
        hives = sum(each * var for each, var in dropped)
        for night, has in one.night.items():
            late = night - promise.in_last
            if not promise.in_first <= night <= promise.late_last or (name, night) not in task.problem.dark:
                model.add(hives <= most * (1 - has))
            elif late > 0 and promise.usd_late > 0:
                charged = model.new_int_var(0, most, "")
                was = one.slot.was if one.slot.was and one.slot.was.night == night else None
                model.add_hint(charged, sum(kinds[k].hives * n for k, n in delivered([was] if was else [], name).items()))
                model.add(charged >= hives - most * (1 - has))
                cost.append(round(late * promise.usd_late * money) * charged)
    return cost


def _nights_out(model: Any, task: Task, name: str, free: list[Any]) -> None:
    """(6) outward: only on the nights out."""
    first, last = task.problem.promises[name].out or (0, -1)
    for one, (_, _, kind), var in free:
        for night, has in one.night.items():
            if not first <= night <= last or (name, night) not in task.problem.dark:
                model.add(var <= task.problem.kinds[kind].units * (1 - has))


def _terms(model: Any, task: Task, name: str, free: list[Any], money: int) -> tuple[list[Any], Any]:
    """(7) and (8): what a missing colony, a weak lot and bonus not earned cost; and the colonies missing."""
    promise, kinds = task.problem.promises[name], task.problem.kinds
    fixed = delivered(task.fixed, name)
    units = [(key[2], var) for _, key, var in free] + list(fixed.items())
    hives = sum(kinds[kind].hives * n for kind, n in units)
    was = [one.was for one in task.slots if one.was]
    now = [*fixed.items(), *delivered(was, name).items()]
    short = model.new_int_var(0, promise.colonies, "")
    model.add_hint(short, max(0, promise.colonies - sum(kinds[kind].hives * n for kind, n in now)))
    model.add(hives + short >= promise.colonies)
    model.add(hives <= promise.colonies + promise.over)
    cost = [round(promise.usd_short * money) * short]
    cost += [round(promise.usd_bonus_missed[kind] * kinds[kind].hives * money) * n for kind, n in units
             if promise.usd_bonus_missed[kind] > 0]
    frames = sum(_over_average(task, name, kind) * kinds[kind].hives * n for kind, n in units)
    if promise.usd_weak is None:
        model.add(frames >= 0)
    else:
        weak = model.new_int_var(0, FRAMES * 40 * (promise.colonies + promise.over), "")
        model.add_hint(weak, max(0, -sum(_over_average(task, name, kind) * kinds[kind].hives * n for kind, n in now)))
        model.add(frames + weak >= 0)
        cost.append(round(promise.usd_weak / FRAMES * money) * weak)
    return cost, short


def _over_average(task: Task, name: str, kind: int) -> int:
    """Return hundredths of a frame above the average asked for, rounded against the plan."""
    over = (task.problem.kinds[kind].frames - task.problem.promises[name].min_average) * FRAMES
    return int(over // 1)


def _empty_out(
    model: Any, task: Task, name: str, in_free: list[Any], out_free: list[Any], money: int
) -> tuple[list[Any], Any]:
    """(9): what hives left in cost, and how many they are."""
    promise = task.problem.promises[name]
    if promise.out is None:
        return [], 0
    came, gone = delivered(task.fixed, name), taken(task.fixed, name)
    cost: list[Any] = []
    left: Any = 0
    for kind in sorted({*came, *gone, *(key[2] for _, key, _ in in_free + out_free)}):
        into = came[kind] + sum(var for _, key, var in in_free if key[2] == kind)
        out = gone[kind] + sum(var for _, key, var in out_free if key[2] == kind)
        model.add(out <= into)
        if name in task.outs_due:
            hives = task.problem.kinds[kind].hives
            cost.append(round(task.problem.usd_left_in * hives * money) * (into - out))
            left += hives * (into - out)
    return cost, left


def add_stock(model: Any, task: Task, slots: "list[SlotVariables]") -> None:
    """Add (10), and the room in each yard."""
    problem = task.problem
    free: dict[tuple[str, int], dict[int, list[Any]]] = defaultdict(lambda: defaultdict(list))
    for one in slots:
        for offset, found in ((0, one.on), (1, one.off)):
            for (_, place, kind), var in found.items():
                if problem.sites[place].kind == "yard":
                    free[place, kind][2 * one.slot.segment + offset].append(var)
    fixed = stock_by_segment(task)
    for (yard, kind), moves in free.items():
        at_start = problem.stock.get((yard, kind), 0)
        for segment in range(min(moves) // 2, len(task.segments)):
            off = _sum(moves, fixed, (yard, kind), range(0, 2 * segment + 1, 2))
            back = _sum(moves, fixed, (yard, kind), range(1, 2 * segment, 2))
            model.add(off <= at_start + back)
    _add_room(model, task, free)


def _sum(moves: Any, fixed: Any, key: tuple[str, int], steps: range) -> Any:
    known = fixed.get(key, {})
    return sum(known.get(step, 0) for step in steps) + sum(var for step in steps for var in moves.get(step, ()))


def _add_room(model: Any, task: Task, free: Any) -> None:
    problem = task.problem
    fixed = stock_by_segment(task)
    capacity = {one.name: one.capacity_hives for one in problem.operation.yards}
    stay = {name: sum(g.hives for g in problem.operation.hive_groups if g.yard == name) for name in capacity}
    for yard in sorted({place for place, _ in free}):
        first = min(min(moves) // 2 for (place, _), moves in free.items() if place == yard)
        # Hives that no longer leave take room in every later segment, not only where some come back.
        for segment in range(first, len(task.segments)):
            standing: Any = stay[yard]
            for key in {key for key in [*free, *fixed] if key[0] == yard}:
                back = _sum(free.get(key, {}), fixed, key, range(1, 2 * segment + 2, 2))
                off = _sum(free.get(key, {}), fixed, key, range(0, 2 * segment, 2))
                standing += problem.kinds[key[1]].hives * (back - off)
            model.add(standing <= max(capacity[yard], stay[yard]))
