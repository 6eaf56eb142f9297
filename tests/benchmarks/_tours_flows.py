"""Which hives go from which yard to which orchard, on to which next, home to which yard: a peer's first stage.

Routing libraries cannot choose whence a shipment comes, nor see strength averages: this is decided before.

Sets: sorts s of units (h_s hives, f_s frames), yards y, promises p in order of their first night in.
Variables (whole units): x[y,s,p] yard to orchard, o[p,s,q] on to the next bloom, r[p,s,y] home, l[p,s] left in; short[p]
and weak[p] are continuous.
Minimise miles of a full deck's share of each unit, what is short, weak, left in, bonus missed. Subject to
(1) delivered[p] + short[p] >= colonies[p], delivered[p] <= colonies[p] + over[p];
(2) sum of (f_s - average[p]) h_s units + weak[p] >= 0;
(3) all units in p go on, home or are left in;
(4) stock: what has left a yard by p's first night <= first stock + what surely came back before;
(5) room: a yard holds what surely stands there when hives may come back.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import coo_array, csr_array, vstack

from routing.nights.haul.job import Job
from routing.nights.problem import Problem, Promise
from tests.benchmarks._tours_sorts import Sorted

Flow = tuple[str, str, int]
"""Origin, destination, sort."""
NEAR_WITH_STOCK, NEAR_YARDS, NEAR_NEXT = 12, 8, 6
GAP = 5e-3
TINY, DEAR_USD, DEAR_OF_MANY_USD, MANY_COLUMNS = 1e-7, 1.0, 0.02, 20_000
"""A unit of a column whose reduced cost is above that is left out of the whole numbers; less is borne where there are many."""


@dataclass
class _Model:
    """Columns and rows, gathered one by one."""

    cost: list[float]
    upper: list[float]
    whole: list[int]
    cells: list[tuple[int, int, float]]
    bounds: list[tuple[float, float]]

    def column(self, cost: float, upper: float = np.inf, *, whole: bool = True) -> int:
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def row(self, terms: Iterable[tuple[int, float]], low: float, high: float) -> None:
        self.cells += [(len(self.bounds), column, value) for column, value in terms]
        self.bounds.append((low, high))

    def solve(self, seconds: float) -> np.ndarray | None:
        """Return whole values: of the columns only that the linear program uses or nearly uses."""
        at, columns, values = zip(*self.cells, strict=True)
        matrix = coo_array((values, (at, columns)), shape=(len(self.bounds), len(self.cost))).tocsr()
        low, high = (np.array(ends) for ends in zip(*self.bounds, strict=True))
        top = self._useful(matrix, low, high)
        answer = milp(
            np.array(self.cost), integrality=np.array(self.whole), bounds=Bounds(0.0, top),
            constraints=LinearConstraint(matrix, low, high), options={"time_limit": seconds, "mip_rel_gap": GAP},
        )  # fmt: skip
        return None if answer.x is None else np.asarray(answer.x)

    def _useful(self, matrix: csr_array, low: np.ndarray, high: np.ndarray) -> np.ndarray:
        """Return the upper bound of each column, 0 where the linear program would pay dearly for a unit of it."""
        upper, some, other = np.array(self.upper), np.isfinite(high), np.isfinite(low)
        relaxed = linprog(
            np.array(self.cost), A_ub=vstack([matrix[some], -matrix[other]]), b_ub=np.concatenate([high[some], -low[other]]),
            bounds=np.column_stack([np.zeros(len(upper)), upper]), method="highs",
        )  # fmt: skip
        if relaxed.x is None:
            return upper
        dear_usd = DEAR_OF_MANY_USD if len(upper) > MANY_COLUMNS else DEAR_USD
        dear = (relaxed.x < TINY) & (relaxed.lower.marginals > dear_usd) & (np.array(self.whole) == 1)
        return np.where(dear, 0.0, upper)


def flows(had: Sorted, *, seconds: float) -> dict[Flow, int]:
    """Return units of each sort from place to place.

    Raises
    ------
    RuntimeError
        If the solver found nothing in its seconds.
    """
    model, columns = _Model([], [], [], [], []), dict[Flow, int]()
    ways = sorted(_ways_in(had) | _ways_on(had))
    into = {(q, s) for _, q, s in ways}
    ways += sorted(_ways_home(had, into))
    for way in ways:
        columns[way] = model.column(_usd(had, way))
    left = {(p, s): model.column(had.problem.usd_left_in * had.sorts[s].hives) for p, s in into if had.problem.promises[p].out}
    _promise_rows(had, model, columns)
    _leaving_rows(had, model, columns, left)
    _yard_rows(had, model, columns)
    answer = model.solve(seconds)
    if answer is None:
        raise RuntimeError("the first stage found nothing")
    return {way: units for way, column in columns.items() if (units := round(answer[column]))}


def _reachable(had: Sorted, origin: str, destination: str, sort: int) -> bool:
    """Tell whether some rig with room for the sort gets into both places and back within its hours."""
    return any(
        had.sorts[sort].fit[index] and {origin, destination} <= rig.places
        and had.problem.drive_min(rig, rig.base, origin) + had.problem.drive_min(rig, origin, destination)
        + had.problem.drive_min(rig, destination, rig.base) <= min(rig.driving_min, rig.duty_min - 60.0)
        for index, rig in enumerate(had.problem.rigs)
    )  # fmt: skip


def _yards(problem: Problem) -> list[str]:
    return [name for name, site in problem.sites.items() if site.kind == "yard"]


def _near(problem: Problem, place: str, others: Iterable[str], many: int) -> list[str]:
    return sorted(others, key=lambda one: (problem.miles(one, place), one))[:many]


def _ways_in(had: Sorted) -> set[Flow]:
    problem, found = had.problem, set[Flow]()
    for name, promise in problem.promises.items():
        if promise.in_first > promise.in_last:
            continue
        back = _near(problem, name, _yards(problem), NEAR_YARDS)
        for sort, one in enumerate(had.sorts):
            if name in one.serves:
                stocked = _near(problem, name, {yard for yard, s in had.stock if s == sort}, NEAR_WITH_STOCK)
                found |= {(yard, name, sort) for yard in {*stocked, *back} if _reachable(had, yard, name, sort)}
    return found


def _ways_on(had: Sorted) -> set[Flow]:
    problem, found = had.problem, set[Flow]()
    for name, promise in problem.promises.items():
        if promise.out is None:
            continue
        after = [
            other for other, one in problem.promises.items()
            if other != name and max(one.in_first, promise.out[0]) <= min(one.in_last, promise.out[1]) and _later(promise, one)
        ]
        for other in _near(problem, name, after, NEAR_NEXT):
            found |= {(name, other, sort) for sort, one in enumerate(had.sorts)
                      if name in one.serves and other in one.serves and _reachable(had, name, other, sort)}  # fmt: skip
    return found


def _later(one: Promise, other: Promise) -> bool:
    return other.out is None or one.out is None or other.out[0] > one.out[0]


def _ways_home(had: Sorted, into: set[tuple[str, int]]) -> set[Flow]:
    problem = had.problem
    return {
        (name, yard, sort) for name, sort in into if problem.promises[name].out
        for yard in _near(problem, name, _yards(problem), NEAR_YARDS) if _reachable(had, name, yard, sort)
    }  # fmt: skip


def _usd(had: Sorted, way: Flow) -> float:
    """Return what one unit's share of the cheapest full deck costs, there and half the way back, and bonus missed. [USD]"""
    origin, destination, sort = way
    problem = had.problem
    usd = min(
        (1.5 * problem.miles(origin, destination) * rig.usd_per_mile + rig.usd_per_night / 2) * had.share(sort, index)
        for index, rig in enumerate(problem.rigs) if had.sorts[sort].fit[index] and {origin, destination} <= rig.places
    )  # fmt: skip
    promise = problem.promises.get(destination)
    missed = promise.usd_bonus_missed[had.sorts[sort].kinds[0]] * had.sorts[sort].hives if promise else 0.0
    return usd + missed


