"""The joint model: yards, strengths, splits, nights and routes of a few truck-nights, decided together.

Sets
    s slots (a rig on one night of a segment, see ``slot``); p = 0..P-1 stops in order; i, j places on the
    slot's menu; g unit kinds; n nights the slot may have; o promises.
Variables
    v[s,p,i] the p-th stop is at i; a[s,p,i,j] from it to j; h[s,p,i] from it home; u[s] the slot is used;
    b[s,n] it has night n; on[s,p,i,g], off[s,p,i,g] units picked up and set down; d[s,p,g] units on the deck
    after the stop; t[s,p] start of service; short, weak, left, late for each promise.
Model: least miles + truck-nights + wages + what broken promises cost
    (1) a path: sum_i v[s,0,i] = u[s]; v[s,p,i] = sum_j a[s,p,i,j] + h[s,p,i]; v[s,p+1,j] = sum_i a[s,p,i,j].
    (2) units only where the truck stands: on, off <= most x v; the first stop picks up.
    (3) d[s,p,g] = d[s,p-1,g] + on - off >= 0, empty at the end; decks and payload hold at every stop.
    (4) t[s,p+1] >= t[s,p] + service + drive; service within the dark hours; duty and driving limits.
    (5) one night a used slot, one slot a rig and night, no more owned trucks than drivers.
    (6) a promise's move happens on its own nights only; late hives pay.
    (7) delivered + short >= promised, delivered <= promised + what is taken beyond.
    (8) sum_g (frames_g - average) hives_g >= -weak.
    (9) every unit set down in an orchard with an out window is taken out, or left at a price.
    (10) yards never give what they do not have; hives back in a segment leave again in a later one.
    (11) units of several sizes ride together in rows of one size, each with its stretch of the deck for the whole load.
    (12) as many visits as decks must make (``visit_rows``): says nothing new, but tells the solver early.
    (13) what growers and drivers were told is kept, or pays (``change_rows``).
(11), the last half of (10) and the nearest-yards menu are restrictions: this model finds plans; the bound is
another model (``relaxation``), which has neither.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from routing.nights.change_rows import add_changes
from routing.nights.decks import by_size
from routing.nights.draft import Clock, DraftNight, DraftStop, clock
from routing.nights.mix_rows import add_mixes
from routing.nights.problem import Problem
from routing.nights.promise_rows import add_promises, add_stock
from routing.nights.slot import Menu, Slot, Task, menu
from routing.nights.visit_rows import add_visits

TIME = 10
"""Model minutes are tenths, rounded against the plan."""
MONEY = 1000
"""Model money is in thousandths of a dollar."""
DECK = 1_000_000


@dataclass
class SlotVariables:
    """The variables of one slot."""

    slot: Slot
    menu: Menu
    used: cp_model.IntVar
    night: dict[int, cp_model.IntVar] = field(default_factory=dict)
    at: dict[tuple[int, str], cp_model.IntVar] = field(default_factory=dict)
    hop: dict[tuple[int, str, str], cp_model.IntVar] = field(default_factory=dict)
    home: dict[tuple[int, str], cp_model.IntVar] = field(default_factory=dict)
    on: dict[tuple[int, str, int], cp_model.IntVar] = field(default_factory=dict)
    off: dict[tuple[int, str, int], cp_model.IntVar] = field(default_factory=dict)
    deck: dict[tuple[int, int], cp_model.IntVar] = field(default_factory=dict)
    straps: dict[tuple[int, str], cp_model.IntVar] = field(default_factory=dict)
    begin: list[cp_model.IntVar] = field(default_factory=list)
    start: Any = None
    finish: Any = None
    duty: Any = None
    cost: list[Any] = field(default_factory=list)


def solve_jointly(task: Task, *, work: float, seed: int) -> tuple[DraftNight, ...] | None:
    """Return the slots planned anew, or None when nothing better than no answer was found.

    Parameters
    ----------
    task
        The slots, what stays fixed around them, and the problem.
    work
        Deterministic work limit of the solver (about seconds). > 0.
    seed
        Random seed of the solver.

    Returns
    -------
    tuple[DraftNight, ...] or None
        The used slots; None when the solver found nothing in its limit.
    """
    model = cp_model.CpModel()
    built = [_add_slot(model, task, slot, number) for number, slot in enumerate(task.slots)]
    slots = [one for one in built if one is not None]
    _add_nights(model, task, slots)
    cost = [part for one in slots for part in one.cost]
    terms, missing = add_promises(model, task, slots, MONEY)
    cost += terms
    cost += add_changes(model, task, slots, MONEY)
    add_visits(model, task, slots, missing)
    add_stock(model, task, slots)
    model.minimize(sum(cost))
    _add_hints(model, task, slots)
    solver = cp_model.CpSolver()
    # CP-SAT would put the default handler back when it ends: the next Ctrl-C would then lose the plan.
    solver.parameters.catch_sigint_signal = False
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 1
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return tuple(night for one in slots if (night := _read(solver, one)) is not None)


def _add_slot(model: cp_model.CpModel, task: Task, slot: Slot, number: int) -> SlotVariables | None:
    choices = menu(task, slot)
    if not choices.pick or not choices.drop:
        return None
    one = SlotVariables(slot, choices, model.new_bool_var(f"used{number}"))
    one.night = {night: model.new_bool_var("") for night in slot.nights}
    model.add(sum(one.night.values()) == one.used)
    _add_path(model, task, one)
    decks = _add_units(model, task, one)
    add_mixes(model, task.problem, one, length=slot.length(task.most_stops))
    _add_times(model, task, one)
    one.cost.append(round(task.problem.rigs[slot.rig].usd_per_night * MONEY) * one.used)
    for row in decks:
        model.add(row <= DECK)
    return one


def _add_path(model: cp_model.CpModel, task: Task, one: SlotVariables) -> None:
    problem, rig, names = task.problem, task.problem.rigs[one.slot.rig], one.menu.places()
    for p in range(one.slot.length(task.most_stops)):
        for i in one.slot.stops_at(p) if one.slot.held else names:
            if i in (one.menu.places() if p else one.menu.pick):
                one.at[p, i] = model.new_bool_var("")
    for p, i in one.at:
        onward = []
        for j in names:
            if i != j and (p + 1, j) in one.at:
                one.hop[p, i, j] = model.new_bool_var("")
                onward.append(one.hop[p, i, j])
                one.cost.append(round(problem.miles(i, j) * rig.usd_per_mile * MONEY) * one.hop[p, i, j])
        if p and i in one.menu.drop:
            one.home[p, i] = model.new_bool_var("")
            onward.append(one.home[p, i])
            one.cost.append(round(problem.miles(i, rig.base) * rig.usd_per_mile * MONEY) * one.home[p, i])
        model.add(one.at[p, i] == sum(onward))
    for p, j in one.at:
        if p:
            model.add(one.at[p, j] == sum(one.hop[p - 1, i, j] for i in names if (p - 1, i, j) in one.hop))
        else:
            one.cost.append(round(problem.miles(rig.base, j) * rig.usd_per_mile * MONEY) * one.at[p, j])
    model.add(sum(one.at[0, i] for i in names if (0, i) in one.at) == one.used)


def _most(problem: Problem, rig_index: int, kind: int) -> int:
    return min(problem.rigs[rig_index].fit[kind], problem.kinds[kind].units)


def _add_units(model: cp_model.CpModel, task: Task, one: SlotVariables) -> list[Any]:
    """Add (2) and (3); return the deck rows, each to be at most ``DECK``."""
    problem, rig = task.problem, task.problem.rigs[one.slot.rig]
    for (p, i), at in one.at.items():
        for menu_kinds, found in ((one.menu.pick.get(i, ()), one.on), (one.menu.drop.get(i, ()) if p else (), one.off)):
            for kind in menu_kinds:
                most = _most(problem, one.slot.rig, kind)
                if most:
                    found[p, i, kind] = model.new_int_var(0, most, "")
                    model.add(found[p, i, kind] <= most * at)
    aboard: dict[int, list[Any]] = defaultdict(list)
    decks: list[Any] = []
    kinds = sorted({kind for _, _, kind in one.on} | {kind for _, _, kind in one.off})
    length = one.slot.length(task.most_stops)
    for p in range(length):
        after = []
        for kind in kinds:
            aboard[kind] += [var for (q, _, k), var in one.on.items() if q == p and k == kind]
            aboard[kind] += [-var for (q, _, k), var in one.off.items() if q == p and k == kind]
            deck = model.new_int_var(0, _most(problem, one.slot.rig, kind) if p < length - 1 else 0, "")
            one.deck[p, kind] = deck
            model.add(deck == sum(aboard[kind]))
            aboard[kind] = [deck]
            after.append((kind, deck))
        decks += [
            sum((DECK // max(rig.fit[kind], 1)) * one.deck[p, kind] for kind in alike)
            for alike in by_size(problem, kinds).values()
        ]
        model.add(sum(round(problem.kinds[kind].weight_lb) * deck for kind, deck in after) <= int(rig.payload_lb))
        going_home = [var for (q, _), var in one.home.items() if q == p]
        if going_home:
            for kind, deck in after:
                model.add(deck <= _most(problem, one.slot.rig, kind) * (1 - sum(going_home)))
    return decks


def _tenths(minutes: float) -> int:
    return int(minutes * TIME + 0.999)


def _add_times(model: cp_model.CpModel, task: Task, one: SlotVariables) -> None:
    problem, rig = task.problem, task.problem.rigs[one.slot.rig]
    first, last = _dark_of_slot(task, one)
    far = max(_tenths(problem.drive_min(rig, rig.base, i)) for i in one.menu.places())
    one.start = model.new_int_var(first - far, last, "")
    one.finish = model.new_int_var(first - far, last + far, "")
    driving: list[Any] = []
    before: Any = one.start
    for p in range(one.slot.length(task.most_stops)):
        here = [i for q, i in one.at if q == p]
        begin = model.new_int_var(first, last, "")
        one.begin.append(begin)
        legs: list[Any] = (
            [_tenths(problem.drive_min(rig, rig.base, i)) * one.at[0, i] for i in here] if p == 0
            else [_tenths(problem.drive_min(rig, i, j)) * hop for (q, i, j), hop in one.hop.items() if q == p - 1]
        )
        model.add(begin >= before + sum(legs))
        end = begin + sum(_service(model, task, one, p, i) for i in here)
        model.add(end <= last)
        _keep_dark(model, task, one, p, (begin, end))
        back = [_tenths(problem.drive_min(rig, i, rig.base)) * var for (q, i), var in one.home.items() if q == p]
        model.add(one.finish >= end + sum(back))
        driving += legs + back
        before = end
    duty = one.duty = model.new_int_var(0, int(rig.duty_min * TIME), "")
    model.add(duty == one.finish - one.start)
    model.add(sum(driving) <= int(rig.driving_min * TIME))
    one.cost.append(round(rig.usd_per_min / TIME * MONEY) * duty)


def _dark_of_slot(task: Task, one: SlotVariables) -> tuple[int, int]:
    """Return the first and last dark moment at any of the slot's places on any of its nights. [tenths of a minute]"""
    dark = task.problem.dark
    spans = [dark[i, n] for i in one.menu.places() for n in one.slot.nights if (i, n) in dark]
    return _tenths(min(begin for begin, _ in spans)), int(max(end for _, end in spans) * TIME)


