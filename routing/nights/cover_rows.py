"""Rows (6) of the relaxation: rounded covers of orchards by visits."""

from collections.abc import Mapping
from itertools import combinations
from math import ceil, floor

from routing.nights.decks import most_on_deck
from routing.nights.draft import delivered, taken
from routing.nights.owed_rows import Missing
from routing.nights.problem import Problem, Rig
from routing.nights.ride import Ride
from routing.nights.sparse import Relaxation

LARGEST_SET = 3


def add_covers(model: Relaxation, problem: Problem, rides: list[Ride], missing: dict[str, Missing]) -> None:
    """Add covers of every orchard, and of every set of up to three orchards that share their segments."""
    for inward in (True, False):
        where: dict[frozenset[int], list[str]] = {}
        for name in problem.promises:
            found = frozenset(ride.segment for ride in rides if _moves(ride, name, inward))
            if found and (inward or problem.promises[name].out):
                where.setdefault(found, []).append(name)
        for names in where.values():
            for size in range(1, LARGEST_SET + 1):
                for chosen in combinations(names, size):
                    if not hand_on(problem, chosen):
                        _cover(model, problem, rides, {name: missing[name] for name in chosen}, inward=inward)


def hand_on(problem: Problem, chosen: tuple[str, ...]) -> bool:
    """Return whether hives may go straight from one of the orchards to another: no entry from outside then."""
    pairs = ((problem.promises[a], problem.promises[b]) for a in chosen for b in chosen if a != b)
    return any(a.out and a.out[0] <= b.late_last and b.in_first <= a.out[1] for a, b in pairs)


def _moves(ride: Ride, name: str, inward: bool) -> bool:
    return any(place == name for place, _ in (ride.off if inward else ride.on))


def _cover(
    model: Relaxation, problem: Problem, rides: list[Ride], chosen: Mapping[str, Missing], *, inward: bool
) -> None:
    """Add the covers of one set of orchards, by loaded entries (moves in) or loaded exits (moves out)."""
    owed = sum(still_owed(problem, name, inward=inward) for name in chosen)
    if not owed:
        return
    visits: list[tuple[int, float]] = []
    for ride in rides:
        if any(_moves(ride, name, inward) for name in chosen):
            carried = most_hives(problem, ride.rig, set(chosen))
            visits += [
                (c, carried) for (i, j), c in ride.arcs.items()
                if i and j and ((j in chosen and i not in chosen) if inward else (i in chosen and j not in chosen))
            ]
    slack = [(one.short if inward else one.short_out, 1.0) for one in chosen.values()]
    if not inward:
        slack += [pair for one in chosen.values() for pair in one.left]
    loads = [
        (c, most_hives(problem, ride.rig, set(chosen))) for ride in rides
        if any(_moves(ride, name, inward) for name in chosen)
        for place, c in ride.straps.items() if inward or place in chosen
    ]
    for counted in (visits, loads):
        for size in sorted({carried for _, carried in counted if carried > 0}):
            terms, low = rounded(counted, slack, owed, size)
            model.row(terms, low=low)


def still_owed(problem: Problem, name: str, *, inward: bool) -> int:
    """Return the colonies of a promise that what is done has not yet brought, or taken out."""
    moved = (delivered if inward else taken)(problem.done, name)
    return max(0, problem.promises[name].colonies - sum(problem.kinds[kind].hives * n for kind, n in moved.items()))


def most_hives(problem: Problem, rig: Rig, chosen: set[str]) -> float:
    """Return the most hives that one loaded visit of a rig to a set of orchards can move."""
    kinds = {kind for name in chosen for kind in problem.promises[name].kinds}
    deck = most_on_deck(problem, rig, {kind: float(problem.kinds[kind].hives) for kind in kinds})
    taken = sum(problem.promises[name].colonies + problem.promises[name].over for name in chosen)
    return float(min(floor(deck + 1e-6), taken))


def rounded(
    visits: list[tuple[int, float]], slack: list[tuple[int, float]], owed: float, size: float
) -> tuple[list[tuple[int, float]], float]:
    """Round ``sum C n + slack >= owed`` at ``size``: mixed-integer rounding.

    Returns
    -------
    tuple
        Terms and the right side of the rounded row. When ``owed / size`` is whole, the row as it stands.
    """
    part = owed / size - floor(owed / size)
    if part < 1e-9:
        return [*visits, *slack], owed
    terms = [(c, floor(a / size) + min(1.0, (a / size - floor(a / size)) / part)) for c, a in visits]
    return terms + [(c, a / (size * part)) for c, a in slack], float(ceil(owed / size))
