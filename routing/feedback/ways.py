"""Ways to plan one truck-night otherwise, when its loads cannot ride: with fewer units, a drop at a time, on another truck.

Each is a joint problem of the search with less allowed than before, and only to the truck of that night. The rest of the
plan stays as it is, but for truck-nights that share an orchard, when nothing else is left.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from routing.nights.draft import DraftNight
from routing.nights.problem import Problem
from routing.nights.search import MOST_STOPS, Nights, open_nights
from routing.nights.segments import segments
from routing.nights.slot import Slot, Task, segment_of

FEWER = (0.8, 0.5)
"""Shares of that, one after the other: several drops on one deck ask for more room than one."""
ONE_DROP = 2
"""Stops of a truck-night that picks up at one place and sets down at one."""


@dataclass(frozen=True)
class Way:
    """One way to plan a truck-night otherwise."""

    what: str
    task: Task


def ways(
    problem: Problem, nights: Nights, bad: DraftNight, *, fit: Mapping[int, int]
) -> Iterator[Way]:
    """Yield ways to plan a truck-night anew, first by itself, then with all that share an orchard with it.

    Parameters
    ----------
    problem
        The operation in numbers.
    nights
        The draft.
    bad
        The truck-night with loads that cannot ride.
    fit
        Units of each kind that its truck really carries by itself.
    """
    orchards = {stop.place for stop in bad.stops if stop.place in problem.promises}
    chained = [
        one for one in nights
        if one != bad and one.night >= problem.next_night and any(stop.place in orchards for stop in one.stops)
    ]
    carries = any(fit[kind] for stop in bad.stops for kind, _ in stop.picked_up)
    for more in ([], chained) if chained else ([],):
        freed = (bad, *more)
        if carries:
            yield Way("what the truck really carries", _task(_with_fit(problem, bad.rig, fit), nights, freed))
            for share in FEWER:
                fewer = {kind: min(units, max(1, int(units * share))) for kind, units in fit.items()}
                yield Way(f"{share:g} of that", _task(_with_fit(problem, bad.rig, fewer), nights, freed))
            one_drop = _task(_with_fit(problem, bad.rig, fit), nights, freed, most_stops=ONE_DROP)
            yield Way("one drop at a time", one_drop)
        for name in sorted(orchards) if len(orchards) > 1 else ():
            yield Way(f"not to {name}", _task(_without_place(problem, bad.rig, name), nights, freed))
        others = _without_place(problem, bad.rig, *orchards)
        yield Way("on other trucks", _task(others, nights, freed, every_rig=True))


def _with_fit(problem: Problem, number: int, fit: Mapping[int, int]) -> Problem:
    rigs = tuple(replace(rig, fit=fit) if place == number else rig for place, rig in enumerate(problem.rigs))
    return replace(problem, rigs=rigs)


def _without_place(problem: Problem, number: int, *names: str) -> Problem:
    rigs = tuple(
        replace(rig, places=rig.places - set(names)) if place == number else rig for place, rig in enumerate(problem.rigs)
    )
    return replace(problem, rigs=rigs)


def _task(
    problem: Problem, nights: Nights, freed: Nights, *, most_stops: int = MOST_STOPS, every_rig: bool = False
) -> Task:
    """Return the joint problem: two empty slots for each freed truck-night, three for the first, or one of every rig."""
    pieces = segments(problem)
    slots: list[Slot] = []
    for one in freed:
        where = segment_of(pieces, one.night)
        rigs = list(range(len(problem.rigs))) if every_rig else [one.rig] * (2 if slots else 3)
        found = [(rig, open_nights(problem, pieces[where], rig)) for rig in rigs]
        slots += [Slot(rig, own, where) for rig, own in found if own]
    every = frozenset(name for piece in pieces for name in piece.outward())
    fixed = tuple(one for one in nights if one not in freed)
    return Task(problem, pieces, fixed, tuple(slots), every, most_stops=most_stops)