def _promise_rows(had: Sorted, model: _Model, columns: Mapping[Flow, int]) -> None:
    for name, promise in had.problem.promises.items():
        into = [(column, had.sorts[s]) for (_, q, s), column in columns.items() if q == name]
        short = model.column(promise.usd_short, whole=False)
        hives = [(column, float(one.hives)) for column, one in into]
        model.row([*hives, (short, 1.0)], promise.colonies, np.inf)
        model.row([*hives, (short, 0.0)], 0.0, promise.colonies + promise.over)
        weak = model.column(promise.usd_weak or 0.0, np.inf if promise.usd_weak is not None else 0.0, whole=False)
        frames = [(column, (one.frames - promise.min_average) * one.hives) for column, one in into]
        model.row([*frames, (weak, 1.0)], 0.0, np.inf)


def _leaving_rows(
    had: Sorted, model: _Model, columns: Mapping[Flow, int], left: Mapping[tuple[str, int], int]
) -> None:
    sums: dict[tuple[str, int], list[tuple[int, float]]] = defaultdict(list)
    for (origin, destination, sort), column in columns.items():
        if (destination, sort) in left:
            sums[destination, sort].append((column, 1.0))
        if (origin, sort) in left:
            sums[origin, sort].append((column, -1.0))
    for key, terms in sums.items():
        model.row([*terms, (left[key], -1.0)], 0.0, 0.0)


