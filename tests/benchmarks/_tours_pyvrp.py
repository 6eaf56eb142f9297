"""Peer: PyVRP on the closest model that it can express: jobs are shipments, a vehicle type is like trucks on one night.

What it cannot say, and what is done instead:
- whence hives come, their strength, how a promise is split: the first stage decides, several sizes of job are tried;
- late at a price: jobs are on time (late only where no night on time is left);
- minutes of lifting by truck: those of the slowest truck that gets in; securing once a pick-up, not once a stop;
- several dark windows of one place: its first and last night are exact, between them the vehicle's own night counts;
- driving to the first stop and home by daylight: a vehicle may leave as long before dusk as half of the places are
  away, and nearer places count as far as that; so it is with the way home. What breaks a limit is dropped afterwards;
- prices that differ between trucks of a class: their mean.
"""

from collections.abc import Mapping
from statistics import fmean, median
from typing import Any

from pyvrp import ActivityType, Model
from pyvrp.stop import FirstFeasible, MaxRuntime, MultipleCriteria

from routing.nights.haul.job import Job, Route
from routing.nights.problem import Rig
from tests.benchmarks._tours_sorts import Sorted

DAY, DECK, CENTS = 1440, 10_000, 100
WIDE = 10**9
LEAST_S = 0.2


