"""Flows cut into jobs that a truck can carry, and routes of jobs turned into draft nights."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from routing.nights.draft import DraftNight, DraftStop, Units
from routing.nights.flows.ways import Way, share
from routing.nights.problem import Problem

Call = tuple[int, bool]
"""A job, and whether it is picked up (or set down)."""


@dataclass(frozen=True)
class Job:
    """Units to be hauled from one place to another."""

    origin: str
    destination: str
    units: Units
    first: int
    last: int
    """Nights on which it may be done."""
    on_time: int
    """Last night without a price."""
    usd_late: float
    """For each night after that."""
    usd_undone: float


@dataclass(frozen=True)
class Route:
    """One rig on one night: calls in order."""

    rig: int
    night: int
    calls: tuple[Call, ...]


def jobs_of(problem: Problem, moved: Mapping[Way, int], *, deck: float, rig: int) -> tuple[Job, ...]:
    """Return the flows cut into jobs that take at most such a share of a rig's deck.

    Kinds of one size that go the same way share a job. Where only another rig gets in, its deck counts.
    """
    by_way: dict[tuple[str, str, tuple[float, float]], list[tuple[int, int]]] = defaultdict(list)
    for (origin, destination, kind), units in sorted(moved.items()):
        by_way[origin, destination, problem.kinds[kind].footprint_in].append((kind, units))
    found: list[Job] = []
    for (origin, destination, _), listed in by_way.items():
        goes = [index for index, one in enumerate(problem.rigs) if {origin, destination} <= one.places]
        counted = rig if rig in goes else min(goes, key=lambda one: problem.rigs[one].payload_lb)
        found += [_job(problem, origin, destination, part) for part in _cut(problem, listed, deck, counted)]
    return tuple(one for one in found if one.first <= one.last)


def _cut(problem: Problem, units: list[tuple[int, int]], deck: float, rig: int) -> list[Units]:
    parts: list[Counter[int]] = [Counter()]
    filled = 0.0
    for kind, many in units:
        each = share(problem, rig, kind)
        for _ in range(many):
            if filled + each > deck + 1e-9 and parts[-1]:
                parts.append(Counter())
                filled = 0.0
            parts[-1][kind] += 1
            filled += each
    return [tuple(sorted(part.items())) for part in parts if part]


def _job(problem: Problem, origin: str, destination: str, units: Units) -> Job:
    hives = sum(problem.kinds[kind].hives * many for kind, many in units)
    outs, ins = problem.promises.get(origin), problem.promises.get(destination)
    out = outs.out if outs and outs.out else (0, problem.last_night)
    first = max(ins.in_first if ins else 0, out[0], problem.next_night)
    last = min(ins.late_last if ins else problem.last_night, out[1], problem.last_night)
    on_time = min(ins.in_last if ins else last, out[1])
    undone = hives * ((ins.usd_short if ins else 0.0) + (problem.usd_left_in if outs else 0.0))
    return Job(origin, destination, units, first, last, on_time, hives * (ins.usd_late if ins else 0.0), undone)


def drafts(jobs: tuple[Job, ...], routes: Iterable[Route]) -> tuple[DraftNight, ...]:
    """Return each route as a draft night: calls at one place in a row are one stop, first off, then on."""
    return tuple(
        DraftNight(route.rig, route.night, tuple(_stops(jobs, route.calls)))
        for route in sorted(routes, key=lambda one: (one.night, one.rig))
    )


def _stops(jobs: tuple[Job, ...], calls: tuple[Call, ...]) -> list[DraftStop]:
    found: list[_Call] = []
    for number, picks in calls:
        job = jobs[number]
        place = job.origin if picks else job.destination
        if not found or found[-1].place != place or (not picks and _meets(found[-1].on, job.units)):
            found.append(_Call(place, Counter(), Counter()))
        (found[-1].on if picks else found[-1].off).update(dict(job.units))
    return [DraftStop(one.place, tuple(sorted(one.on.items())), tuple(sorted(one.off.items()))) for one in found]


@dataclass(frozen=True)
class _Call:
    place: str
    on: Counter[int]
    off: Counter[int]


def _meets(on: Counter[int], units: Units) -> bool:
    """Tell whether what goes off was picked up at this very stop, which goes off first."""
    return any(on[kind] for kind, _ in units)
