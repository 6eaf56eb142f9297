"""A lower bound on the cost of every siting, by Lagrangian relaxation, and candidates that it proves useless.

Problem
    ``SitingProblem``: at most p candidates, each with its least and most hives, serve all ground.
Relaxation
    That each piece of ground gets all its hives is priced (u_j a hive) instead of kept. Each candidate then
    answers alone: fill it with the ground of least c_ij - u_j, to the number of hives that costs least; its
    value is v_i. The p lowest v_i below 0 and the priced demand make the bound
    L(u) = sum_j u_j w_j + sum of those v_i.
Why it holds
    Every siting keeps the rows left out, so at any u none costs less than L(u). Distances between drops are
    left out as well, which can only lower it.
Prices
    Subgradient steps after Held, Wolfe, Crowder, Mathematical Programming 6 (1974) 62-88 (from memory), each
    direction smoothed by the one before. M. L. Fisher, Management Science 27 (1981) 1-18 tells the method
    (from memory).
Closed candidates
    With candidate i forced in, the bound is L(u) + v_i - (the highest v chosen, or 0): over the cost of a
    known siting, no better one has i.
"""

from dataclasses import dataclass

import numpy as np

from routing.drops.problem import PARTS, Floats, SitingProblem, Whole


@dataclass(frozen=True)
class Effort:
    """How long and how finely prices are searched."""

    rounds: int
    first_step: float
    shortest_step: float
    patience: int
    """Rounds without a better bound after which steps are halved."""
    smoothed: float
    """Share of the direction before in the next one."""


QUICK = Effort(rounds=400, first_step=0.7, shortest_step=0.004, patience=16, smoothed=0.6)
THOROUGH = Effort(rounds=1500, first_step=0.3, shortest_step=0.0005, patience=30, smoothed=0.8)
CLOSE_ENOUGH = 1e-9


@dataclass(frozen=True)
class Priced:
    """The best bound found, the prices that give it, and what it proves."""

    bound: float
    prices: Floats
    closed: frozenset[int]
    likely: tuple[tuple[int, ...], ...]
    """Sets of candidates to begin an exchange from: chosen most often, then those at the best prices, the last first."""


def priced(
    problem: SitingProblem, known_cost: float, *, prices: Floats | None = None, target: float = 0.0, effort: Effort = QUICK
) -> Priced:
    """Return the bound of a siting problem.

    Parameters
    ----------
    problem
        With at least as much room at its candidates as there are hives.
    known_cost
        Of a siting that keeps all rows; ``inf`` when none is known.
    prices
        To begin with, such as those of the problem with one stop fewer; left out, what the nearest
        candidates cost. [pieces]
    target
        The relative gap at which to stop early; 0: go on until steps are too short.

    Returns
    -------
    Priced
        ``bound <= `` the cost of every siting.
    """
    where = np.array(problem.left(), dtype=np.int64)
    cost, wanted = problem.cost[where], problem.wanted.astype(np.float64) / PARTS
    now = _first_prices(cost, problem.stops) if prices is None else prices.copy()
    best, best_prices, closed, likely = -np.inf, now, set(problem.closed), []
    often = np.zeros(problem.cost.shape[0], dtype=np.int64)
    step, since, before = effort.first_step, 0, np.zeros(wanted.size)
    for _ in range(effort.rounds):
        values, filled = _answers(problem, cost, now)
        order = np.argsort(values)[: problem.stops]
        chosen = order[values[order] < 0.0]
        bound = float(now @ wanted + values[chosen].sum())
        often[where[chosen]] += 1
        if bound > best + CLOSE_ENOUGH * abs(bound):
            best, best_prices, since = bound, now.copy(), 0
            likely.append(tuple(int(one) for one in where[chosen]))
            closed |= _useless(values, chosen, where, bound=bound, stops=problem.stops, known_cost=known_cost)
        else:
            since += 1
        if since >= effort.patience:
            step, since, now = step / 2.0, 0, best_prices.copy()
        if known_cost - best <= max(target, CLOSE_ENOUGH) * abs(known_cost) or step < effort.shortest_step:
            break
        missing = wanted - filled[chosen].sum(axis=0)
        before = (1.0 - effort.smoothed) * missing + effort.smoothed * before
        length = float(before @ before)
        if length == 0.0:
            break
        goal = known_cost if np.isfinite(known_cost) else bound + 0.05 * abs(bound) + 1.0
        now = now + step * max(goal - bound, CLOSE_ENOUGH * abs(goal)) / length * before
    most_often = tuple(int(one) for one in np.argsort(-often, kind="stable")[: problem.stops * 2])
    return Priced(best, best_prices, frozenset(closed), (most_often, *reversed(likely)))


