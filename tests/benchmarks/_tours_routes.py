"""Routes of a peer become truck-nights that the judge takes: the hives told apart, what breaks left out and counted.

A job is a lot of one sort or several from one place to another. A route calls at places in order, each call picking up
or setting down one job. Times, drivers and lots come from the same code that the planner uses.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from routing.nights.crew import crew
from routing.nights.draft import DraftNight, DraftStop, Units, clock
from routing.nights.haul.job import Job, Route
from routing.nights.lots import rides
from routing.nights.problem import Problem
from routing.nights.schedule import schedule
from routing.nights.tour import TruckNight
from tests.benchmarks._tours_judge import Verdict, judged, to_blame
from tests.benchmarks._tours_sorts import Sorted, Standing


@dataclass(frozen=True)
class Settled:
    """Truck-nights without fault, their verdict, and how many were dropped to make them so."""

    truck_nights: tuple[TruckNight, ...]
    verdict: Verdict
    dropped: int


def settled(had: Sorted, jobs: Mapping[int, Job], routes: Iterable[Route]) -> Settled:
    """Return the routes as truck-nights, without those that the judge finds broken."""
    kept = sorted(routes, key=lambda one: (one.night, one.rig))
    problem, dropped = had.problem, 0
    while True:
        drafts = drawn(had, jobs, kept)
        late = [route for route, draft in drafts.items() if draft is not None and not _sound(had, draft)]
        if not late:
            found = tuple(draft for draft in drafts.values() if draft is not None)
            tired = _tired(problem, drafts)
            if tired is not None:
                kept, dropped = [one for one in kept if one != tired], dropped + 1
                continue
            truck_nights = schedule(problem, found)
            verdict = judged(problem.operation, truck_nights)
            if not verdict.broken:
                return Settled(truck_nights, verdict, dropped)
            blamed = to_blame(problem.operation, truck_nights, verdict.broken)
            late = [one for one in kept if _name(problem, one, truck_nights) in blamed]
        dropped += len(late)
        kept = [one for one in kept if one not in late]


def _tired(problem: Problem, drafts: Mapping[Route, DraftNight | None]) -> Route | None:
    """Return a truck-night too many for the drivers' hours and rest: the longest of the first such night."""
    ordered = tuple(sorted((one for one in drafts.values() if one is not None), key=lambda one: (one.night, one.rig)))
    if crew(problem, ordered) is not None:
        return None
    nights = sorted({one.night for one in ordered})
    at = bisect_left(nights, True, key=lambda last: crew(problem, tuple(one for one in ordered if one.night <= last)) is None)
    there = [(times.duty_min, route.rig, route) for route, one in drafts.items()
             if one is not None and route.night == nights[at] and (times := clock(problem, one)) is not None]  # fmt: skip
    return max(there)[2]


def _name(problem: Problem, route: Route, truck_nights: tuple[TruckNight, ...]) -> str:
    first = problem.operation.first_night
    return next((one.id for one in truck_nights
                 if one.truck == problem.rigs[route.rig].name and (one.night - first).days == route.night), "")  # fmt: skip


def _sound(had: Sorted, draft: DraftNight) -> bool:
    problem, rig = had.problem, had.problem.rigs[draft.rig]
    times = clock(problem, draft)
    if times is None or rides(problem, draft) is None or times.duty_min > had.duty_min[draft.rig]:
        return False
    route = [rig.base, *(stop.place for stop in draft.stops), rig.base]
    return sum(problem.drive_min(rig, a, b) for a, b in pairwise(route)) <= rig.driving_min


def drawn(had: Sorted, jobs: Mapping[int, Job], routes: list[Route]) -> dict[Route, DraftNight | None]:
    """Return each route as a draft night of single kinds; what is not there is not hauled, an empty route is None."""
    standing, found, before = Standing(had), dict[Route, DraftNight | None](), -1
    for route in sorted(routes, key=lambda one: (one.night, one.rig)):
        if route.night != before:
            standing.next_night()
            before = route.night
        found[route] = _draft(had, jobs, route, standing)
    return found


def _draft(had: Sorted, jobs: Mapping[int, Job], route: Route, standing: Standing) -> DraftNight | None:
    aboard: dict[int, list[tuple[int, int]]] = {}
    stops: list[DraftStop] = []
    for number, picks in route.calls:
        job = jobs[number]
        if picks:
            aboard[number] = [took for sort, units in job.units for took in standing.take(job.origin, sort, units)]
            if aboard[number]:
                stops.append(DraftStop(job.origin, picked_up=tuple(aboard[number])))
        elif aboard.get(number):
            for kind, units in aboard[number]:
                standing.bring(job.destination, kind, units)
            stops.append(DraftStop(job.destination, set_down=tuple(aboard[number])))
    merged = tuple(_merged(stops))
    return DraftNight(route.rig, route.night, merged) if merged else None


def _merged(stops: list[DraftStop]) -> Iterator[DraftStop]:
    """Yield one stop for calls at the same place in a row: first off, then on."""
    held: DraftStop | None = None
    for stop in stops:
        if held is not None and held.place == stop.place:
            held = replace(held, picked_up=_sum(held.picked_up + stop.picked_up), set_down=_sum(held.set_down + stop.set_down))
            continue
        if held is not None:
            yield held
        held = replace(stop, picked_up=_sum(stop.picked_up), set_down=_sum(stop.set_down))
    if held is not None:
        yield held


def _sum(units: Units) -> Units:
    total: dict[int, int] = defaultdict(int)
    for kind, many in units:
        total[kind] += many
    return tuple(sorted(total.items()))
