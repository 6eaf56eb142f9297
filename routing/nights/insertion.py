"""Where a move is put in: the cheapest truck-night, stops and source for some hives that a promise still needs moved.

A way in is tried behind and before every stop of the truck-nights that may serve it, and on new ones; distance
decides the order in which they are tried, hours, decks and windows decide which one holds. Insertion heuristics
for pick-ups and deliveries: M. M. Solomon, Operations Research 35 (1987) 254-265; S. Ropke and D. Pisinger,
Transportation Science 40 (2006) 455-472 (both from memory).
"""

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from routing.nights.draft_night import DraftNight, DraftStop, Units
from routing.nights.mix_rows import decks_hold
from routing.nights.problem import Problem, Rig
from routing.nights.run_hours import More, RunHours, Spot
from routing.nights.sources import Sources, Want
from routing.nights.working import Halt, Run, Working

Option = tuple[float, Spot]
"""Added USD of the road, and where."""
MOST_HALTS = 8
NEW_NIGHTS = 2
"""Nights tried for a new truck-night of one rig."""


@dataclass(frozen=True)
class Place:
    """One way to put units in: where in the run they come on and go off, and what it costs."""

    run: Run
    kind: int
    units: int
    way: tuple[str, str]
    at: Spot
    usd: float


@dataclass
class Inserter:
    """Finds the best way in; what it looks up again and again is kept."""

    problem: Problem
    chance: random.Random
    noise: float = 0.0
    _miles: dict[tuple[str, str], float] = field(default_factory=dict)

    @cached_property
    def sources(self) -> Sources:
        """What could be carried."""
        return Sources(self.problem)

    @cached_property
    def hours(self) -> RunHours:
        """What fits the dark hours."""
        return RunHours(self.problem)

    def best(self, work: Working, want: Want, hives: int) -> Place | None:
        """Return the way in that costs least for each hive moved, or None when none holds."""
        found: Place | None = None
        least = float("inf")
        for run in self._runs(work, want):
            for way, kind, units in self.sources.of(work, want, run, hives):
                place = self._way_in(run, way, kind, units, least)
                if place is not None:
                    each = place.usd / (place.units * self.problem.kinds[kind].hives) * (1.0 + self.noise * self.chance.random())
                    if each < least:
                        found, least = place, each
        return found

    def put(self, work: Working, place: Place) -> None:
        """Put units in at a place found."""
        run, at = place.run, place.at
        end = Halt(place.way[1]) if at.end_new else run.halts[at.end]
        if at.end_new:
            run.halts.insert(at.end, end)
        start = Halt(place.way[0]) if at.start_new else run.halts[at.start]
        if at.start_new:
            run.halts.insert(at.start, start)
        run.put(place.kind, place.units, start, end)
        work.runs[run.rig, run.night] = run
        work.count(run, place.kind, place.units, place.way)

    def _runs(self, work: Working, want: Want) -> Iterator[Run]:
        """Yield the truck-nights that may serve a want, and new ones."""
        promise = want.promise
        first, last = (promise.in_first, promise.late_last) if want.inward else promise.out or (0, -1)
        nights = [n for n in range(max(first, self.problem.next_night), last + 1) if (promise.name, n) in self.problem.dark]
        for index, rig in enumerate(self.problem.rigs):
            if promise.name not in rig.places:
                continue
            free = []
            for night in nights:
                run = work.runs.get((index, night))
                if run is not None and (index, night) not in work.done:
                    yield run
                elif run is None and night in rig.nights and self._driver_left(work, index, night):
                    free.append(night)
            on_time = [night for night in free if not want.inward or night <= promise.in_last] or free
            for night in self.chance.sample(on_time, min(NEW_NIGHTS, len(on_time))):
                yield Run(index, night)

    def _driver_left(self, work: Working, rig: int, night: int) -> bool:
        rigs = self.problem.rigs
        if rigs[rig].hired:
            return True
        out = [index for index, other in enumerate(rigs) if not other.hired and (index, night) in work.runs]
        able = set(self.problem.able(rig, night))
        like = [index for index in out if set(self.problem.able(index, night)) <= able]
        return len(able) > len(like)

    def _way_in(self, run: Run, way: tuple[str, str], kind: int, units: int, least: float) -> Place | None:
        """Return the first way in that holds, by added miles; None when every one is dearer a hive than the best known."""
        rig, kinds = self.problem.rigs[run.rig], self.problem.kinds
        most = min(units, rig.fit[kind])
        for usd, at in self._options(run, way):
            if usd / (most * kinds[kind].hives) >= least:
                return None
            spare, mixed = self._spare(run, kind, at)
            fits = min(most, spare)
            if mixed and fits:
                fits = self._in_rows(run, way, (kind, fits), at)
            held = self._held(run, More(*way, kind, fits), at)
            if held is not None:
                return Place(run, kind, held[0], way, at, usd + held[1])
        return None

    def _options(self, run: Run, way: tuple[str, str]) -> list[Option]:
        """Return every spot by the added USD of the road; positions as before anything is put in."""
        key = "\n".join(way)
        if key not in run.known:
            run.known[key] = sorted(self._listed(run, way))
        options: list[Option] = run.known[key]
        return options

    def _listed(self, run: Run, way: tuple[str, str]) -> Iterator[Option]:
        origin, destination = way
        places = [halt.place for halt in run.halts]
        rig = self.problem.rigs[run.rig]
        count = len(places)
        if not count:
            miles = self._leg(rig.base, origin) + self._leg(origin, destination) + self._leg(destination, rig.base)
            yield rig.usd_per_night + miles * rig.usd_per_mile, Spot(0, True, 0, True)
            return
        starts = [(index, False) for index, place in enumerate(places) if place == origin]
        starts += [(index, True) for index in range(count + 1)] if count < MOST_HALTS else []
        ends = [(index, False) for index, place in enumerate(places) if place == destination]
        ends += [(index, True) for index in range(count + 1)] if count < MOST_HALTS else []
        for start, start_new in starts:
            for end, end_new in ends:
                if start_new and end_new and count + 2 > MOST_HALTS:
                    continue
                before = end >= start if start_new else end > start
                if before:
                    at = Spot(start, start_new, end, end_new)
                    yield self._added(rig, places, way, at), at

    def _added(self, rig: Rig, places: list[str], way: tuple[str, str], at: Spot) -> float:
        start, start_new, end, end_new = at
        count = len(places)

        def around(index: int) -> tuple[str, str]:
            return places[index - 1] if index else rig.base, places[index] if index < count else rig.base

        miles = 0.0
        if start_new and end_new and start == end:
            before, behind = around(start)
            miles = self._leg(before, way[0]) + self._leg(way[0], way[1]) + self._leg(way[1], behind) - self._leg(before, behind)
            return miles * rig.usd_per_mile
        for new, index, place in ((start_new, start, way[0]), (end_new, end, way[1])):
            if new:
                before, behind = around(index)
                miles += self._leg(before, place) + self._leg(place, behind) - self._leg(before, behind)
        return miles * rig.usd_per_mile

    def _leg(self, origin: str, destination: str) -> float:
        known = self._miles.get((origin, destination))
        if known is None:
            known = self._miles[origin, destination] = self.problem.miles(origin, destination)
        return known

    def _spare(self, run: Run, kind: int, at: Spot) -> tuple[int, bool]:
        """Return the units for which the deck has room all the way, and whether another size rides with them."""
        rig, kinds = self.problem.rigs[run.rig], self.problem.kinds
        aboard: dict[int, int] = {}
        fullest, heaviest, mixed = 0.0, 0.0, False
        first, last = at.start - at.start_new, at.end - 1
        for index, halt in enumerate(run.halts):
            for other, units in halt.off.items():
                aboard[other] = aboard.get(other, 0) - units
            for other, units in halt.on.items():
                aboard[other] = aboard.get(other, 0) + units
            if first <= index <= last:
                share = weight = 0.0
                for other, units in aboard.items():
                    if units > 0:
                        share += units / rig.fit[other]
                        weight += units * kinds[other].weight_lb
                        mixed = mixed or kinds[other].footprint_in != kinds[kind].footprint_in
                fullest, heaviest = max(fullest, share), max(heaviest, weight)
        by_room = int((1.0 - fullest) * rig.fit[kind] + 1e-6)
        return max(0, min(by_room, int((rig.payload_lb - heaviest) / kinds[kind].weight_lb))), mixed

    def _in_rows(self, run: Run, way: tuple[str, str], wanted: tuple[int, int], at: Spot) -> int:
        """Return the most units of a kind that ride in rows beside those of other sizes; 0 for none."""
        kind, units = wanted
        stops = [DraftStop(halt.place, _some(halt.on), _some(halt.off)) for halt in run.halts]
        if at.end_new:
            stops.insert(at.end, DraftStop(way[1]))
        if at.start_new:
            stops.insert(at.start, DraftStop(way[0]))
        end, start = at.end + at.start_new, at.start
        without = stops[start], stops[end]
        while units > 0:
            stops[start] = replace(without[0], picked_up=_with_units(without[0].picked_up, kind, units))
            stops[end] = replace(without[1], set_down=_with_units(without[1].set_down, kind, units))
            if decks_hold(self.problem, DraftNight(run.rig, run.night, tuple(stops))):
                return units
            units //= 2
        return 0

    def _held(self, run: Run, more: More, at: Spot) -> tuple[int, float] | None:
        """Return the most units for which the run's hours hold, and their added USD beside the road's; None for none."""
        if "duty" not in run.known:
            run.known["duty"] = self.hours.duty(run)
        before: float | None = run.known["duty"]
        units = more.units
        while units > 0:
            after = self.hours.duty(run, more._replace(units=units), at)
            if after is not None:
                usd = (after - (before or 0.0)) * self.problem.rigs[run.rig].usd_per_min
                return units, usd + self._terms(run, more._replace(units=units))
            units = units // 2 if units > 3 else units - 1
        return None

    def _terms(self, run: Run, more: More) -> float:
        promise = self.problem.promises.get(more.destination)
        if promise is None:
            return 0.0
        late = max(0, run.night - promise.in_last) * promise.usd_late
        return (late + promise.usd_bonus_missed.get(more.kind, 0.0)) * more.units * self.problem.kinds[more.kind].hives


def _some(counted: Counter[int]) -> Units:
    return tuple((kind, units) for kind, units in counted.items() if units > 0)


def _with_units(had: Units, kind: int, units: int) -> Units:
    total = Counter(dict(had))
    total[kind] += units
    return tuple(sorted(total.items()))