def _keep_dark(
    model: cp_model.CpModel, task: Task, one: SlotVariables, p: int, service: tuple[Any, ...]
) -> None:
    """Keep a stop's service within the dark hours of its place on the slot's night, whichever that is."""
    first, last = _dark_of_slot(task, one)
    for i in (place for q, place in one.at if q == p):
        spans = {n: task.problem.dark.get((i, n)) for n in one.slot.nights}
        for n in (night for night, span in spans.items() if span is None):
            model.add(one.at[p, i] + one.night[n] <= 1)
        kept = {n: (_tenths(span[0]), int(span[1] * TIME)) for n, span in spans.items() if span}
        latest, earliest = max(a for a, _ in kept.values()), min(b for _, b in kept.values())
        model.add(service[0] >= sum(a * one.night[n] for n, (a, _) in kept.items()) - latest * (1 - one.used)
                  - max(latest - first, 0) * (1 - one.at[p, i]) + min(first, 0) * (1 - one.used))
        model.add(service[1] <= sum(b * one.night[n] for n, (_, b) in kept.items()) + last * (1 - one.used)
                  + max(last - earliest, 0) * (1 - one.at[p, i]))


def _service(model: cp_model.CpModel, task: Task, one: SlotVariables, p: int, i: str) -> Any:
    problem, rig = task.problem, task.problem.rigs[one.slot.rig]
    parts: list[Any] = [_tenths(problem.setup_min) * one.at[p, i]]
    picked = [(kind, one.on[p, i, kind]) for kind in one.menu.pick.get(i, ()) if (p, i, kind) in one.on]
    lifted = picked + [(kind, one.off[p, i, kind]) for kind in one.menu.drop.get(i, ()) if (p, i, kind) in one.off]
    parts += [_tenths(problem.handling_min(rig, i, kind)) * units for kind, units in lifted]
    if picked:
        straps = one.straps[p, i] = model.new_bool_var("")
        model.add(straps <= one.at[p, i])
        if p == 0:
            model.add(straps == one.at[p, i])
        for kind, units in picked:
            model.add(units <= _most(problem, one.slot.rig, kind) * straps)
        parts.append(_tenths(problem.secure_min) * straps)
    return sum(parts)


