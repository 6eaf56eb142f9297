"""Which hives can be brought to which orchard at all: who gets in, which nights are dark, what a load takes.

Everything here asks less than a plan must do, so a "no" holds for every plan: one unit rides alone, each way
is the shortest over any places, the driver with the longest duty drives, and a kind may first be moved to any
place from which it can go on.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from routing.nights.draft import Clock, DraftNight, DraftStop, clock
from routing.nights.problem import Problem, Promise
from routing.roads.roads import Roads

ROUNDING_MIN = 1e-6


@dataclass(frozen=True)
class Trip:
    """One unit of a kind on one rig: from where to where, on which night."""

    rig: int
    kind: int
    origin: str
    destination: str
    night: int


def shortest_ways(problem: Problem) -> Problem:
    """Return the problem with every way as short as any chain of ways makes it.

    A truck may pass through other places; where the user's own minutes break the triangle inequality the
    direct way is then not the shortest (Floyd 1962 and Warshall 1962, from memory).
    """
    minutes = np.array(problem.roads.matrix_minutes, dtype=float)
    if minutes.size == 0:
        return problem
    for via in range(len(minutes)):
        np.minimum(minutes, minutes[:, via : via + 1] + minutes[via : via + 1, :], out=minutes)
    roads = problem.roads
    rows = tuple(tuple(float(one) for one in row) for row in minutes)
    return replace(problem, roads=Roads(roads.place_names, roads.matrix_miles, rows, roads.matrix_basis))


@dataclass(frozen=True)
class Reach:
    """What can be brought where. Hand in ``shortest_ways(problem)``."""

    problem: Problem

    def nights(self, name: str, span: Iterable[int]) -> tuple[int, ...]:
        """Return the nights of a span that are dark at an orchard and have a truck that gets in."""
        problem = self.problem
        rigs = [rig for rig in problem.rigs if name in rig.places]
        return tuple(
            night for night in span
            if 0 <= night <= problem.last_night and (name, night) in problem.dark
            and any(night in rig.nights for rig in rigs)
        )  # fmt: skip

    def nights_in(self, promise: Promise) -> tuple[int, ...]:
        """Return the nights on which hives may come."""
        return self.nights(promise.name, range(promise.in_first, promise.late_last + 1))

    def nights_out(self, promise: Promise) -> tuple[int, ...]:
        """Return the nights on which hives may leave; none when they stay."""
        first, last = promise.out or (1, 0)
        return self.nights(promise.name, range(first, last + 1))

    def kinds(self, promise: Promise, nights: Iterable[int]) -> tuple[int, ...]:
        """Return the kinds strong enough for a promise that one load can bring to it on one of the nights."""
        wanted = tuple(nights)
        return tuple(kind for kind in promise.kinds if self._comes(kind, promise.name, wanted))

    def leaves(self, promise: Promise, kinds: Iterable[int]) -> bool:
        """Tell whether one load of some kind can leave the orchard on a night out, for any other place."""
        nights = self.nights_out(promise)
        others = [name for name in self.problem.sites if name != promise.name]
        return any(self._hop(kind, promise.name, other, nights) for kind in kinds for other in others)

    def trips(self, kind: int, origin: str, destination: str, nights: Iterable[int]) -> Iterator[Trip]:
        """Yield every rig and night on which a kind could be carried, were time no matter."""
        for night in nights:
            for index, rig in enumerate(self.problem.rigs):
                both = origin in rig.places and destination in rig.places
                dark = (origin, night) in self.problem.dark and (destination, night) in self.problem.dark
                if both and dark and night in rig.nights and rig.fit[kind] > 0:
                    yield Trip(index, kind, origin, destination, night)

    def fits(self, trip: Trip) -> bool:
        """Tell whether one unit can be brought within the dark hours and the driver's limits."""
        rig = self.problem.rigs[trip.rig]
        times = self.clock(trip)
        return (
            times is not None
            and times.duty_min <= rig.duty_min + ROUNDING_MIN
            and self.driving_min(trip) <= rig.driving_min + ROUNDING_MIN
        )

    def clock(self, trip: Trip) -> Clock | None:
        """Return the times of a trip with one unit; None when they do not fit the dark hours."""
        stops = (
            DraftStop(trip.origin, picked_up=((trip.kind, 1),)),
            DraftStop(trip.destination, set_down=((trip.kind, 1),)),
        )
        return clock(self.problem, DraftNight(trip.rig, trip.night, stops))

    def driving_min(self, trip: Trip) -> float:
        """Return the minutes at the wheel, from the base and back to it. [min]"""
        rig = self.problem.rigs[trip.rig]
        way = (rig.base, trip.origin, trip.destination, rig.base)
        return sum(self.problem.drive_min(rig, a, b) for a, b in pairwise(way))

    def _comes(self, kind: int, orchard: str, nights: tuple[int, ...]) -> bool:
        home = self.problem.kinds[kind].yard
        if self._hop(kind, home, orchard, nights):
            return True
        seen = [home]
        # The list grows while it is walked: places from which the kind can go on, nearest moves first.
        for place in seen:
            if place != home and self._hop(kind, place, orchard, nights):
                return True
            seen += [
                other for other in self.problem.sites
                if other not in seen and other != orchard and self._hop(kind, place, other, self._every)
            ]  # fmt: skip
        return False

    def _hop(self, kind: int, origin: str, destination: str, nights: Iterable[int]) -> bool:
        return any(self.fits(trip) for trip in self.trips(kind, origin, destination, nights))

    @cached_property
    def _every(self) -> tuple[int, ...]:
        return tuple(sorted(self.problem.dark.nights))


def nearest(problem: Problem, orchard: str, kinds: Iterable[int]) -> tuple[int, ...]:
    """Return the kinds in order of the road from their yard to an orchard, nearest first."""
    return tuple(sorted(kinds, key=lambda kind: problem.miles(problem.kinds[kind].yard, orchard)))
