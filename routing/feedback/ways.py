"""Ways to plan one truck-night otherwise, when its loads cannot ride: with fewer units, a drop at a time, on another truck.

Each is a joint problem of the search with less allowed than before, and only to the truck of that night. The rest of the
plan stays as it is, but for truck-nights that share an orchard, when nothing else is left.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from routing.feedback.cut import with_fewer, without
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


def by_itself(problem: Problem, nights: Nights, bad: DraftNight, *, fit: Mapping[int, int]) -> Iterator[Way]:
    """Yield ways to plan a truck-night anew while all others stay; it may be split over several of its segment.

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
    return _ways(problem, nights, (bad,), fit)


def with_its_neighbours(problem: Problem, nights: Nights, bad: DraftNight, *, fit: Mapping[int, int]) -> Iterator[Way]:
    """Yield the same ways, with every truck-night that shares an orchard planned anew too; none when none does."""
    orchards = _orchards(problem, bad)
    chained = [
        one for one in nights
        if one != bad and one.night >= problem.next_night and any(stop.place in orchards for stop in one.stops)
    ]  # fmt: skip
    return _ways(problem, nights, (bad, *chained), fit) if chained else iter(())


def with_fewer_units(problem: Problem, nights: Nights, bad: DraftNight, *, fit: Mapping[int, int]) -> Iterator[Nights]:
    """Yield drafts in which a truck-night carries a few units less of one kind, a half of it, or nothing at all."""
    aboard: Counter[int] = Counter()
    for stop in bad.stops:
        aboard.update(dict(stop.picked_up))
    for kind, units in sorted(aboard.items()) if any(fit[kind] for kind in aboard) else ():
        for fewer in sorted({1, 2, -(-units // 2), units}):
            if fewer <= units:
                yield with_fewer(problem, nights, bad, kind=kind, fewer=fewer)
    yield without(problem, nights, {bad})


def _orchards(problem: Problem, bad: DraftNight) -> set[str]:
    return {stop.place for stop in bad.stops if stop.place in problem.promises}


def _ways(problem: Problem, nights: Nights, freed: Nights, fit: Mapping[int, int]) -> Iterator[Way]:
    bad, orchards = freed[0], _orchards(problem, freed[0])
    rides = _with_fit(problem, bad.rig, fit)
    if any(fit[kind] for stop in bad.stops for kind, _ in stop.picked_up):
        if fit != problem.rigs[bad.rig].fit:
            yield Way("what the truck really carries", _task(rides, nights, freed))
        for share in FEWER:
            fewer = {kind: min(units, max(1, int(units * share))) for kind, units in fit.items()}
            yield Way(f"{share:g} of that", _task(_with_fit(problem, bad.rig, fewer), nights, freed))
        yield Way("one drop at a time", _task(rides, nights, freed, most_stops=ONE_DROP))
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
        # Where it went until now is where the solver looks first.
        own = [Slot(rig, open_on, where) for rig, open_on in found if open_on]
        place = next((place for place, slot in enumerate(own) if slot.rig == one.rig), None)
        slots += [replace(slot, was=one) if number == place else slot for number, slot in enumerate(own)]
    every = frozenset(name for piece in pieces for name in piece.outward())
    fixed = tuple(one for one in nights if one not in freed)
    return Task(problem, pieces, fixed, tuple(slots), every, most_stops=most_stops)
