"""A proven lower bound: the relaxation priced by its linear program, then each segment solved in whole numbers.

The linear program of the whole season gives a price to each row that ties segments together (stock of yards,
hives that come and go, promises served on both sides of a cut). With these rows priced instead of kept, the
season falls apart into one small integer program a segment; the sum of their bounds, plus the priced right
sides, is a bound for the season: Lagrangian relaxation, A. M. Geoffrion, Mathematical Programming Study 2
(1974) 82-114 (from memory). At the linear program's prices it is never below the linear program's value, and
each segment's whole numbers lift it.

Each segment's bound is then a row of the linear program itself, and prices and segments are solved again:
Kelley's cutting planes for the Lagrangian dual (J. SIAM 8 (1960) 703-712; from memory).
"""

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf, isfinite

from ortools.graph.python import max_flow
from ortools.math_opt.python import mathopt

from routing.errors import SolverError
from routing.nights.reach import Arcs, Reach
from routing.nights.relaxation import Relaxed
from routing.nights.sparse import LINK, Column, Relaxation, Row

Columns = Sequence[mathopt.Variable] | Mapping[int, mathopt.Variable]
SCALE = 1_000_000
TOLERANCE = 1e-6
DUAL = mathopt.SolveParameters(lp_algorithm=mathopt.LPAlgorithm.DUAL_SIMPLEX)
"""Added rows leave the last prices feasible: the dual simplex method goes on from them."""
SMALL = 0.01
LIFT_USD = 0.5
WORTH = 5e-4
"""A round of reach rows that lifts the linear program by less than this share is the last."""


@dataclass(frozen=True)
class Bound:
    """A lower bound on the cost of every plan, and how it was proven."""

    usd: float
    segments_solved: int
    segments: int


@dataclass(frozen=True)
class Priced:
    """The linear program's answer: its columns, the linking rows with their prices, priced costs, values."""

    columns: tuple[Column, ...]
    links: tuple[Row, ...]
    prices: tuple[float, ...]
    cost: tuple[float, ...]
    values: tuple[float, ...]

    def fixed_usd(self) -> float:
        """Return the priced right sides of the linking rows."""
        pairs = zip(self.prices, self.links, strict=True)
        return sum(y * (row.low if y > 0 else row.high) for y, row in pairs if y)

    def blocks(self) -> list[int]:
        """Return the segments that have variables."""
        return sorted({column.block for column in self.columns})

    def usd_of(self, block: int) -> float:
        """Return what the linear program says that a segment costs at these prices."""
        chosen = (index for index, column in enumerate(self.columns) if column.block == block)
        return sum(self.cost[index] * self.values[index] for index in chosen)


class Season:
    """The season's linear program, kept by the solver so that added rows are cheap."""

    def __init__(self, relaxed: Relaxed) -> None:
        self.model = Relaxation(list(relaxed.model.columns), list(relaxed.model.rows))
        self.reach = relaxed.reach
        self._program = mathopt.Model(name="season")
        self._variables = [self._program.add_variable(lb=0.0, ub=column.high) for column in self.model.columns]
        pairs = zip(self.model.columns, self._variables, strict=True)
        self._program.minimize(mathopt.LinearSum(column.cost * x for column, x in pairs if column.cost))
        self._constraints = [_add_row(self._program, row, self._variables) for row in self.model.rows]
        self._solver = mathopt.IncrementalSolver(self._program, mathopt.SolverType.GLOP)

    def add(self, rows: Sequence[Row]) -> None:
        """Add rows that every plan keeps."""
        self.model.rows.extend(rows)
        self._constraints += [_add_row(self._program, row, self._variables) for row in rows]

    def price(
        self, *, rounds: int, stop: Callable[[], bool] = lambda: False, tell: Callable[[float], None] = lambda _: None
    ) -> Priced:
        """Solve, adding broken reach rows while they are worth it; each round's value, a bound already, is told.

        Raises
        ------
        SolverError
            If the program has no optimum (it always has: every promise may be short).
        """
        before = -inf
        for turn in range(rounds + 1):
            result = self._solver.solve(params=DUAL)
            if result.termination.reason != mathopt.TerminationReason.OPTIMAL:
                # Begun from the last basis it may end imprecise: then another solver does it from nothing.
                result = self.solved_afresh()
            usd, values = result.objective_value(), tuple(result.variable_values(self._variables))
            tell(usd - TOLERANCE * abs(usd))
            rows = broken_reach(self.reach, values) if turn < rounds else []
            if not rows or stop() or usd < before + WORTH * abs(before):
                break
            self.add(rows)
            before = usd
        else:
            raise SolverError("the season's linear program was never solved.")
        return self._priced(result, values)

    def solved_afresh(self) -> mathopt.SolveResult:
        """Solve from nothing by HiGHS; raise ``SolverError`` when even that finds no optimum."""
        result = mathopt.solve(self._program, mathopt.SolverType.HIGHS)
        if result.termination.reason != mathopt.TerminationReason.OPTIMAL:
            raise SolverError(f"the season's linear program ended with {result.termination.reason.name}.")
        return result

    def _priced(self, result: mathopt.SolveResult, values: tuple[float, ...]) -> Priced:
        known = zip(self.model.rows, self._constraints, strict=False)
        duals = [(row, result.dual_values(one)) for row, one in known if one in result.dual_values()]
        links = [(row, _sound(dual, row)) for row, dual in duals if self.model.block_of(row) == LINK]
        cost = [column.cost for column in self.model.columns]
        for row, dual in links:
            for column, coefficient in row.terms:
                cost[column] -= dual * coefficient
        prices = tuple(dual for _, dual in links)
        return Priced(tuple(self.model.columns), tuple(row for row, _ in links), prices, tuple(cost), values)