def _add_nights(model: cp_model.CpModel, task: Task, slots: list[SlotVariables]) -> None:
    """Add (5)."""
    busy: dict[tuple[int, int], list[Any]] = defaultdict(list)
    for one in slots:
        for night, var in one.night.items():
            busy[one.slot.rig, night].append(var)
    taken = {(one.rig, one.night) for one in task.fixed}
    for key, listed in busy.items():
        model.add(sum(listed) <= (0 if key in taken else 1))
    for night in {night for _, night in busy}:
        _add_drivers(model, task, night, busy)
    for first, second in pairwise(slots):
        if first.slot.rig == second.slot.rig and first.slot.nights == second.slot.nights and not second.slot.was:
            model.add(first.used >= second.used)


def _add_drivers(
    model: cp_model.CpModel, task: Task, night: int, busy: Mapping[tuple[int, int], list[Any]]
) -> None:
    problem = task.problem
    owned = [index for index, rig in enumerate(problem.rigs) if not rig.hired]
    for least in owned:
        able = drivers_on(problem, least, night)
        like = [index for index in owned if set(problem.rigs[index].driven_by) <= set(problem.rigs[least].driven_by)]
        if able < len(like):
            fixed = sum(one.night == night and one.rig in like for one in task.fixed)
            model.add(sum(var for index in like for var in busy.get((index, night), [])) <= max(0, able - fixed))


