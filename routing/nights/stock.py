"""Whether a draft plan's hives are where it takes them, and whether its yards hold what comes back."""

from collections import Counter
from collections.abc import Mapping

from routing.nights.draft import DraftNight, delivered, taken
from routing.nights.problem import Problem
from routing.nights.segments import segments
from routing.nights.slot import Task, stock_by_segment


def stock_holds(problem: Problem, nights: tuple[DraftNight, ...]) -> bool:
    """Tell whether every truck-night finds what it picks up, and every yard has room for what is set down in it.

    Hives come out of orchards where they were set down, and out of yards where they stood in an earlier segment.
    """
    if any(not taken(nights, name) <= delivered(nights, name) for name in problem.promises):
        return False
    pieces = segments(problem)
    moves = stock_by_segment(Task(problem, pieces, nights, (), frozenset()))
    return _found(problem, moves, len(pieces)) and _room(problem, moves, len(pieces))


def _found(problem: Problem, moves: Mapping[tuple[str, int], Counter[int]], count: int) -> bool:
    for key, moved in moves.items():
        there = problem.stock.get(key, 0)
        for number in range(count):
            there -= moved[2 * number]
            if there < 0:
                return False
            there += moved[2 * number + 1]
    return True


def _room(problem: Problem, moves: Mapping[tuple[str, int], Counter[int]], count: int) -> bool:
    """Within a segment, what comes back may come before what leaves."""
    for yard in problem.operation.yards:
        standing = first = sum(one.hives for one in problem.operation.hive_groups if one.yard == yard.name)
        own = [(problem.kinds[kind].hives, moved) for (place, kind), moved in moves.items() if place == yard.name]
        for number in range(count):
            standing += sum(hives * moved[2 * number + 1] for hives, moved in own)
            if standing > max(yard.capacity_hives, first):
                return False
            standing -= sum(hives * moved[2 * number] for hives, moved in own)
    return True
