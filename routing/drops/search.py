"""Good sitings found quickly: nearest assignment, exchanges of one candidate for another, and exact shares of hives.

Exchange: Teitz and Bart, Operations Research 16 (1968) 955-961 (from memory). Shares of hives for chosen
candidates are a transportation problem, solved exactly as a minimum-cost flow in whole parts of a hive.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from ortools.graph.python import min_cost_flow

from routing.drops.problem import Floats, Siting, SitingProblem, Whole, siting_of

FINEST = 1_000_000
"""Costs are rounded to so many steps for the flow only; what a siting costs is reckoned anew."""
MOST_FLOWS = 400_000
"""Arcs of all the exchanges whose shares of hives are worked out exactly in one improvement, at most."""
PROMISING = 25
BESIDE = 6
"""Candidates beside a drop that it is moved to."""
MOST_MOVES = 16
"""Moves of one unit between neighbouring drops, tried in one round."""


def first_siting(problem: SitingProblem, starts: Iterable[tuple[int, ...]] = ()) -> Siting | None:
    """Return a good siting, or None when no candidates were found that keep all rows.

    Parameters
    ----------
    starts
        Candidates to begin from, such as those of a relaxation.
    """
    best: Siting | None = None
    for start in (_greedy(problem), *starts):
        begun = _filled_up(problem, start)
        if not begun:
            continue
        exchanged = _exchange(problem, begun)
        for chosen in dict.fromkeys((exchanged, begun)):
            found = allot(problem, chosen)
            if found is not None and (best is None or found.cost < best.cost):
                best = found
    return best if best is None or problem.is_free else _improved(problem, best)


def _units_moved(problem: SitingProblem, best: Siting) -> Siting:
    """Return the siting after moves of one unit from drop to drop, while one pays."""
    if not problem.unit:
        return best
    moved = True
    while moved:
        moved = False
        for giver, taker in _by_worth(problem, best):
            held = best.held
            held[giver] -= problem.unit
            held[taker] += problem.unit
            if held[giver] < max(problem.least, 1) or held[taker] > problem.highest:
                continue
            found = _flow(problem, best.chosen, low=held, high=held)
            if found is not None and found.cost < best.cost * (1.0 - 1e-9):
                best, moved = found, True
                break
    return best


def _by_worth(problem: SitingProblem, siting: Siting) -> list[tuple[int, int]]:
    """Return pairs of drops in order of how much nearer the ground of the first is to the second, at its best."""
    cost = problem.cost[list(siting.chosen)]
    pairs = []
    for giver, flow in enumerate(siting.flow):
        drawn = flow > 0
        for taker in range(len(siting.chosen)):
            if taker != giver:
                pairs.append((float((cost[taker, drawn] - cost[giver, drawn]).min()), giver, taker))
    return [(giver, taker) for _, giver, taker in sorted(pairs)[:MOST_MOVES]]


def allot(problem: SitingProblem, chosen: tuple[int, ...], held: Whole | None = None) -> Siting | None:
    """Return the cheapest shares of hives for chosen candidates, each holding what it may; None if none can.

    Parameters
    ----------
    held
        Hives at each, if they are settled; else they are chosen too, and rounded to whole units. [parts]
    """
    if problem.is_free and held is None:
        return _nearest(problem, chosen)
    if held is not None:
        return _flow(problem, chosen, low=held, high=held)
    count = len(chosen)
    low, high = np.full(count, problem.least), np.full(count, problem.highest)
    if low.sum() > problem.total or high.sum() < problem.total:
        return None
    loose = _flow(problem, chosen, low=low, high=high)
    if loose is None or not problem.unit or len(loose.chosen) < count:
        return loose if loose is not None and not problem.unit else None
    rounded = _in_units(problem, loose.held)
    return None if rounded is None else _flow(problem, chosen, low=rounded, high=rounded)


def shared_out(problem: SitingProblem, chosen: tuple[int, ...], most: Whole) -> Siting | None:
    """Return the cheapest shares of hives for drops that each hold up to a number of their own; None if too few fit."""
    if int(most.sum()) < problem.total:
        return None
    return _flow(problem, chosen, low=np.zeros_like(most), high=np.minimum(most, problem.total))


def _nearest(problem: SitingProblem, chosen: tuple[int, ...]) -> Siting:
    nearest = problem.cost[list(chosen)].argmin(axis=0)
    flow = np.zeros((len(chosen), problem.wanted.size), dtype=np.int64)
    flow[nearest, np.arange(problem.wanted.size)] = problem.wanted
    return siting_of(problem, chosen, flow)


def _flow(problem: SitingProblem, chosen: tuple[int, ...], *, low: Whole, high: Whole) -> Siting | None:
    """Return the cheapest flow from candidates, each between its low and high, to the ground."""
    count, pieces = len(chosen), problem.wanted.size
    cost = problem.cost[list(chosen)]
    scale = FINEST / max(float(cost.max()), 1e-12)
    whole = np.rint(cost * (max(1, int(scale)) if scale >= 1.0 else scale)).astype(np.int64)
    model = min_cost_flow.SimpleMinCostFlow()
    source = count + pieces
    drops, ground = np.arange(count), np.arange(count, source)
    arcs = model.add_arcs_with_capacity_and_unit_cost(
        np.repeat(drops, pieces), np.tile(ground, count), np.tile(problem.wanted, count), whole.ravel()
    )
    # What a drop must hold is drawn first, since it pays more than anything else can cost.
    reward = int(whole.max()) * 4 + 4
    model.add_arcs_with_capacity_and_unit_cost(np.full(count, source), drops, low, np.full(count, -reward))
    model.add_arcs_with_capacity_and_unit_cost(np.full(count, source), drops, high - low, np.zeros(count, dtype=np.int64))
    model.set_nodes_supplies(ground, -problem.wanted)
    model.set_nodes_supplies(np.array([source]), np.array([problem.total]))
    if model.solve() != model.OPTIMAL:
        return None
    flow = np.asarray(model.flows(arcs), dtype=np.int64).reshape(count, pieces)
    if (flow.sum(axis=1) < low).any():
        return None
    return siting_of(problem, chosen, flow)


def _in_units(problem: SitingProblem, held: Whole) -> Whole | None:
    """Return the hives at each drop in whole units, one of them short where the sum wants it, near to ``held``."""
    unit, short = problem.unit, problem.short
    least = -(-problem.least // unit)
    most = problem.highest // unit
    units = np.clip(held // unit, least, most)
    left = (problem.total + short) // unit - int(units.sum())
    while left:
        up = 1 if left > 0 else -1
        may = (units + up >= max(least, 1)) & (units + up <= most)
        if not may.any():
            return None
        gain = np.where(may, up * (held - units * unit), -np.inf)
        units[int(gain.argmax())] += up
        left -= up
    rounded: Whole = units * unit
    if short:
        may = rounded - short >= max(problem.least, 1)
        if not may.any():
            return None
        rounded[int(np.where(may, rounded - held, -np.inf).argmax())] -= short
    return rounded


def _greedy(problem: SitingProblem) -> tuple[int, ...]:
    return _filled_up(problem, ())


def _filled_up(problem: SitingProblem, start: tuple[int, ...]) -> tuple[int, ...]:
    """Return ``start``, less what is too near to each other, with candidates added while they are worth it."""
    chosen: list[int] = []
    for one in start:
        if one not in problem.closed and not _too_near(problem, chosen, one) and len(chosen) < problem.stops:
            chosen.append(one)
    may = np.ones(problem.cost.shape[0], dtype=bool)
    may[list(problem.closed)] = False
    now = problem.cost[chosen].min(axis=0) if chosen else np.full(problem.wanted.size, np.inf)
    while len(chosen) < problem.stops:
        free = may & ~_near_any(problem, chosen)
        free[chosen] = False
        if not free.any():
            break
        total = (np.minimum(problem.cost, now) * problem.wanted).sum(axis=1)
        best = int(np.where(free, total, np.inf).argmin())
        chosen.append(best)
        now = np.minimum(now, problem.cost[best])
    return tuple(chosen)


def _too_near(problem: SitingProblem, chosen: list[int], one: int) -> bool:
    return problem.near is not None and bool(chosen) and bool(problem.near[one, chosen].any())


def _near_any(problem: SitingProblem, chosen: list[int]) -> NDArray[np.bool_]:
    if problem.near is None or not chosen:
        return np.zeros(problem.cost.shape[0], dtype=np.bool_)
    return np.asarray(problem.near[:, chosen].any(axis=1), dtype=np.bool_)


def _exchange(problem: SitingProblem, chosen: tuple[int, ...]) -> tuple[int, ...]:
    """Return candidates that no single exchange improves, each piece of ground drawing on its nearest."""
    now = list(chosen)
    while True:
        change, place, new = _best_exchange(problem, now)[0]
        if change >= -1e-9 * max(1.0, float(problem.cost.max())):
            return tuple(now)
        now[place] = new


def _best_exchange(problem: SitingProblem, chosen: list[int]) -> list[tuple[float, int, int]]:
    """Return the exchanges in order of what they change, the best first: change, place in ``chosen``, newcomer."""
    cost = problem.cost[chosen]
    order = np.argsort(cost, axis=0)
    first = np.take_along_axis(cost, order[:1], axis=0)[0]
    second = np.take_along_axis(cost, order[1:2], axis=0)[0] if len(chosen) > 1 else np.full(first.size, cost.max() * 4 + 1)
    changes = np.empty((len(chosen), problem.cost.shape[0]))
    for place in range(len(chosen)):
        without = np.where(order[0] == place, second, first)
        changes[place] = ((np.minimum(problem.cost, without) - first) * problem.wanted).sum(axis=1)
        others = chosen[:place] + chosen[place + 1 :]
        changes[place, _near_any(problem, others)] = np.inf
    changes[:, list({*chosen, *problem.closed})] = np.inf
    flat = np.argsort(changes, axis=None)[: PROMISING * 2]
    places, newcomers = np.unravel_index(flat, changes.shape)
    return [(float(changes[p, n]), int(p), int(n)) for p, n in zip(places, newcomers, strict=True)]


def _improved(problem: SitingProblem, best: Siting) -> Siting:
    """Return the siting after exchanges that pay when shares of hives are worked out exactly."""
    alike = _most_alike(problem)
    tried: set[tuple[int, ...]] = set()
    most = MOST_FLOWS // (len(best.chosen) * problem.wanted.size) + 1
    moved = True
    while moved:
        moved = False
        for place, new in _moves(problem, best.chosen, alike):
            chosen = (*best.chosen[:place], new, *best.chosen[place + 1 :])
            key = tuple(sorted(chosen))
            if key in tried or len(tried) >= most:
                continue
            tried.add(key)
            found = allot(problem, chosen)
            if found is not None and len(found.chosen) == len(chosen) and found.cost < best.cost * (1.0 - 1e-9):
                best, moved = found, True
                break
    return _units_moved(problem, best)


def _most_alike(problem: SitingProblem) -> NDArray[np.float64]:
    """Return how unlike each candidate is to each, by what the ground pays; the least are neighbours."""
    weight = problem.wanted / problem.total
    found: NDArray[np.float64] = np.array([(np.abs(problem.cost - row) * weight).sum(axis=1) for row in problem.cost])
    return found


def _moves(
    problem: SitingProblem, chosen: tuple[int, ...], alike: NDArray[np.float64]
) -> Iterable[tuple[int, int]]:
    """Yield exchanges worth a look: those that promise most, then each drop to the candidates beside it."""
    exchanges = _best_exchange(problem, list(chosen))
    yield from ((place, new) for change, place, new in exchanges[:PROMISING] if np.isfinite(change))
    for place, one in enumerate(chosen):
        others = [*chosen[:place], *chosen[place + 1 :]]
        barred = _near_any(problem, others)
        barred[[*chosen, *problem.closed]] = True
        beside = np.argsort(np.where(barred, np.inf, alike[one]), kind="stable")[:BESIDE]
        yield from ((place, int(new)) for new in beside if not barred[new])


def distances_between(points: Floats) -> Floats:
    """Return the distance of each point to each. [as the points]"""
    apart: Floats = np.hypot(*(points[:, None, axis] - points[None, :, axis] for axis in (0, 1)))
    return apart