class Shipping:
    """Jobs that share nights, and the library's model of them."""

    def __init__(self, had: Sorted, jobs: Mapping[int, Job]) -> None:
        """Build the model."""
        self.had, self.jobs, self.model = had, jobs, Model()
        self.nights = sorted({night for job in jobs.values() for night in range(job.first, job.last + 1)})
        classes = {one.name: one.vehicle_class for one in had.problem.operation.trucks}
        self.classes: dict[str, list[int]] = {}
        for rig, one in enumerate(had.problem.rigs):
            self.classes.setdefault(classes[one.name], []).append(rig)
        self.numbers: list[int] = []
        self.answer: Any = None
        self.types: list[tuple[list[int], int]] = []
        self._add_places()
        self._add_vehicles()
        for number in jobs:
            self._add_shipment(number)

    def begin(self, seconds: float) -> None:
        """Find a first plan."""
        if self.types and self.numbers:
            until = MultipleCriteria([FirstFeasible(), MaxRuntime(max(seconds, LEAST_S))])
            self.answer = self.model.solve(until, seed=0, display=False, missing_value=WIDE)

    def improve(self, seconds: float) -> None:
        """Make the plan better by iterated local search until the time is up."""
        if self.answer and seconds > LEAST_S:
            first = self.answer.best if self.answer.is_feasible() else None
            self.answer = self.model.solve(MaxRuntime(seconds), seed=0, display=False, missing_value=WIDE, initial_solution=first)

    def routes(self) -> list[Route]:
        """Return the routes of the best plan; none when no plan is feasible."""
        busy: dict[int, int] = {}
        feasible = self.answer is not None and self.answer.is_feasible()
        return [self._route(route, busy) for route in self.answer.best.routes()] if feasible else []

    def _route(self, route: Any, busy: dict[int, int]) -> Route:
        rigs, night = self.types[route.vehicle_type()]
        rig = rigs[busy.get(route.vehicle_type(), 0)]
        busy[route.vehicle_type()] = busy.get(route.vehicle_type(), 0) + 1
        calls = [(self.numbers[one.idx], one.type == ActivityType.PICKUP) for one in route.schedule()
                 if one.type in (ActivityType.PICKUP, ActivityType.DELIVERY)]  # fmt: skip
        return Route(rig, night, tuple(calls))

    def _add_places(self) -> None:
        problem = self.had.problem
        names = sorted({end for job in self.jobs.values() for end in (job.origin, job.destination)})
        self.places = {name: self.model.add_location(0, 0, name=name) for name in names}
        bases = sorted({one.base for one in problem.rigs})
        self.bases = {name: self.model.add_location(0, 0, name=f"base {name}") for name in bases}
        self.depots = {name: self.model.add_depot(self.bases[name]) for name in bases}
        self.profiles = {name: self.model.add_profile(name=name) for name in self.classes}
        for name, rigs in self.classes.items():
            self._add_edges(name, rigs)

    def _add_edges(self, name: str, rigs: list[int]) -> None:
        problem, profile = self.had.problem, self.profiles[name]
        one = problem.rigs[rigs[0]]
        usd_mile = fmean(problem.rigs[rig].usd_per_mile for rig in rigs)
        open_to = [place for place in self.places if place in one.places]
        for a in open_to:
            for b in open_to:
                setup = 0.0 if a == b else problem.setup_min
                minutes = problem.drive_min(one, a, b) + setup
                self.model.add_edge(self.places[a], self.places[b], round(CENTS * usd_mile * problem.miles(a, b)),
                                    round(minutes + 0.5) if minutes else 0, profile)  # fmt: skip
            for base, location in self.bases.items():
                usd, away = round(CENTS * usd_mile * problem.miles(base, a)), problem.drive_min(one, base, a)
                out, home = self._half_way(one, base)
                self.model.add_edge(location, self.places[a], usd, round(max(away, out) + problem.setup_min + 0.5), profile)
                self.model.add_edge(self.places[a], location, usd, round(max(away, home) + 0.5), profile)
        for location in self.bases.values():
            self.model.add_edge(location, location, 0, 0, profile)

    def _half_way(self, rig: Rig, base: str) -> tuple[float, float]:
        """Return how far half of the origins, and of the destinations, are from a base. [min]"""
        ends = [{job.origin for job in self.jobs.values()}, {job.destination for job in self.jobs.values()}]
        out, home = (median(self.had.problem.drive_min(rig, base, one) for one in sorted(places)) for places in ends)
        return out, home

    def _add_vehicles(self) -> None:
        problem = self.had.problem
        for number, (name, rigs) in enumerate(self.classes.items()):
            capacity = [DECK if number == other else WIDE for other in range(len(self.classes))]
            for base in sorted({problem.rigs[rig].base for rig in rigs}):
                for night in self.nights:
                    there = [rig for rig in rigs if problem.rigs[rig].base == base and night in problem.rigs[rig].nights
                             and self.had.duty_min[rig] > 0.0]  # fmt: skip
                    if there and (span := self._dark(night)):
                        out, home = self._half_way(problem.rigs[there[0]], base)
                        self.types.append((there, night))
                        self.model.add_vehicle_type(
                            len(there), capacity, self.depots[base], self.depots[base],
                            fixed_cost=round(CENTS * fmean(problem.rigs[rig].usd_per_night for rig in there)),
                            tw_early=round(span[0] - out), tw_late=round(span[1] + home), unit_distance_cost=1,
                            profile=self.profiles[name], shift_duration=int(min(self.had.duty_min[rig] for rig in there)),
                            unit_duration_cost=round(CENTS * fmean(problem.rigs[rig].usd_per_min for rig in there)),
                        )  # fmt: skip

    def _dark(self, night: int) -> tuple[int, int] | None:
        """Return the hours that are dark everywhere on a night, gates that close early apart."""
        problem = self.had.problem
        spans = [problem.dark[place, night] for place in self.places if (place, night) in problem.dark]
        free = [problem.dark[place, night] for place in self.places
                if (place, night) in problem.dark and problem.sites[place].open_until is None] or spans  # fmt: skip
        if not free:
            return None
        begin, end = max(span[0] for span in free), min(span[1] for span in free)
        return round(DAY * night + begin + 0.5), int(DAY * night + end)

    def _add_shipment(self, number: int) -> None:
        job, problem = self.jobs[number], self.had.problem
        goes = [rig for rig, one in enumerate(problem.rigs) if {job.origin, job.destination} <= one.places
                and self._share(rig, job) <= 1.0 + 1e-9]  # fmt: skip
        last = job.on_time if job.on_time >= job.first else job.last
        up, down = (self._open(place, job.first, last) for place in (job.origin, job.destination))
        if not goes or up is None or down is None:
            return
        lifts = [max(sum(units * self.had.minutes(rig, place, sort) for sort, units in job.units) for rig in goes)
                 for place in (job.origin, job.destination)]  # fmt: skip
        self.numbers.append(number)
        self.model.add_shipment(
            self.places[job.origin], self.places[job.destination],
            pickup_tw_early=up[0] + round(problem.setup_min), pickup_tw_late=int(up[1] - lifts[0] - problem.secure_min),
            pickup_service_duration=round(lifts[0] + problem.secure_min + 0.5),
            delivery_tw_early=down[0] + round(problem.setup_min), delivery_tw_late=int(down[1] - lifts[1]),
            delivery_service_duration=round(lifts[1] + 0.5), prize=round(CENTS * job.usd_undone), required=False,
            amount=[round(DECK * self._share(rigs[0], job)) for rigs in self.classes.values()],
        )  # fmt: skip

    def _share(self, rig: int, job: Job) -> float:
        return sum(units * self.had.share(sort, rig) for sort, units in job.units)

    def _open(self, place: str, first: int, last: int) -> tuple[int, int] | None:
        dark = self.had.problem.dark
        nights = [night for night in range(first, last + 1) if (place, night) in dark]
        if not nights:
            return None
        return round(DAY * nights[0] + dark[place, nights[0]][0] + 0.5), int(DAY * nights[-1] + dark[place, nights[-1]][1])