def lower_bounds(season: Season, priced: Priced, *, seconds_each: float) -> Iterator[Bound]:
    """Yield rising bounds: the linear program's, then one more for each segment solved in whole numbers.

    After each pass the segments' bounds become rows of the linear program, which gives better prices for the
    next pass; it ends when no row is broken any more, or never, and the caller stops asking.

    Parameters
    ----------
    season
        The linear program; rows are added to it.
    priced
        Its answer so far.
    seconds_each
        Time limit for one segment's integer program, doubled after a pass that gained nothing. [s] > 0.
    """
    blocks, best = priced.blocks(), 0.0
    own: dict[int, list[Row]] = {block: [] for block in blocks}
    while True:
        parts = {block: priced.usd_of(block) for block in blocks}
        fixed, before, solved, rows = priced.fixed_usd(), best, 0, list[Row]()
        for block in blocks:
            usd, closed = _lift(season, priced, block, own[block], seconds=seconds_each)
            solved += closed
            if usd > parts[block] + LIFT_USD:
                parts[block] = usd
                rows.append(_as_row(season.model, priced, block, usd))
            best = max(best, fixed + sum(parts.values()))
            yield Bound(best, solved, len(blocks))
        if not rows and solved == len(blocks):
            return
        if best < before + LIFT_USD:
            seconds_each *= 2.0
        season.add([*rows, *(row for extra in own.values() for row in extra)])
        own = {block: [] for block in blocks}
        priced = season.price(rounds=3)


def _lift(season: Season, priced: Priced, block: int, own: list[Row], *, seconds: float) -> tuple[float, bool]:
    """Return a segment's bound in whole numbers and whether it was solved; reach rows it breaks go to ``own``."""
    rows = [row for row in season.model.rows if season.model.block_of(row) == block]
    inside = [column.block == block for column in season.model.columns]
    while True:
        usd, closed, value = _solve(season.model, inside, rows + own, priced.cost, seconds)
        extra = _inside(season.model, block, broken_reach(season.reach, value)) if closed and value else []
        if not extra:
            return usd, closed
        own.extend(extra)


def _as_row(model: Relaxation, priced: Priced, block: int, usd: float) -> Row:
    """Return a segment's bound as a row: at these prices no whole-number answer costs less."""
    costs = ((index, priced.cost[index]) for index, column in enumerate(model.columns) if column.block == block)
    return Row(usd - 1e-3, inf, tuple((index, cost) for index, cost in costs if abs(cost) > 1e-9))


def _inside(model: Relaxation, block: int, rows: list[Row]) -> list[Row]:
    return [row for row in rows if model.block_of(row) == block]


def _sound(dual: float, row: Row) -> float:
    """Return a price of the right sign for the row's open side: rounding must not spoil the bound."""
    if (dual > 0 and not isfinite(row.low)) or (dual < 0 and not isfinite(row.high)):
        return 0.0
    return dual


def _add_row(program: mathopt.Model, row: Row, variables: Columns) -> mathopt.LinearConstraint:
    expression = mathopt.LinearSum(coefficient * variables[column] for column, coefficient in row.terms)
    return program.add_linear_constraint(lb=row.low, ub=row.high, expr=expression)


def _solve(
    model: Relaxation, inside: Sequence[bool], rows: Sequence[Row], cost: Sequence[float], seconds: float
) -> tuple[float, bool, list[float]]:
    """Return the proven bound of segments' integer program, whether it was solved, and its columns' values."""
    program = mathopt.Model(name="segments")
    variables = {
        index: program.add_variable(lb=0.0, ub=column.high, is_integer=column.whole)
        for index, column in enumerate(model.columns) if inside[index]
    }
    program.minimize(mathopt.LinearSum(cost[index] * x for index, x in variables.items()))
    for row in rows:
        _add_row(program, row, variables)
    limits = mathopt.SolveParameters(time_limit=dt.timedelta(seconds=seconds), relative_gap_tolerance=1e-4)
    result = mathopt.solve(program, mathopt.SolverType.HIGHS, params=limits)
    value = [0.0] * len(model.columns)
    if result.has_primal_feasible_solution():
        for index, x in variables.items():
            value[index] = result.variable_values(x)
    closed = result.termination.reason == mathopt.TerminationReason.OPTIMAL
    found = value if result.has_primal_feasible_solution() else []
    return result.termination.objective_bounds.dual_bound, closed, found


def broken_reach(reach: tuple[Reach, ...], value: Sequence[float]) -> list[Row]:
    """Return the reach rows that a solution breaks, the worst set for each promise and direction."""
    rows = []
    for one in reach:
        terms = [(column, hives / one.owed) for column, hives in one.slack]
        for arcs in one.rides:
            terms += [(column, 1.0) for column in _smallest_cut(arcs, one.place, value)]
        if sum(a * value[c] for c, a in terms) < 1.0 - SMALL:
            rows.append(Row(1.0, inf, tuple(terms)))
    return rows


def _smallest_cut(arcs: Arcs, place: str, value: Sequence[float]) -> list[int]:
    """Return the columns of the arcs into the set, around a place, that the solution drives into least."""
    names = sorted({name for i, j, _ in arcs for name in (i, j)} | {place, ""})
    number = {name: index for index, name in enumerate(names)}
    flow = max_flow.SimpleMaxFlow()
    for i, j, column in arcs:
        flow.add_arc_with_capacity(number[i], number[j], round(max(value[column], 0.0) * SCALE))
    flow.solve(number[""], number[place])
    near = {names[index] for index in flow.get_source_side_min_cut()}
    return [column for i, j, column in arcs if i in near and j not in near]
