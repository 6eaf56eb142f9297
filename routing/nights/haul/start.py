"""Plans to start from: flows first, then trucks and nights for them by the routing library, faults mended by insertion."""

import time
from collections.abc import Callable, Iterator

from routing.nights.begin import sound
from routing.nights.draft import DraftNight, hours_hold
from routing.nights.flows.solve import flows
from routing.nights.haul.job import Job, drafts, jobs_of
from routing.nights.haul.search import Stretch
from routing.nights.mix_rows import decks_hold
from routing.nights.problem import Problem
from routing.nights.ruin import first_plan, settled

Nights = tuple[DraftNight, ...]
MANY_JOBS = 600
"""Above it one size of job is tried only."""
FLOW_SHARE, MOST_FLOW_S = 0.2, 2.0
SOLUTIONS = 400
"""Solutions of the routing library for each size of job, when steps and not time are counted."""


def hauled(problem: Problem, *, seed: int, seconds: float | None, stop: Callable[[], bool]) -> Iterator[Nights]:
    """Yield a plan for each size of job that the flows are cut into.

    Parameters
    ----------
    problem
        The operation in numbers, nothing of it done or told yet.
    seed
        Seed of the insertion that mends.
    seconds
        Time for all of it, or None: then the same plans come however fast the machine. [s]
    stop
        Asked between plans; True ends them.
    """
    begun = time.monotonic()
    moved = flows(problem, seconds=min(MOST_FLOW_S, FLOW_SHARE * seconds) if seconds is not None else 60.0)
    sizes = _job_sizes(problem) if moved else []
    for number, (deck, rig) in enumerate(sizes):
        if stop():
            return
        jobs = jobs_of(problem, moved, deck=deck, rig=rig)
        if not jobs or (number and len(jobs) > MANY_JOBS):
            return
        left = None if seconds is None else (seconds - (time.monotonic() - begun)) / (len(sizes) - number)
        stretches = [Stretch(problem, {one: jobs[one] for one in numbers}, stop=stop) for numbers in _apart(jobs)]
        for one in stretches:
            one.begin(left if left is not None else 60.0)
        for one in stretches:
            part = len(one.jobs) / len(jobs)
            one.improve(60.0 if left is None else left * part, solutions=SOLUTIONS if left is None else None)
        routes = [route for one in stretches for route in one.routes()]
        yield first_plan(problem, _mended(problem, drafts(jobs, routes)), seed=seed)


def _job_sizes(problem: Problem) -> list[tuple[float, int]]:
    """Return (share of a deck, rig) for each size of job worth trying: the largest own deck first."""
    rigs = problem.rigs
    if not rigs:
        return []
    units = [max(one.fit.values(), default=0) for one in rigs]
    large = max(range(len(rigs)), key=lambda one: (not rigs[one].hired, units[one], -one))
    small = min(range(len(rigs)), key=lambda one: (units[one], one))
    if units[small] == units[large]:
        return [(1.0, large), (0.5, large)]
    return [(1.0, large), (1.0, small), (0.5, small)]


def _apart(jobs: tuple[Job, ...]) -> list[list[int]]:
    """Return the jobs in stretches of the season that share no night."""
    found: list[list[int]] = []
    reach = -1
    for number in sorted(range(len(jobs)), key=lambda one: (jobs[one].first, one)):
        if jobs[number].first > reach:
            found.append([])
        found[-1].append(number)
        reach = max(reach, jobs[number].last)
    return found


def _mended(problem: Problem, nights: Nights) -> Nights:
    """Return the truck-nights whose hours, decks and hives hold, one after another; the rest is left to insertion."""
    kept: Nights = ()
    for one in settled(problem, [one for one in nights if hours_hold(problem, one) and decks_hold(problem, one)]):
        with_it = sound(problem, (*kept, one))
        kept = with_it if with_it is not None else kept
    return settled(problem, kept)
