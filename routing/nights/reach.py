"""Rows (7) of the relaxation: every orchard served must be reached from a base, not by a ring of its own.

For an orchard with D colonies promised and, for each ride, any set S of places that holds the orchard and not
the base, whatever is moved needs a truck-night that drives into S: sum over rides of x(into S) >= 1 - short/D,
and for moves out the hives left in count beside the missing ones. There are too many sets to write down; those
broken by a solution are found as smallest cuts and added (Dantzig, Fulkerson and Johnson, Operations Research
2 (1954) 393-410; from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from routing.nights.cover_rows import still_owed
from routing.nights.owed_rows import Missing
from routing.nights.problem import Problem
from routing.nights.ride import Ride

Arcs = tuple[tuple[str, str, int], ...]
"""(from, to, column); the base is ``""``."""


@dataclass(frozen=True)
class Reach:
    """One promise, one direction: the rides that may serve it, and what it may miss."""

    place: str
    rides: tuple[Arcs, ...]
    owed: float
    slack: tuple[tuple[int, float], ...]


def reaches(problem: Problem, rides: Sequence[Ride], missing: dict[str, Missing]) -> tuple[Reach, ...]:
    """Return every promise, in and out, with the arcs of the rides that may serve it."""
    found = []
    for name, promise in problem.promises.items():
        slack, slack_out = ((missing[name].short, 1.0),), ((missing[name].short_out, 1.0), *missing[name].left)
        for inward in (True, False) if promise.out else (True,):
            serving = [ride for ride in rides if any(place == name for place, _ in (ride.off if inward else ride.on))]
            arcs = tuple(tuple((i, j, c) for (i, j), c in ride.arcs.items()) for ride in serving)
            owed = still_owed(problem, name, inward=inward)
            if arcs and owed:
                found.append(Reach(name, arcs, float(owed), slack if inward else slack_out))
    return tuple(found)
