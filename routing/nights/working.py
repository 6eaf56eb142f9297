"""A plan being worked on: truck-nights as lots between stops, with what stands where, changed in place and fast.

Only the search by insertion changes such a value, and only one that nobody else holds; in and out it is a draft.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from routing.nights.draft import DraftNight, DraftStop
from routing.nights.lots import rides
from routing.nights.problem import Problem
from routing.nights.segments import Segment, segments


@dataclass(eq=False)
class Halt:
    """One stop of a truck-night."""

    place: str
    on: Counter[int] = field(default_factory=Counter)
    off: Counter[int] = field(default_factory=Counter)


@dataclass(eq=False)
class Carried:
    """Units of one kind that ride from one halt to another."""

    kind: int
    units: int
    start: Halt
    end: Halt


@dataclass(eq=False)
class Run:
    """One truck-night."""

    rig: int
    night: int
    halts: list[Halt] = field(default_factory=list)
    carried: list[Carried] = field(default_factory=list)
    known: dict[str, Any] = field(default_factory=dict)
    """What was worked out of it as it is now."""

    def put(self, kind: int, units: int, start: Halt, end: Halt) -> None:
        """Carry units between two of its halts."""
        self.known.clear()
        start.on[kind] += units
        end.off[kind] += units
        for one in self.carried:
            if one.kind == kind and one.start is start and one.end is end:
                one.units += units
                return
        self.carried.append(Carried(kind, units, start, end))

    def drop(self, lot: Carried) -> None:
        """Carry a lot no longer; halts at which nothing is left to do are passed."""
        self.known.clear()
        self.carried.remove(lot)
        lot.start.on[lot.kind] -= lot.units
        lot.end.off[lot.kind] -= lot.units
        self.halts = [halt for halt in self.halts if any(halt.on.values()) or any(halt.off.values())]


class Working:
    """The truck-nights, and the stock of yards and orchards that they leave."""

    def __init__(self, problem: Problem, nights: Iterable[DraftNight], pieces: tuple[Segment, ...] | None = None) -> None:
        self.problem = problem
        self.pieces = pieces or segments(problem)
        self.segment = {night: number for number, piece in enumerate(self.pieces) for night in piece.nights}
        self.done = frozenset((one.rig, one.night) for one in problem.done)
        self.runs: dict[tuple[int, int], Run] = {}
        self.off: dict[tuple[str, int], Counter[int]] = defaultdict(Counter)
        """(yard, kind) -> units taken by segment."""
        self.back: dict[tuple[str, int], Counter[int]] = defaultdict(Counter)
        self.into: dict[str, Counter[tuple[int, int]]] = defaultdict(Counter)
        """Orchard -> units set down by (kind, night)."""
        self.out_of: dict[str, Counter[tuple[int, int]]] = defaultdict(Counter)
        self.yards = {one.name: one for one in problem.operation.yards}
        self.first_there = {
            name: sum(one.hives for one in problem.operation.hive_groups if one.yard == name) for name in self.yards
        }
        self._known: dict[tuple[str, int, int], int] = {}
        """What yards can give and take, worked out since the last change."""
        for one in nights:
            self._take(one)

    def _take(self, night: DraftNight) -> None:
        run = Run(night.rig, night.night, [Halt(stop.place) for stop in night.stops])
        for (kind, start, end), units in (rides(self.problem, night) or {}).items():
            run.put(kind, units, run.halts[start], run.halts[end])
            self.count(run, kind, units, (run.halts[start].place, run.halts[end].place))
        self.runs[night.rig, night.night] = run

    def count(self, run: Run, kind: int, units: int, way: tuple[str, str]) -> None:
        """Book units of a run from one place to another; fewer than 0 take the booking back."""
        origin, destination = way
        self._known.clear()
        if origin in self.yards:
            self.off[origin, kind][self.segment[run.night]] += units
        else:
            self.out_of[origin][kind, run.night] += units
        if destination in self.yards:
            self.back[destination, kind][self.segment[run.night]] += units
        else:
            self.into[destination][kind, run.night] += units

    def remove(self, run: Run, lot: Carried) -> None:
        """Take a lot out of the plan, and its truck-night with it when nothing else rides."""
        self.count(run, lot.kind, -lot.units, (lot.start.place, lot.end.place))
        run.drop(lot)
        if not run.carried:
            del self.runs[run.rig, run.night]

    def at_yard(self, yard: str, kind: int, night: int) -> int:
        """Return the units that a yard can give on a night without lacking them in a later segment."""
        key = (yard, kind, self.segment[night])
        if key not in self._known:
            self._known[key] = self._given(*key)
        return self._known[key]

    def _given(self, yard: str, kind: int, now: int) -> int:
        off, back = self.off.get((yard, kind)), self.back.get((yard, kind))
        there = least = self.problem.stock.get((yard, kind), 0)
        for number in range(len(self.pieces) if off or back else 0):
            there -= off[number] if off else 0
            if number >= now:
                least = there if number == now else min(least, there)
            there += back[number] if back else 0
        return max(least, 0)

    def room(self, yard: str, night: int) -> int:
        """Return the hives that a yard has room for on a night, and in every later segment."""
        key = (yard, -1, self.segment[night])
        if key not in self._known:
            self._known[key] = self._taken(yard, self.segment[night])
        return self._known[key]

    def _taken(self, yard: str, now: int) -> int:
        standing, kinds = self.first_there[yard], self.problem.kinds
        most = max(self.yards[yard].capacity_hives, standing)
        change: Counter[int] = Counter()
        for found, sign, shift in ((self.off, -1, 1), (self.back, 1, 0)):
            for (place, kind), by_segment in found.items():
                if place == yard:
                    for number, units in by_segment.items():
                        # What leaves in a segment makes room in the next: what comes back may come before it.
                        change[number + shift] += sign * units * kinds[kind].hives
        least = 10**9
        for number in range(len(self.pieces)):
            standing += change[number]
            if number >= now:
                least = min(least, most - standing)
        return max(least, 0)

    def in_orchard(self, name: str, kind: int, night: int) -> int:
        """Return the units that stand in an orchard since an earlier night and that nothing has taken out."""
        came = sum(units for (k, n), units in self.into[name].items() if k == kind and n < night)
        return came - sum(units for (k, _), units in self.out_of[name].items() if k == kind)

    def lacking(self, name: str) -> Counter[int]:
        """Return the units of each kind that are planned to leave an orchard and do not come."""
        total: Counter[int] = Counter()
        for (kind, _), units in self.out_of[name].items():
            total[kind] += units
        return total - self.delivered(name)

    def delivered(self, name: str) -> Counter[int]:
        """Return the units of each kind set down in an orchard."""
        total: Counter[int] = Counter()
        for (kind, _), units in self.into[name].items():
            total[kind] += units
        return total

    def drafts(self) -> tuple[DraftNight, ...]:
        """Return the truck-nights as a draft."""
        return tuple(
            DraftNight(rig, night, tuple(
                DraftStop(halt.place, _units(halt.on), _units(halt.off)) for halt in run.halts
            ))
            for (rig, night), run in sorted(self.runs.items(), key=lambda item: (item[0][1], item[0][0]))
        )  # fmt: skip


def _units(counted: Counter[int]) -> tuple[tuple[int, int], ...]:
    return tuple(sorted((kind, units) for kind, units in counted.items() if units > 0))
