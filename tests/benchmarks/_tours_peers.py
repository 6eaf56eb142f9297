"""What both routing libraries share: a first stage, jobs of several sizes, stretches of the season solved in turn.

A routing library cannot choose whence hives come, which strengths, or how a promise is split: the first stage does,
by miles, and several sizes of job are tried one after another in equal shares of the time.
"""

import time
from collections.abc import Callable, Iterator, Mapping
from typing import Protocol

from routing.nights.haul.job import Job, Route
from tests.benchmarks._tours_flows import flows, jobs_of
from tests.benchmarks._tours_sorts import Sorted

FLOW_SHARE, FIRST_SHARE = 0.1, 0.7
MANY_JOBS = 150
"""Above it one size of job is tried."""
Answer = tuple[dict[int, Job], list[Route]]


class Model(Protocol):
    """A routing library's model of jobs that share nights."""

    jobs: Mapping[int, Job]

    def begin(self, seconds: float) -> None:
        """Find a first plan."""

    def improve(self, seconds: float) -> None:
        """Make it better."""

    def routes(self) -> list[Route]:
        """Return the best plan."""


Maker = Callable[[Sorted, Mapping[int, Job]], Model]


def plans(had: Sorted, maker: Maker, *, deadline: float, tell: Callable[[], None]) -> Iterator[Answer]:
    """Yield the answer for each size of job.

    Parameters
    ----------
    had
        The problem.
    maker
        Builds the library's model of some jobs.
    deadline
        Moment of ``time.monotonic`` by which to end. [s]
    tell
        Called once the first plan is complete.
    """
    moved = flows(had, seconds=FLOW_SHARE * (deadline - time.monotonic()))
    sizes = job_sizes(had)
    if len(jobs_of(had, moved, deck=1.0, rig=sizes[0][1])) > MANY_JOBS:
        sizes = sizes[:1]
    for number, (deck, rig) in enumerate(sizes):
        jobs = jobs_of(had, moved, deck=deck, rig=rig)
        share = (deadline - time.monotonic()) / (len(sizes) - number)
        stretches = [maker(had, {one: jobs[one] for one in numbers}) for numbers in apart(jobs)]
        yield jobs, _routes(stretches, time.monotonic() + share, tell if number == 0 else lambda: None)


def job_sizes(had: Sorted) -> list[tuple[float, int]]:
    """Return (share of a deck, rig) for each size of job worth trying: the largest own deck first."""
    rigs = had.problem.rigs
    units = [max(one.fit.values(), default=0) for one in rigs]
    large = max(range(len(rigs)), key=lambda one: (not rigs[one].hired, units[one], -one))
    small = min(range(len(rigs)), key=lambda one: (units[one], one))
    if units[small] == units[large]:
        return [(1.0, large), (0.5, large), (0.34, large)]
    return [(1.0, large), (1.0, small), (0.5, small)]


def _routes(stretches: list[Model], deadline: float, tell: Callable[[], None]) -> list[Route]:
    """Return routes for all jobs: first a plan for each stretch of the season, then each made better in turn."""
    for place, one in enumerate(stretches):
        # It ends at its first plan: a stretch that needs long may take what the others do not.
        one.begin(FIRST_SHARE * (deadline - time.monotonic()) / (len(stretches) - place) ** 0.5)
    tell()
    for place, one in enumerate(stretches):
        still = sum(len(later.jobs) for later in stretches[place:])
        one.improve((deadline - time.monotonic()) * len(one.jobs) / max(1, still))
    return [route for one in stretches for route in one.routes()]


def apart(jobs: Mapping[int, Job]) -> list[list[int]]:
    """Return the jobs in stretches of the season that share no night."""
    found: list[list[int]] = []
    reach = -1
    for number in sorted((one for one in jobs if jobs[one].first <= jobs[one].last), key=lambda one: (jobs[one].first, one)):
        if jobs[number].first > reach:
            found.append([])
        found[-1].append(number)
        reach = max(reach, jobs[number].last)
    return found
