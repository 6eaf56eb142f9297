"""The siting of drops: which candidates, how many hives at each, with a proven gap.

Problem
    Hives of a contract are set down at few points so that every piece of ground has its share of them near by.
Data
    c_ij >= 0 cost of a hive at candidate i for ground j; w_j hives of ground j; p most stops; m, M least and
    most hives of a drop; q hives of a unit (a pallet), r by how much the last unit is short; near pairs.
Variables
    y_i in {0, 1} candidate i is a drop; n_i whole units at it; t_i in {0, 1} it holds the short unit;
    f_ij >= 0 hives at i that ground j draws on.
Model
    minimise sum c_ij f_ij
    (1) sum_i f_ij = w_j             all ground has its hives
    (2) f_ij <= w_j y_i              only drops have hives (one row each: far tighter than one for all)
    (3) sum_j f_ij = q n_i - r t_i   hives come in units; without units: m y_i <= sum_j f_ij <= M y_i
    (4) m y_i <= q n_i - r t_i <= M y_i
    (5) sum_i t_i = 1 if r > 0, t_i <= y_i
    (6) sum_i y_i <= p
    (7) y_i + y_k <= 1               for pairs nearer than the spacing
Method
    A siting by exchange (``search``), a bound by priced ground (``bound``), which also proves candidates
    useless; what is left goes to a mixed-integer solver (HiGHS through MathOpt). The solver's bound holds for
    the candidates left; every siting with another one costs more than the known siting.
"""

import datetime as dt
from dataclasses import dataclass, replace
from math import inf

import numpy as np
from ortools.math_opt.python import mathopt

from routing.drops.bound import QUICK, THOROUGH, Priced, priced
from routing.drops.problem import PARTS, Floats, Siting, SitingProblem
from routing.drops.search import allot, first_siting
from routing.errors import SolverError

NOTHING = 1e-7
MOST_FLOWS = 15_000
"""Variables f_ij of the model beyond which building it takes longer than it is worth, when a gap will do."""
LIKELY = 4
"""Sets of candidates from the relaxation that exchange begins from, in one turn."""


@dataclass(frozen=True)
class Solved:
    """The best siting found and a bound below every siting."""

    siting: Siting
    bound: float
    prices: Floats
    """Of ground, to begin the next problem with. [pieces]"""

    @property
    def gap(self) -> float:
        """(cost - bound) / cost; 0 when the siting is proven best."""
        cost = self.siting.cost
        return max(0.0, (cost - self.bound) / cost) if cost > NOTHING else 0.0


def solve_siting(
    problem: SitingProblem, *, gap: float = 0.0, seconds: float = 30.0, prices: Floats | None = None,
    start: tuple[int, ...] = (),
) -> Solved | None:
    """Return a siting at most ``gap`` above the least cost, or the best found in the time, with its bound.

    Parameters
    ----------
    problem
        Costs, hives, limits.
    gap
        Relative gap at which a siting is good enough; 0: proven best.
    seconds
        For the mixed-integer solver, 0 to do without it; the search before it takes some seconds at most.
    prices, start
        Of a like problem solved before.

    Returns
    -------
    Solved | None
        None when no siting keeps all rows, or none was found.

    Raises
    ------
    SolverError
        If the solver fails in another way than running out of time.
    """  # fmt: skip
    known = first_siting(problem, [start] if start else [])
    bounded = priced(problem, inf if known is None else known.cost, prices=prices, target=gap)
    for effort in (QUICK, QUICK, THOROUGH):
        if known is not None and _good_enough(known.cost, bounded.bound, gap):
            break
        again = first_siting(problem, bounded.likely[:LIKELY])
        if again is not None and (known is None or again.cost < known.cost):
            known = again
        cost = inf if known is None else known.cost
        bounded = _better(bounded, priced(problem, cost, prices=bounded.prices, target=gap, effort=effort))
    if known is not None and _good_enough(known.cost, bounded.bound, gap):
        return Solved(known, min(bounded.bound, known.cost), bounded.prices)
    left = replace(problem, closed=bounded.closed)
    too_large = gap > 0.0 and len(left.left()) * problem.wanted.size > MOST_FLOWS and known is not None
    if seconds <= 0.0 or too_large:
        return None if known is None else Solved(known, min(bounded.bound, known.cost), bounded.prices)
    found, bound = _exactly(left, known, gap=gap, seconds=seconds)
    if found is None:
        return None
    proven = max(bounded.bound, min(bound, inf if known is None else known.cost))
    return Solved(found, min(proven, found.cost), bounded.prices)


def _good_enough(cost: float, bound: float, gap: float) -> bool:
    return cost - bound <= max(gap, NOTHING) * abs(cost) + NOTHING


def _better(one: Priced, other: Priced) -> Priced:
    high = one if one.bound >= other.bound else other
    return replace(high, closed=one.closed | other.closed)


