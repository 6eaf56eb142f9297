"""Peer: OR-Tools' routing library, alone and for all the seconds, on the same model that our planner takes a start from.

Its jobs come from the peers' own first stage. Drivers' hours are those that each truck's own driver has; what breaks a limit
that the library is not told is dropped afterwards.
"""

from collections.abc import Mapping

from routing.nights.haul.job import Job
from routing.nights.haul.search import Stretch
from tests.benchmarks._tours_sorts import Sorted


def stretch(had: Sorted, jobs: Mapping[int, Job]) -> Stretch:
    """Return the library's model of jobs that share nights."""
    return Stretch(had.as_problem(), jobs)
