"""Jobs put on trucks and nights by OR-Tools' routing library: insertion, then guided local search.

A vehicle is a truck on a night; a job is a pick-up and its delivery. Time runs on through the season, so that a place
is open in the dark hours of each night that suits the job. Minutes of lifting, room and payload depend on the truck;
setting up and securing cost their minutes once a stop; a job that is late has its price, in proportion to the time after
the last night on time; a job left undone has its price. What the library is not told (limits on driving, drivers' own
hours, rows of several sizes on one deck) is checked afterwards, and what breaks it is planned by insertion.
"""

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.constraint_solver import pywrapcp, routing_enums_pb2

from routing.nights.flows.ways import share
from routing.nights.haul.job import Job, Route
from routing.nights.problem import Problem, Rig

DAY = 24 * 60
CENTS, DECK = 100.0, 1_000_000
MANY_NODES = 400
"""Above it nodes are inserted one by one, not the cheapest of all first."""
LEAST_S = 0.05
NO_LIMIT_S = 86_400.0
Matrix = NDArray[np.float64]
Node = tuple[int, bool] | str
"""A job, picked up or set down; or a base."""


class Stretch:
    """Jobs that share nights, and the library's model of them."""

    def __init__(self, problem: Problem, jobs: Mapping[int, Job], *, stop: Callable[[], bool] = lambda: False) -> None:
        """Build the model; ``stop`` is asked while it is searched."""
        self.problem, self.jobs = problem, jobs
        nights = sorted({night for job in jobs.values() for night in range(job.first, job.last + 1)})
        rigs = problem.rigs
        self.vehicles = [(rig, night) for night in nights for rig, one in enumerate(rigs) if night in one.nights]
        bases = sorted({one.base for one in rigs})
        self.nodes: list[Node] = [*bases, *((number, picks) for number in jobs for picks in (True, False))]
        self.places = [self._place(node) for node in self.nodes]
        self.answer: Any = None
        if not self.vehicles:
            return
        depots = [bases.index(rigs[rig].base) for rig, _ in self.vehicles]
        self.manager = pywrapcp.RoutingIndexManager(len(self.nodes), len(self.vehicles), depots, depots)
        self.model = pywrapcp.RoutingModel(self.manager)
        self._add_costs()
        self._add_times(max(nights))
        self._add_decks()
        for number in jobs:
            self._add_job(number)
        self.model.AddSearchMonitor(self.model.solver().CustomLimit(stop))

    def begin(self, seconds: float) -> None:
        """Find a first plan."""
        if self.vehicles:
            wanted = self._parameters(seconds)
            wanted.solution_limit = 1
            self.answer = self.model.SolveWithParameters(wanted)

    def improve(self, seconds: float, *, solutions: int | None = None) -> None:
        """Make the plan better by guided local search until the time is up, or so many solutions were found."""
        if self.vehicles and seconds > LEAST_S:
            wanted = self._parameters(NO_LIMIT_S if solutions else seconds)
            if solutions:
                wanted.solution_limit = solutions
            wanted.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
            again = self.model.SolveFromAssignmentWithParameters(self.answer, wanted) if self.answer else None
            self.answer = again or self.model.SolveWithParameters(wanted) or self.answer

    def routes(self) -> list[Route]:
        """Return the routes of the best plan."""
        found = []
        for vehicle, (rig, night) in enumerate(self.vehicles if self.answer else ()):
            calls, index = [], self.model.Start(vehicle)
            while not self.model.IsEnd(index):
                node = self.nodes[self.manager.IndexToNode(index)]
                calls += [node] if isinstance(node, tuple) else []
                index = self.answer.Value(self.model.NextVar(index))
            if calls:
                found.append(Route(rig, night, tuple(calls)))
        return found

    def _parameters(self, seconds: float) -> Any:
        wanted = pywrapcp.DefaultRoutingSearchParameters()
        first = routing_enums_pb2.FirstSolutionStrategy
        many = len(self.nodes) > MANY_NODES
        wanted.first_solution_strategy = first.LOCAL_CHEAPEST_INSERTION if many else first.PARALLEL_CHEAPEST_INSERTION
        wanted.time_limit.FromMilliseconds(max(1, int(1000 * max(seconds, LEAST_S))))
        return wanted

    def _place(self, node: Node) -> str:
        if isinstance(node, str):
            return node
        return self.jobs[node[0]].origin if node[1] else self.jobs[node[0]].destination

    def _between(self, of: Callable[[str, str], float]) -> Matrix:
        """Return a figure of every ordered pair of nodes, worked out once for each pair of places."""
        names = sorted(set(self.places))
        at = {name: number for number, name in enumerate(names)}
        table, nodes = np.array([[of(one, other) for other in names] for one in names]), [at[place] for place in self.places]
        return table[np.ix_(nodes, nodes)]

    def _registered(self, matrix: Matrix) -> int:
        return int(self.model.RegisterTransitMatrix(np.ceil(matrix - 1e-9).astype(int).tolist()))

    def _by_rig(self, key: Callable[[int, Rig], object], made: Callable[[int], int]) -> list[int]:
        """Return an evaluator for each vehicle, made once for all rigs with the same key."""
        known: dict[object, int] = {}
        for rig, one in enumerate(self.problem.rigs):
            if key(rig, one) not in known:
                known[key(rig, one)] = made(rig)
        return [known[key(rig, self.problem.rigs[rig])] for rig, _ in self.vehicles]

    def _add_costs(self) -> None:
        problem = self.problem
        miles = self._between(problem.miles)

        def matrix(rig: int) -> int:
            return self._registered(CENTS * problem.rigs[rig].usd_per_mile * miles)

        for vehicle, evaluator in enumerate(self._by_rig(lambda _, one: one.usd_per_mile, matrix)):
            self.model.SetArcCostEvaluatorOfVehicle(evaluator, vehicle)
            self.model.SetFixedCostOfVehicle(round(CENTS * problem.rigs[self.vehicles[vehicle][0]].usd_per_night), vehicle)

    def _add_times(self, last: int) -> None:
        evaluators = self._by_rig(self._pace, self._minutes)
        self.model.AddDimensionWithVehicleTransits(evaluators, DAY, DAY * (last + 3), False, "time")
        self.clock = self.model.GetDimensionOrDie("time")
        for vehicle, (rig, night) in enumerate(self.vehicles):
            one = self.problem.rigs[rig]
            self.clock.SetSpanUpperBoundForVehicle(int(one.duty_min), vehicle)
            self.clock.SetSpanCostCoefficientForVehicle(round(CENTS * one.usd_per_min), vehicle)
            self.clock.CumulVar(self.model.Start(vehicle)).SetRange(DAY * night, DAY * (night + 1) - 1)
            self.model.AddVariableMinimizedByFinalizer(self.clock.CumulVar(self.model.End(vehicle)))
            self.model.AddVariableMaximizedByFinalizer(self.clock.CumulVar(self.model.Start(vehicle)))

    def _pace(self, rig: int, one: Rig) -> object:
        return one.speed_factor, tuple(self._lift_min(rig, node) for node in self.nodes)

    def _lift_min(self, rig: int, node: Node) -> float:
        if isinstance(node, str):
            return 0.0
        one, place = self.problem.rigs[rig], self._place(node)
        return sum(units * self.problem.handling_min(one, place, kind) for kind, units in self.jobs[node[0]].units)

    def _minutes(self, rig: int) -> int:
        """Register minutes from the start of lifting at one node to the start of lifting at another."""
        problem, one = self.problem, self.problem.rigs[rig]
        lifts = np.array([self._lift_min(rig, node) for node in self.nodes])
        based = np.array([isinstance(node, str) for node in self.nodes])
        picks = np.array([isinstance(node, tuple) and node[1] for node in self.nodes])
        same = (self._between(lambda a, b: float(a == b)) > 0.5) & ~based[:, None]
        setup = np.where(same | based[None, :], 0.0, problem.setup_min)
        secure = np.where(picks[None, :] & ~(same & picks[:, None]), problem.secure_min, 0.0)
        return self._registered(lifts[:, None] + self._between(lambda a, b: problem.drive_min(one, a, b)) + setup + secure)

    def _add_decks(self) -> None:
        def vector(rig: int) -> int:
            return int(self.model.RegisterUnaryTransitVector([self._load(rig, node) for node in self.nodes]))

        rooms = self._by_rig(lambda _, one: (one.payload_lb, tuple(sorted(one.fit.items()))), vector)
        self.model.AddDimensionWithVehicleTransitAndCapacity(rooms, 0, [DECK] * len(self.vehicles), True, "deck")

    def _load(self, rig: int, node: Node) -> int:
        if isinstance(node, str):
            return 0
        load = round(DECK * self._share(rig, self.jobs[node[0]]))
        return load if node[1] else -load

    def _share(self, rig: int, job: Job) -> float:
        return sum(units * share(self.problem, rig, kind) for kind, units in job.units)

    def _add_job(self, number: int) -> None:
        job, problem, solver = self.jobs[number], self.problem, self.model.solver()
        up, down = (self.manager.NodeToIndex(self.nodes.index((number, picks))) for picks in (True, False))
        able = [
            vehicle for vehicle, (rig, night) in enumerate(self.vehicles)
            if job.first <= night <= job.last and {job.origin, job.destination} <= problem.rigs[rig].places
            and self._share(rig, job) <= 1.0 + 1e-9
        ]  # fmt: skip
        self.model.AddPickupAndDelivery(up, down)
        solver.Add(self.model.VehicleVar(up) == self.model.VehicleVar(down))
        solver.Add(self.clock.CumulVar(up) <= self.clock.CumulVar(down))
        for index, usd in ((up, job.usd_undone), (down, 0.0)):
            self.model.VehicleVar(index).SetValues([-1, *able])
            self.model.AddDisjunction([index], round(CENTS * usd))
        solver.Add(self.model.ActiveVar(up) == self.model.ActiveVar(down))
        self._keep_dark(up, (number, True))
        self._keep_dark(down, (number, False))
        if job.usd_late and job.on_time < job.last:
            self.clock.SetCumulVarSoftUpperBound(down, DAY * (job.on_time + 1), round(CENTS * job.usd_late / DAY))

    def _keep_dark(self, index: int, node: tuple[int, bool]) -> None:
        """Leave a node the dark hours of its nights, less the longest lifting, after setting up and securing."""
        job, problem = self.jobs[node[0]], self.problem
        place, picks = self._place(node), node[1]
        lift = max((self._lift_min(rig, node) for rig, one in enumerate(problem.rigs) if place in one.places), default=0.0)
        ready = problem.setup_min + (problem.secure_min if picks else 0.0)
        spans = [(DAY * night + span[0] + ready, DAY * night + span[1] - lift) for night in range(job.first, job.last + 1)
                 if (span := problem.dark.get((place, night))) and span[1] - lift >= span[0] + ready]  # fmt: skip
        when = self.clock.CumulVar(index)
        if not spans:
            self.model.VehicleVar(index).SetValues([-1])
            return
        when.SetRange(int(spans[0][0]) + 1, int(spans[-1][1]))
        for before, after in pairwise(spans):
            if int(after[0]) > int(before[1]):
                when.RemoveInterval(int(before[1]) + 1, int(after[0]))