def drivers_on(problem: Problem, rig: int, night: int) -> int:
    """Return how many drivers able to drive a rig are there on a night."""
    return len(problem.able(rig, night))


def _add_hints(model: cp_model.CpModel, task: Task, slots: list[SlotVariables]) -> None:
    for one in slots:
        was = one.slot.was
        times = clock(task.problem, was) if was else None
        route = {(p, stop.place): stop for p, stop in enumerate(was.stops)} if was else {}
        model.add_hint(one.used, was is not None)
        for night, var in one.night.items():
            model.add_hint(var, was is not None and was.night == night)
        for key, var in one.at.items():
            model.add_hint(var, key in route)
        for (p, i, j), var in one.hop.items():
            model.add_hint(var, (p, i) in route and (p + 1, j) in route)
        for (p, i), var in one.home.items():
            model.add_hint(var, (p, i) in route and p == len(route) - 1)
        for (p, i, kind), var in one.on.items():
            model.add_hint(var, dict(route[p, i].picked_up).get(kind, 0) if (p, i) in route else 0)
        for (p, i, kind), var in one.off.items():
            model.add_hint(var, dict(route[p, i].set_down).get(kind, 0) if (p, i) in route else 0)
        for (p, i), var in one.straps.items():
            model.add_hint(var, (p, i) in route and bool(route[p, i].picked_up))
        _hint_deck(model, one)
        _hint_times(model, task, one, times)


def _hint_deck(model: cp_model.CpModel, one: SlotVariables) -> None:
    stops = one.slot.was.stops if one.slot.was else ()
    for (p, kind), var in one.deck.items():
        rode = stops[: p + 1]
        model.add_hint(var, sum(dict(stop.picked_up).get(kind, 0) - dict(stop.set_down).get(kind, 0) for stop in rode))


def _hint_times(model: cp_model.CpModel, task: Task, one: SlotVariables, times: Clock | None) -> None:
    first, _ = _dark_of_slot(task, one)
    begins = [int(begin * TIME) for begin in times.begin] if times else []
    last = int(times.end[-1] * TIME) + 1 if times else first
    model.add_hint(one.start, int(times.start * TIME) if times else first)
    model.add_hint(one.finish, int(times.finish * TIME) + 1 if times else first)
    model.add_hint(one.duty, int(times.duty_min * TIME) + 1 if times else 0)
    for p, var in enumerate(one.begin):
        model.add_hint(var, begins[p] if p < len(begins) else last)


def _read(solver: cp_model.CpSolver, one: SlotVariables) -> DraftNight | None:
    if not solver.boolean_value(one.used):
        return None
    night = next(night for night, var in one.night.items() if solver.boolean_value(var))
    stops = []
    for (p, i), at in sorted(one.at.items()):
        if solver.boolean_value(at):
            on = tuple((k, n) for k in one.menu.pick.get(i, ()) if (n := _value(solver, one.on, p, i, k)))
            off = tuple((k, n) for k in one.menu.drop.get(i, ()) if (n := _value(solver, one.off, p, i, k)))
            if on or off:
                stops.append(DraftStop(i, on, off))
    return DraftNight(one.slot.rig, night, tuple(stops)) if stops else None


def _value(
    solver: cp_model.CpSolver, found: Mapping[tuple[int, str, int], cp_model.IntVar], p: int, i: str, kind: int
) -> int:
    return solver.value(found[p, i, kind]) if (p, i, kind) in found else 0