def _yard_rows(had: Sorted, model: _Model, columns: Mapping[Flow, int]) -> None:
    promises = had.problem.promises
    out: dict[tuple[str, int], list[tuple[str, int]]] = defaultdict(list)
    back: dict[tuple[str, int], list[tuple[str, int]]] = defaultdict(list)
    for (origin, destination, sort), column in columns.items():
        if origin not in promises:
            out[origin, sort].append((destination, column))
        elif destination not in promises:
            back[destination, sort].append((origin, column))
    for key, taken in out.items():
        for first in sorted({promises[p].in_first for p, _ in taken}):
            terms = [(column, 1.0) for p, column in taken if promises[p].in_first <= first]
            terms += [(column, -1.0) for p, column in back[key] if _ends(promises[p]) < first]
            model.row(terms, -np.inf, had.stock.get(key, 0))
    for yard in had.problem.operation.yards:
        _room_rows(had, model, (yard.name, yard.capacity_hives), out, back)


def _ends(promise: Promise) -> int:
    return promise.out[1] if promise.out else 10**6


def _room_rows(
    had: Sorted, model: _Model, yard: tuple[str, int], out: Mapping[tuple[str, int], list[tuple[str, int]]],
    back: Mapping[tuple[str, int], list[tuple[str, int]]],
) -> None:
    name, room = yard
    promises = had.problem.promises
    stands = sum(one.hives for one in had.problem.operation.hive_groups if one.yard == name)
    home = [(p, column, s) for (y, s), rows in back.items() if y == name for p, column in rows]
    gone = [(p, column, s) for (y, s), rows in out.items() if y == name for p, column in rows]
    for first in sorted({promises[p].out[0] for p, _, _ in home}):  # type: ignore[index]
        terms = [(column, float(had.sorts[s].hives)) for p, column, s in home if promises[p].out[0] <= first]  # type: ignore[index]
        terms += [(column, -float(had.sorts[s].hives)) for p, column, s in gone if promises[p].late_last < first]
        model.row(terms, -np.inf, room - stands)


def jobs_of(had: Sorted, moved: Mapping[Flow, int], *, deck: float, rig: int) -> dict[int, Job]:
    """Return the flows cut into jobs that take at most such a share of a rig's deck.

    Sorts that go the same way share a job. Where only a smaller rig gets in, its deck counts.
    """
    by_way: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
    for (origin, destination, sort), units in sorted(moved.items()):
        by_way[origin, destination].append((sort, units))
    found: list[Job] = []
    for (origin, destination), listed in by_way.items():
        goes = [index for index, one in enumerate(had.problem.rigs) if {origin, destination} <= one.places]
        counted = rig if rig in goes else min(goes, key=lambda one: had.problem.rigs[one].payload_lb)
        found += [_job(had.problem, had, (origin, destination), part) for part in _cut(had, listed, (deck, counted))]
    return dict(enumerate(found))


def _cut(had: Sorted, units: list[tuple[int, int]], how: tuple[float, int]) -> list[tuple[tuple[int, int], ...]]:
    deck, rig = how
    parts: list[dict[int, int]] = [{}]
    filled = 0.0
    for sort, many in units:
        each = had.share(sort, rig)
        for _ in range(many):
            if filled + each > deck + 1e-9 and parts[-1]:
                parts.append({})
                filled = 0.0
            parts[-1][sort] = parts[-1].get(sort, 0) + 1
            filled += each
    return [tuple(sorted(part.items())) for part in parts if part]


def _job(problem: Problem, had: Sorted, way: tuple[str, str], units: tuple[tuple[int, int], ...]) -> Job:
    origin, destination = way
    hives = sum(had.sorts[sort].hives * many for sort, many in units)
    outs, ins = problem.promises.get(origin), problem.promises.get(destination)
    first = max(ins.in_first if ins else 0, outs.out[0] if outs and outs.out else 0)
    on_time = min(ins.in_last if ins else problem.last_night, outs.out[1] if outs and outs.out else problem.last_night)
    last = min(ins.late_last if ins else problem.last_night, outs.out[1] if outs and outs.out else problem.last_night)
    undone = hives * ((ins.usd_short if ins else 0.0) + (problem.usd_left_in if outs else 0.0))
    return Job(origin, destination, units, max(first, 0), min(last, problem.last_night), on_time,
               hives * (ins.usd_late if ins else 0.0), undone)  # fmt: skip
