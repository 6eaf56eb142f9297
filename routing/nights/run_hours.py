"""Hours of a truck-night being worked on: its duty, and whether more units still fit its dark hours."""

from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from routing.nights.problem import Problem, Rig
from routing.nights.working import Halt, Run


class Spot(NamedTuple):
    """Where a lot comes on and goes off in a run: at a halt, or at a new one before it."""

    start: int
    start_new: bool
    end: int
    end_new: bool


class More(NamedTuple):
    """Units of a kind to ride from one place to another."""

    origin: str
    destination: str
    kind: int
    units: int


class RunHours:
    """Works out hours; what it looks up again and again is kept."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem

    def duty(self, run: Run, more: More | None = None, at: Spot | None = None) -> float | None:
        """Return the minutes of duty of a run with more units in it, or None when its hours do not hold."""
        rig, problem = self.problem.rigs[run.rig], self.problem
        if "stops" not in run.known:
            run.known["stops"] = [(halt.place, self._service(rig, halt)) for halt in run.halts]
        stops: list[tuple[str, float]] = run.known["stops"]
        if more is not None and at is not None:
            stops = self._with(stops, run, more, at)
        if not stops:
            return 0.0
        begins: list[float] = []
        for index, (place, service) in enumerate(stops):
            span = problem.dark.get((place, run.night))
            if span is None:
                return None
            ready = span[0]
            if index:
                ready = begins[-1] + stops[index - 1][1] + self._drive(rig, stops[index - 1][0], place)
            begins.append(ready if ready > span[0] else span[0])
            if begins[-1] + service > span[1] + 1e-6:
                return None
        end = begins[-1] + stops[-1][1]
        for index in range(len(begins) - 2, -1, -1):
            place, service = stops[index]
            latest = problem.dark[place, run.night][1] - service
            begins[index] = min(begins[index + 1] - self._drive(rig, place, stops[index + 1][0]) - service, latest)
        driving = sum(self._drive(rig, a[0], b[0]) for a, b in pairwise(stops))
        first, last = self._drive(rig, rig.base, stops[0][0]), self._drive(rig, stops[-1][0], rig.base)
        duty = end + last - begins[0] + first
        if more is not None and (duty > rig.duty_min or driving + first + last > rig.driving_min):
            return None
        return duty

    def _service(self, rig: Rig, halt: Halt) -> float:
        problem = self.problem
        minutes = problem.setup_min
        if any(units > 0 for units in halt.on.values()):
            minutes += problem.secure_min
        for lifted in (halt.on, halt.off):
            for kind, units in lifted.items():
                if units:
                    minutes += units * problem.handling_min(rig, halt.place, kind)
        return minutes

    def _with(self, stops: list[tuple[str, float]], run: Run, more: More, at: Spot) -> list[tuple[str, float]]:
        origin, destination, kind, units = more
        start, start_new, end, end_new = at
        problem, rig = self.problem, self.problem.rigs[run.rig]
        on, off = units * problem.handling_min(rig, origin, kind), units * problem.handling_min(rig, destination, kind)
        found = list(stops)
        if end_new:
            found.insert(end, (destination, problem.setup_min + off))
        else:
            found[end] = (destination, found[end][1] + off)
        if start_new:
            found.insert(start, (origin, problem.setup_min + problem.secure_min + on))
        else:
            secured = any(many > 0 for many in run.halts[start].on.values())
            found[start] = (origin, found[start][1] + on + (0.0 if secured else problem.secure_min))
        return found

    def _drive(self, rig: Rig, origin: str, destination: str) -> float:
        known = self._minutes.get((rig.name, origin, destination))
        if known is None:
            known = self._minutes[rig.name, origin, destination] = self.problem.drive_min(rig, origin, destination)
        return known

    @cached_property
    def _minutes(self) -> dict[tuple[str, str, str], float]:
        return {}