def _exactly(
    problem: SitingProblem, known: Siting | None, *, gap: float, seconds: float
) -> tuple[Siting | None, float]:
    """Solve the model over the candidates left; return the best siting with the bound over those candidates."""
    model = _Model(problem)
    parameters = mathopt.SolveParameters(
        time_limit=dt.timedelta(seconds=seconds), relative_gap_tolerance=max(gap * 0.9, NOTHING)
    )
    result = mathopt.solve(model.program, mathopt.SolverType.HIGHS, params=parameters)
    reason = result.termination.reason
    if reason == mathopt.TerminationReason.INFEASIBLE:
        return known, inf
    if reason not in _ENDED:
        raise SolverError(f"the siting model ended with {reason.name}.")
    bound = result.termination.objective_bounds.dual_bound
    if not result.has_primal_feasible_solution():
        return known, bound
    found = model.siting(result)
    better = found is not None and (known is None or found.cost < known.cost)
    return (found if better else known), bound


_ENDED = (mathopt.TerminationReason.OPTIMAL, mathopt.TerminationReason.FEASIBLE, mathopt.TerminationReason.NO_SOLUTION_FOUND)


class _Model:
    """The model over the candidates that are not closed."""

    def __init__(self, problem: SitingProblem) -> None:
        self.problem, self.where = problem, problem.left()
        self.program = mathopt.Model(name="siting")
        self.wanted = problem.wanted / PARTS
        self.drop = [self.program.add_binary_variable() for _ in self.where]
        self.flow = [
            [self.program.add_variable(lb=0.0, ub=float(wanted)) for wanted in self.wanted] for _ in self.where
        ]
        self._cost()
        self._ground()
        self._hives()
        self._stops()

    def _cost(self) -> None:
        terms = (
            self.problem.cost[one, piece] * flow
            for one, row in zip(self.where, self.flow, strict=True)
            for piece, flow in enumerate(row)
        )
        self.program.minimize(mathopt.LinearSum(terms))

    def _ground(self) -> None:
        # (1), (2)
        for piece, wanted in enumerate(self.wanted):
            self.program.add_linear_constraint(mathopt.LinearSum(row[piece] for row in self.flow) == float(wanted))
            for drop, row in zip(self.drop, self.flow, strict=True):
                self.program.add_linear_constraint(row[piece] <= float(wanted) * drop)

    def _hives(self) -> None:
        # (3), (4), (5)
        problem = self.problem
        if problem.is_free:
            return
        low, high, short = problem.least / PARTS, problem.highest / PARTS, problem.short / PARTS
        shorts = [self.program.add_binary_variable() for _ in self.where] if short else []
        for place, drop in enumerate(self.drop):
            held = mathopt.LinearSum(self.flow[place])
            self.program.add_linear_constraint(held >= low * drop)
            self.program.add_linear_constraint(held <= high * drop)
            if problem.unit:
                units = self.program.add_integer_variable(lb=0.0, ub=float(-(-problem.total // problem.unit)))
                missing = short * shorts[place] if short else 0.0
                self.program.add_linear_constraint(held == problem.unit / PARTS * units - missing)
            if short:
                self.program.add_linear_constraint(shorts[place] <= drop)
        if short:
            self.program.add_linear_constraint(mathopt.LinearSum(shorts) == 1.0)

    def _stops(self) -> None:
        # (6), (7)
        self.program.add_linear_constraint(mathopt.LinearSum(self.drop) <= float(self.problem.stops))
        for group in _near_groups(self.problem, self.where):
            self.program.add_linear_constraint(mathopt.LinearSum(self.drop[place] for place in group) <= 1.0)

    def siting(self, result: mathopt.SolveResult) -> Siting | None:
        """Return the solver's siting in whole parts, its shares of hives worked out exactly."""
        values = result.variable_values()
        places = [place for place, drop in enumerate(self.drop) if values[drop] > 0.5]
        chosen = tuple(self.where[place] for place in places)
        if self.problem.is_free:
            return allot(self.problem, chosen)
        held = [sum(values[flow] for flow in self.flow[place]) for place in places]
        whole = np.rint(np.array(held) * PARTS).astype(np.int64) if self.problem.unit else None
        return allot(self.problem, chosen, whole)


def _near_groups(problem: SitingProblem, where: list[int]) -> list[list[int]]:
    """Return groups, as places in ``where``, in which all are near to each other; every near pair is in one."""
    if problem.near is None:
        return []
    near = problem.near[np.ix_(where, where)]
    groups: list[list[int]] = []
    covered = np.zeros_like(near)
    for one in range(len(where)):
        for other in np.flatnonzero(near[one] & ~covered[one]):
            if other < one:
                continue
            group = [one, int(other)]
            together = near[one] & near[other]
            for third in np.flatnonzero(together):
                if near[third, group].all():
                    group.append(int(third))
            covered[np.ix_(group, group)] = True
            groups.append(sorted(group))
    return groups
