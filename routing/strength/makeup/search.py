"""Which colonies stand together on a pallet, so that every pallet is as near the lot's average as can be.

Problem
    A lot's colonies come in strengths. Pallets hold s colonies each; all are filled. A drop gets whole pallets: the
    nearer each is to the lot's average, the nearer every drop is.
Data
    number[v] colonies of strength v, hundredths of frames; s colonies on a pallet; P = sum number / s pallets.
Variables
    y[p] pallets of pattern p, a pattern being s strengths, no strength more often than there are colonies of it.
Model: least sum over p of |P sum of p - sum of all| y[p]
    (1) sum over p of (times v stands in p) y[p] = number[v].
"""

import math
from collections import Counter
from collections.abc import Iterator, Mapping

from ortools.sat.python import cp_model

MOST_PATTERNS = 3000
"""More are not written down: the colonies are then dealt out, strongest first, forth and back."""
WORK = 4.0
"""Deterministic work limit, about seconds."""

Pattern = tuple[int, ...]
"""Strengths on one pallet, the weakest first. [hundredths of frames]"""


def arrange(number: Mapping[int, int], size: int) -> tuple[dict[Pattern, int], bool]:
    """Return how many pallets of each pattern, and whether no other way is nearer the average.

    Parameters
    ----------
    number
        Colonies of each strength, hundredths of frames; in all a multiple of ``size``.
    size
        Colonies on a pallet. >= 1.

    Raises
    ------
    ValueError
        If the colonies do not fill whole pallets.
    """
    colonies = sum(number.values())
    if colonies % size:
        raise ValueError(f"{colonies} colonies do not fill pallets of {size}.")
    if math.comb(len(number) + size - 1, size) > MOST_PATTERNS:
        return _dealt(number, size), False
    patterns = list(_patterns(sorted(number.items()), size))
    if colonies == 0:
        return {}, True
    return _solved(number, patterns, colonies // size) or (_dealt(number, size), False)


def off_average(found: Mapping[Pattern, int]) -> float:
    """Return how far pallets lie from the average of all, the mean of the distances. [hundredths of frames a colony]"""
    pallets = sum(found.values())
    if not pallets:
        return 0.0
    size = len(next(iter(found)))
    average = sum(sum(pattern) * times for pattern, times in found.items()) / pallets
    return sum(abs(sum(pattern) - average) * times for pattern, times in found.items()) / pallets / size


def _patterns(left: list[tuple[int, int]], size: int) -> Iterator[Pattern]:
    if size == 0:
        yield ()
    elif left:
        (strength, number), *rest = left
        for times in range(min(number, size) + 1):
            for others in _patterns(rest, size - times):
                yield (strength,) * times + others


def _solved(number: Mapping[int, int], patterns: list[Pattern], pallets: int) -> tuple[dict[Pattern, int], bool] | None:
    model = cp_model.CpModel()
    total = sum(strength * count for strength, count in number.items())
    used = [model.new_int_var(0, pallets, "") for _ in patterns]
    for strength, count in number.items():
        model.add(sum(pattern.count(strength) * var for pattern, var in zip(patterns, used, strict=True)) == count)
    model.minimize(sum(abs(pallets * sum(pattern) - total) * var for pattern, var in zip(patterns, used, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = WORK
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    found = {pattern: solver.value(var) for pattern, var in zip(patterns, used, strict=True) if solver.value(var)}
    return found, status == cp_model.OPTIMAL


def _dealt(number: Mapping[int, int], size: int) -> dict[Pattern, int]:
    strengths = sorted(Counter(number).elements(), reverse=True)
    pallets = len(strengths) // size
    rows = [strengths[turn * pallets : (turn + 1) * pallets] for turn in range(size)]
    straight = [row if turn % 2 == 0 else row[::-1] for turn, row in enumerate(rows)]
    return dict(Counter(tuple(sorted(pallet)) for pallet in zip(*straight, strict=True)))
