"""A plan at once, and a good one soon: insertion, routes by the library, ruin and recreate from both.

The joint model goes on from there (``search``): it proves in each small neighbourhood what these only find.
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from routing.nights.begin import begin_with, told_that_may_go
from routing.nights.draft import DraftNight, bill
from routing.nights.found import CENT, Found
from routing.nights.haul.start import hauled
from routing.nights.problem import Problem
from routing.nights.ruin import first_plan, mended_plan, ruin_and_recreate

Nights = tuple[DraftNight, ...]
Costed = tuple[Nights, float]
"""A plan and its cost. [USD]"""
HAUL, EACH, LAST = 0.15, 0.15, 0.25
"""Shares of the time: the routing library, ruin and recreate from either start, and from the better one."""
MOST_HAUL_S = 20.0
ROUNDS, LAST_ROUNDS = 6, 10
"""Rounds for each step asked for, when steps are counted."""


@dataclass(frozen=True)
class Effort:
    """How long to search: seconds, or steps, with which time decides nothing."""

    seconds: float
    steps: int | None

    def haul_s(self) -> float | None:
        """Return the time for the routing library, None when steps are counted. [s]"""
        return None if self.steps is not None else min(MOST_HAUL_S, HAUL * self.seconds)

    def leg(self, share: float, rounds: int) -> Callable[[int], float]:
        """Return the share of a leg of the search that is over, as its rounds go by."""
        if self.steps is not None:
            most = max(1, rounds * self.steps)
            return lambda turn: turn / most
        begun, seconds = time.monotonic(), share * self.seconds
        return lambda _: (time.monotonic() - begun) / seconds


def quickly(problem: Problem, *, seed: int, stop: Callable[[], bool], effort: Effort) -> Iterator[Found]:
    """Yield better and better plans.

    Parameters
    ----------
    problem
        The operation in numbers.
    seed
        Seed of every random choice.
    stop
        Asked between steps; True ends the search.
    effort
        How long.
    """
    begun = begin_with(problem)
    told = "what is arranged" if begun else "nothing planned yet"
    best = Found(begun, bill(problem, begun).total, 0, told)
    yield best
    if stop():
        return
    first = first_plan(problem, begun, seed=seed)
    best = _better(best, _costed(problem, first), "first plan")
    yield best
    starts = [first]
    if problem.told.runs:
        mended = mended_plan(problem, told_that_may_go(problem), seed=seed)
        best = _better(best, _costed(problem, mended), "what was told, mended") if mended else best
        starts = [best.nights]
        yield best
    if not begun:
        routed: list[Costed] = []
        for nights in hauled(problem, seed=seed, seconds=effort.haul_s(), stop=stop):
            routed.append(_costed(problem, nights))
            best = _better(best, routed[-1], "routes for what flows best")
            yield best
        starts += [min(routed, key=lambda one: one[1])[0]] if routed else []
    for number, start in enumerate(starts):
        progress = effort.leg(EACH, ROUNDS)
        for found in ruin_and_recreate(problem, start, seed=seed + number, progress=progress, stop=stop):
            best = _better(best, found, "better plan")
            yield best
    last = effort.leg(LAST, LAST_ROUNDS)
    for found in ruin_and_recreate(problem, best.nights, seed=seed + len(starts), progress=last, stop=stop):
        best = _better(best, found, "better plan")
        yield best


def _costed(problem: Problem, nights: Nights) -> Costed:
    return nights, bill(problem, nights).total


def _better(best: Found, found: Costed, note: str) -> Found:
    """Return the better of two plans, one step further on."""
    nights, usd = found
    cheaper = usd < best.cost_usd - CENT
    return Found(nights, usd, best.steps + 1, note) if cheaper else replace(best, steps=best.steps + 1)
