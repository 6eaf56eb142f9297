"""Which hives go from which yard to which orchard, on to which next, home to which yard, before trucks are asked.

Sets: kinds k of units (h_k hives, f_k frames), ways w = (origin, destination, k), promises p.
Variables (whole units): x[w]; left[p,k]; short[p] and weak[p] are continuous.
Least miles, wages and share of a truck-night of a full deck's part of each unit, what is short, weak, left in, and
bonus missed. Subject to
    (1) delivered[p] + short[p] >= colonies[p], delivered[p] <= colonies[p] + over[p];
    (2) sum of (f_k - average[p]) h_k units + weak[p] >= 0;
    (3) all units in p go on, home or are left in;
    (4) what has left a yard by p's first night is at most its first stock and what surely came back before;
    (5) a yard holds what surely stands there when hives may come back.
A full deck's share is a guess at what a unit costs: this model proposes sources, it proves nothing.
Only ways that the linear program uses, or that would cost little more, are offered to the whole-number program.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf

from ortools.math_opt.python import mathopt

from routing.nights.flows.ways import Way, way_usd, ways_home, ways_in, ways_on
from routing.nights.problem import Problem, Promise

GAP, DEAR_USD, TINY = 5e-3, 1.0, 1e-7
NEVER = 10**6


@dataclass
class _Model:
    """The program, its variables by way, and what it costs."""

    problem: Problem
    program: mathopt.Model = field(default_factory=lambda: mathopt.Model(name="flows"))
    units: dict[Way, mathopt.Variable] = field(default_factory=dict)
    cost: list[mathopt.LinearBase] = field(default_factory=list)

    def column(self, usd: float, high: float = inf) -> mathopt.Variable:
        variable = self.program.add_variable(lb=0.0, ub=high)
        self.cost.append(usd * variable)
        return variable

    def row(self, terms: Iterable[tuple[mathopt.Variable, float]], low: float, high: float) -> None:
        expression = mathopt.LinearSum(value * variable for variable, value in terms)
        self.program.add_linear_constraint(lb=low, ub=high, expr=expression)


def flows(problem: Problem, *, seconds: float) -> dict[Way, int]:
    """Return units of each kind from place to place; empty when nothing was found in the time.

    Parameters
    ----------
    problem
        The operation in numbers, nothing of it done yet.
    seconds
        Time limit of the whole-number program. [s] > 0.
    """
    model = _Model(problem)
    ways = sorted(ways_in(problem) | ways_on(problem))
    into = {(destination, kind) for _, destination, kind in ways}
    ways += sorted(ways_home(problem, into))
    model.units = {way: model.column(way_usd(problem, way)) for way in ways}
    for promise in problem.promises.values():
        _add_promise(model, promise)
    _add_leaving(model, into)
    _add_yards(model)
    model.program.minimize(mathopt.LinearSum(model.cost))
    return _solved(model, seconds) if ways else {}


def _solved(model: _Model, seconds: float) -> dict[Way, int]:
    relaxed = mathopt.solve(model.program, mathopt.SolverType.GLOP)
    if relaxed.termination.reason != mathopt.TerminationReason.OPTIMAL:
        return {}
    for variable in model.units.values():
        if relaxed.variable_values(variable) < TINY and relaxed.reduced_costs(variable) > DEAR_USD:
            variable.upper_bound = 0.0
        else:
            variable.integer = True
    limits = mathopt.SolveParameters(time_limit=dt.timedelta(seconds=seconds), relative_gap_tolerance=GAP)
    result = mathopt.solve(model.program, mathopt.SolverType.HIGHS, params=limits)
    if not result.has_primal_feasible_solution():
        return {}
    return {way: units for way, one in model.units.items() if (units := round(result.variable_values(one)))}


def _add_promise(model: _Model, promise: Promise) -> None:
    kinds = model.problem.kinds
    into = [(one, kinds[kind]) for (_, place, kind), one in model.units.items() if place == promise.name]
    hives = [(one, float(kind.hives)) for one, kind in into]
    model.row([*hives, (model.column(promise.usd_short), 1.0)], promise.colonies, inf)
    model.row(hives, -inf, promise.colonies + promise.over)
    frames = [(one, (kind.frames - promise.min_average) * kind.hives) for one, kind in into]
    if promise.usd_weak is not None:
        frames.append((model.column(promise.usd_weak), 1.0))
    model.row(frames, 0.0, inf)


def _add_leaving(model: _Model, into: Iterable[tuple[str, int]]) -> None:
    problem = model.problem
    sums: dict[tuple[str, int], list[tuple[mathopt.Variable, float]]] = defaultdict(list)
    for (origin, destination, kind), one in model.units.items():
        sums[destination, kind].append((one, 1.0))
        sums[origin, kind].append((one, -1.0))
    for name, kind in sorted(into):
        if problem.promises[name].out:
            left = model.column(problem.usd_left_in * problem.kinds[kind].hives)
            model.row([*sums[name, kind], (left, -1.0)], 0.0, 0.0)


def _add_yards(model: _Model) -> None:
    promises = model.problem.promises
    out: dict[tuple[str, int], list[tuple[Promise, mathopt.Variable]]] = defaultdict(list)
    back: dict[tuple[str, int], list[tuple[Promise, mathopt.Variable]]] = defaultdict(list)
    for (origin, destination, kind), one in model.units.items():
        if origin not in promises:
            out[origin, kind].append((promises[destination], one))
        elif destination not in promises:
            back[destination, kind].append((promises[origin], one))
    for key, leaving in out.items():
        for first in sorted({promise.in_first for promise, _ in leaving}):
            terms = [(one, 1.0) for promise, one in leaving if promise.in_first <= first]
            terms += [(one, -1.0) for promise, one in back[key] if _ends(promise) < first]
            model.row(terms, -inf, model.problem.stock.get(key, 0))
    for yard in model.problem.operation.yards:
        hives = {key[1]: float(model.problem.kinds[key[1]].hives) for key in {*out, *back}}
        home = [(p, one, hives[k]) for (y, k), rows in back.items() if y == yard.name for p, one in rows]
        gone = [(p, one, hives[k]) for (y, k), rows in out.items() if y == yard.name for p, one in rows]
        stands = sum(one.hives for one in model.problem.operation.hive_groups if one.yard == yard.name)
        for first in sorted({promise.out[0] for promise, _, _ in home if promise.out}):
            terms = [(one, h) for promise, one, h in home if promise.out and promise.out[0] <= first]
            terms += [(one, -h) for promise, one, h in gone if promise.late_last < first]
            model.row(terms, -inf, max(yard.capacity_hives - stands, 0))


def _ends(promise: Promise) -> int:
    return promise.out[1] if promise.out else NEVER
