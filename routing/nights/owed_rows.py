"""Rows (5) of the relaxation: what promises and yards ask of all rigs and segments together."""

from collections import Counter
from dataclasses import dataclass
from math import inf

from routing.nights.draft import delivered, taken
from routing.nights.problem import Problem, Promise
from routing.nights.ride import Ride
from routing.nights.sparse import Relaxation

TOLERANCE = 1e-6


@dataclass(frozen=True)
class Missing:
    """Columns of what a promise misses."""

    short: int
    short_out: int
    """The same number, as the segment of the way out sees it."""
    left: tuple[tuple[int, float], ...]
    """(column of units left in, hives of one unit)."""


def add_promise(model: Relaxation, problem: Problem, promise: Promise, rides: list[Ride]) -> Missing:
    """Add one promise's rows; return the columns of what it misses."""
    kinds = problem.kinds
    come = [(k, c) for ride in rides for (place, k), c in ride.off.items() if place == promise.name]
    block = max((model.columns[c].block for _, c in come), default=0)
    short = model.column(high=promise.colonies, cost=promise.usd_short, block=block)
    hives = [(c, float(kinds[k].hives)) for k, c in come]
    done = delivered(problem.done, promise.name)
    there = _hives(problem, done)
    model.row([*hives, (short, 1.0)], low=promise.colonies - there)
    model.row(hives, high=max(promise.colonies + promise.over - there, 0))
    over_average = sum((kinds[k].frames - promise.min_average) * kinds[k].hives * units for k, units in done.items())
    frames = [(c, (kinds[k].frames - promise.min_average) * kinds[k].hives) for k, c in come]
    if promise.usd_weak is not None:
        most = promise.min_average * (promise.colonies + promise.over)
        frames.append((model.column(high=most, cost=promise.usd_weak, block=block), 1.0))
    # What is done already may be too weak by itself: then any hives may follow.
    model.row(frames, low=-over_average - TOLERANCE if promise.usd_weak is not None or over_average >= 0.0 else -inf)
    if promise.out is None:
        return Missing(short, short, ())
    return _empty_out(model, problem, promise, rides, (short, come))


def _empty_out(
    model: Relaxation, problem: Problem, promise: Promise, rides: list[Ride], into: tuple[int, list[tuple[int, int]]]
) -> Missing:
    """Add the rows of the way out. Its segment has its own copy of the missing colonies, so that, priced by
    itself, it still knows how many hives it must take out."""
    short, come = into
    go = [(k, c) for ride in rides for (place, k), c in ride.on.items() if place == promise.name]
    block = max((model.columns[c].block for _, c in go), default=model.columns[short].block)
    short_out = model.column(high=promise.colonies, block=block)
    model.row([(short, 1.0), (short_out, -1.0)], low=0.0, high=0.0)
    came, went = delivered(problem.done, promise.name), taken(problem.done, promise.name)
    left = []
    for kind in sorted({k for k, _ in come + go} | {*came}):
        most, hives = problem.kinds[kind].units, float(problem.kinds[kind].hives)
        column = model.column(high=most, cost=problem.usd_left_in * hives, block=block)
        terms = [(c, 1.0) for k, c in come if k == kind] + [(c, -1.0) for k, c in go if k == kind]
        standing = came[kind] - went[kind]
        model.row([*terms, (column, -1.0)], low=-standing, high=-standing)
        left.append((column, hives))
    gone = [(c, float(problem.kinds[k].hives)) for k, c in go]
    away = _hives(problem, went)
    model.row([*gone, *left, (short_out, 1.0)], low=promise.colonies - away)
    # A contract that shrank may have more already than it takes now.
    model.row([*gone, *left], high=max(promise.colonies + promise.over, _hives(problem, came)) - away)
    return Missing(short, short_out, tuple(left))


def _hives(problem: Problem, units: Counter[int]) -> int:
    return sum(problem.kinds[kind].hives * many for kind, many in units.items())


def add_stock(model: Relaxation, problem: Problem, rides: list[Ride], segments: int) -> None:
    """Add the stock and the room of every yard, at the end of every segment."""
    yards = [one for one in problem.operation.yards if one.name in problem.sites]
    for yard in yards:
        moves = [
            (ride.segment, kind, column, sign)
            for ride in rides for found, sign in ((ride.on, -1.0), (ride.off, 1.0))
            for (place, kind), column in found.items() if place == yard.name
        ]
        standing = sum(one.hives for one in problem.operation.hive_groups if one.yard == yard.name)
        most = max(yard.capacity_hives, standing)
        off, back = taken(problem.done, yard.name), delivered(problem.done, yard.name)
        standing += sum(problem.kinds[k].hives * (back[k] - off[k]) for k in {*off, *back})
        for until in range(segments):
            now = [move for move in moves if move[0] <= until]
            for kind in sorted({k for _, k, _, _ in now}):
                at_start = problem.stock.get((yard.name, kind), 0) - off[kind] + back[kind]
                model.row([(c, -sign) for _, k, c, sign in now if k == kind], high=at_start)
            if any(sign > 0 and segment == until for segment, _, _, sign in now):
                change = [(c, sign * problem.kinds[k].hives) for _, k, c, sign in now]
                model.row(change, high=max(most - standing, 0))
