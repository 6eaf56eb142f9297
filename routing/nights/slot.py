"""A slot: one rig on one night of a segment, whose stops are yet to be chosen; and where it may go."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from routing.nights.draft import DraftNight
from routing.nights.problem import Problem
from routing.nights.segments import Segment


@dataclass(frozen=True)
class Slot:
    """One truck-night to be planned; ``was`` is how it is planned now, if it is."""

    rig: int
    nights: tuple[int, ...]
    segment: int
    was: DraftNight | None = None
    held: bool = False
    """Its night and its stops stay as they were; only what is lifted where may change."""

    def length(self, most_stops: int) -> int:
        """Return how many stops the slot may have."""
        return len(self.was.stops) if self.held and self.was else most_stops

    def stops_at(self, position: int) -> tuple[str, ...]:
        """Return the one place that a held slot may have at a position, none behind its last."""
        stops = self.was.stops if self.was else ()
        return (stops[position].place,) if position < len(stops) else ()


@dataclass(frozen=True)
class Menu:
    """What a slot may do: kinds to pick up and to set down at each place."""

    pick: Mapping[str, tuple[int, ...]]
    drop: Mapping[str, tuple[int, ...]]

    def places(self) -> tuple[str, ...]:
        """Return every place on the menu."""
        return tuple(sorted({*self.pick, *self.drop}))


@dataclass(frozen=True)
class Task:
    """One joint problem: plan the slots anew while the fixed nights stay."""

    problem: Problem
    segments: tuple[Segment, ...]
    fixed: tuple[DraftNight, ...]
    slots: tuple[Slot, ...]
    outs_due: frozenset[str]
    """Promises whose hives count as left in when nothing takes them out (not those planned later)."""
    most_stops: int = 7
    most_yards: int = 6
    focus: tuple[str, bool] | None = None
    """The one (promise, inward) that slots may newly serve; None: all of their segment."""


def segment_of(segments: tuple[Segment, ...], night: int) -> int:
    """Return the number of the segment that holds a night."""
    return next(index for index, one in enumerate(segments) if one.first <= night <= one.last)


def menu(task: Task, slot: Slot) -> Menu:
    """Return what a slot may do: only kinds that can be there, only places that its rig can get into."""
    problem, segment = task.problem, task.segments[slot.segment]
    rig = problem.rigs[slot.rig]
    within = _route(slot) if slot.held else rig.places
    inward = [name for name in segment.inward() if name in within and _open(task, name, slot, inward=True)]
    outward = [name for name in segment.outward() if name in within and _open(task, name, slot, inward=False)]
    wanted = {kind for name in inward for kind in problem.promises[name].kinds}
    pick = {name: kinds for name in outward if (kinds := _kinds_in(task, name))}
    coming_out = sorted({kind for kinds in pick.values() for kind in kinds})
    yards = _yards(task, slot, inward + outward)
    for yard in yards:
        there = tuple(kind for kind in _kinds_at_yard(task, slot, yard) if kind in wanted and rig.fit[kind])
        if there:
            pick[yard] = there
    drop = {name: problem.promises[name].kinds for name in inward}
    if coming_out:
        drop |= {yard: tuple(coming_out) for yard in yards}
    return Menu(pick, drop)


def _open(task: Task, name: str, slot: Slot, *, inward: bool) -> bool:
    promise = task.problem.promises[name]
    known = slot.was is not None and any(stop.place == name for stop in slot.was.stops)
    if task.focus is not None and task.focus != (name, inward) and not known:
        return False
    first, last = (promise.in_first, promise.late_last) if inward else promise.out or (1, 0)
    return any(first <= night <= last and (name, night) in task.problem.dark for night in slot.nights)


def _kinds_in(task: Task, name: str) -> tuple[int, ...]:
    """Return the kinds that may stand in an orchard when it is emptied."""
    if any(name in task.segments[slot.segment].inward() for slot in task.slots):
        return task.problem.promises[name].kinds
    return tuple(sorted({kind for one in task.fixed for stop in one.stops if stop.place == name for kind, _ in stop.set_down}))


def _kinds_at_yard(task: Task, slot: Slot, yard: str) -> tuple[int, ...]:
    problem = task.problem
    start = task.segments[slot.segment].first
    there = {kind for where, kind in problem.stock if where == yard}
    for one in task.fixed:
        if one.night < start:
            there |= {kind for stop in one.stops if stop.place == yard for kind, _ in stop.set_down}
    for other in task.slots:
        if other.segment < slot.segment and not (other.held and yard not in _route(other)):
            for name in task.segments[other.segment].outward():
                if not other.held or name in _route(other):
                    there |= set(_kinds_in(task, name))
    return tuple(sorted(there))


def _yards(task: Task, slot: Slot, orchards: list[str]) -> list[str]:
    """Return the yards nearest to the orchards, and every yard that the slot used until now."""
    problem, rig = task.problem, task.problem.rigs[slot.rig]
    if slot.held:
        return sorted(name for name in _route(slot) if problem.sites[name].kind == "yard")
    yards = [name for name, site in problem.sites.items() if site.kind == "yard" and name in rig.places]
    if not orchards:
        return []
    near = sorted(yards, key=lambda yard: min(problem.miles(yard, name) for name in orchards))
    used = [stop.place for stop in slot.was.stops] if slot.was else []
    kept = set(near[: task.most_yards]) | {place for place in used if place in yards}
    return [yard for yard in yards if yard in kept]


def _route(slot: Slot) -> frozenset[str]:
    return frozenset(stop.place for stop in slot.was.stops) if slot.was else frozenset()


def stock_by_segment(task: Task) -> Mapping[tuple[str, int], Counter[int]]:
    """Return what the fixed nights change at each yard, by (yard, kind): units off (-) and on (+) by segment.

    Keys are (yard, kind); values count units by ``2 * segment`` for picking up and ``2 * segment + 1`` for
    setting down.
    """
    change: dict[tuple[str, int], Counter[int]] = defaultdict(Counter)
    for one in task.fixed:
        where = segment_of(task.segments, one.night)
        for stop in one.stops:
            if task.problem.sites[stop.place].kind == "yard":
                for kind, units in stop.picked_up:
                    change[stop.place, kind][2 * where] += units
                for kind, units in stop.set_down:
                    change[stop.place, kind][2 * where + 1] += units
    return change