def _first_prices(cost: Floats, stops: int) -> Floats:
    """Return prices to begin with: about what a piece pays at its nearest of some spread candidates."""
    some = cost[:: max(1, cost.shape[0] // (2 * stops))]
    prices: Floats = np.partition(some, min(1, some.shape[0] - 1), axis=0)[min(1, some.shape[0] - 1)]
    return prices


def _answers(problem: SitingProblem, cost: Floats, prices: Floats) -> tuple[Floats, Floats]:
    """Return the value v_i of each candidate and how it fills itself with ground. [hives]"""
    wanted = problem.wanted.astype(np.float64) / PARTS
    reduced = cost - prices
    if problem.is_free:
        filled = np.where(reduced < 0.0, wanted, 0.0)
        return (reduced * filled).sum(axis=1), filled
    order = np.argsort(reduced, axis=1)
    sorted_cost = np.take_along_axis(reduced, order, axis=1)
    upto = np.cumsum(wanted[order], axis=1)
    earns = np.where(sorted_cost < 0.0, wanted[order], 0.0).sum(axis=1)
    values = np.full(cost.shape[0], np.inf)
    held = np.zeros(cost.shape[0])
    for hives in _numbers_of_hives(problem, earns):
        value = _cost_of(hives, sorted_cost, upto, wanted[order])
        better = value < values
        values, held = np.where(better, value, values), np.where(better, hives, held)
    taken = np.clip(held[:, None] - (upto - wanted[order]), 0.0, wanted[order])
    filled = np.empty_like(taken)
    np.put_along_axis(filled, order, taken, axis=1)
    return values, filled


def _numbers_of_hives(problem: SitingProblem, earns: Floats) -> list[Floats]:
    """Return the numbers of hives among which each candidate's best lies: next below and above what earns.

    The cost of filling is convex in the number of hives, so no other whole number of units is better.
    """
    low, high = problem.least / PARTS, problem.highest / PARTS
    if not problem.unit:
        return [np.clip(earns, low, high)]
    unit, short = problem.unit / PARTS, problem.short / PARTS
    numbers = []
    for missing in {0.0, short}:
        least = np.ceil((low + missing) / unit - CLOSE_ENOUGH)
        most = np.floor((high + missing) / unit + CLOSE_ENOUGH)
        if most < least or most <= 0:
            continue
        below = np.floor((earns + missing) / unit + CLOSE_ENOUGH)
        numbers += [np.clip(below + up, max(least, 1.0), most) * unit - missing for up in (0.0, 1.0)]
    return numbers


def _cost_of(hives: Floats, sorted_cost: Floats, upto: Floats, each: Floats) -> Floats:
    """Return the cost of filling each candidate with its cheapest ground up to a number of hives."""
    taken = np.clip(hives[:, None] - (upto - each), 0.0, each)
    value: Floats = (sorted_cost * taken).sum(axis=1)
    # More hives than there is ground for cannot be filled: such a number is never the best.
    return np.where(hives > upto[:, -1] + CLOSE_ENOUGH, np.inf, value)


def _useless(
    values: Floats, chosen: Whole, where: Whole, *, bound: float, stops: int, known_cost: float
) -> set[int]:
    if not np.isfinite(known_cost):
        return set()
    gives_way = float(values[chosen].max()) if chosen.size >= stops else 0.0
    forced_in = bound + np.maximum(values - min(gives_way, 0.0), 0.0)
    over = forced_in > known_cost * (1.0 + CLOSE_ENOUGH) + CLOSE_ENOUGH
    over[chosen] = False
    return {int(one) for one in where[over]}
