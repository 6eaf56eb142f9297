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
from itertools import pairwise

from routing.nights.draft_night import DraftNight, DraftStop, Units
from routing.nights.mix_rows import decks_hold
from routing.nights.problem import Problem, Promise, Rig
from routing.nights.working import Halt, Run, Working

Option = tuple[float, int, bool, int, bool]
MOST_HALTS = 8
NEAREST = 4
"""Yards tried as the source, or the end, of a move: those nearest to its orchard, and those on the way already."""
NEW_NIGHTS = 2
"""Nights tried for a new truck-night of one rig."""


@dataclass(frozen=True)
class Want:
    """Hives to be moved: into an orchard, or out of it."""

    promise: Promise
    inward: bool


@dataclass(frozen=True)
class Place:
    """One way to put units in: where in the run they come on and go off, and what it costs."""

    run: Run
    kind: int
    units: int
    way: tuple[str, str]
    start: int
    start_new: bool
    end: int
    end_new: bool
    usd: float


@dataclass
class Inserter:
    """Finds the best way in; what it looks up again and again is kept."""

    problem: Problem
    chance: random.Random
    noise: float = 0.0
    _miles: dict[tuple[str, str], float] = field(default_factory=dict)

    def best(self, work: Working, want: Want, hives: int) -> Place | None:
        """Return the way in that costs least for each hive moved, or None when none holds."""
        found: Place | None = None
        least = float("inf")
        for run in self._runs(work, want):
            for way, kind, units in self._sources(work, want, run, hives):
                place = self._way_in(run, way, kind, units, least)
                if place is not None:
                    each = place.usd / (place.units * self.problem.kinds[kind].hives) * (1.0 + self.noise * self.chance.random())
                    if each < least:
                        found, least = place, each
        return found

    def put(self, work: Working, place: Place) -> None:
        """Put units in at a place found."""
        run = place.run
        end = run.halts[place.end] if not place.end_new else Halt(place.way[1])
        if place.end_new:
            run.halts.insert(place.end, end)
        start = run.halts[place.start] if not place.start_new else Halt(place.way[0])
        if place.start_new:
            run.halts.insert(place.start, start)
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

    def _sources(self, work: Working, want: Want, run: Run, hives: int) -> Iterator[tuple[tuple[str, str], int, int]]:
        """Yield (way, kind, most units) of what a run could carry for a want."""
        promise, rig = want.promise, self.problem.rigs[run.rig]
        kinds = self.problem.kinds
        if not want.inward:
            for kind in sorted({kind for kind, _ in work.into[promise.name]}):
                units = work.in_orchard(promise.name, kind, run.night)
                for yard in self._yards(promise.name, run) if units > 0 and rig.fit[kind] else ():
                    most = min(units, work.room(yard, run.night) // kinds[kind].hives)
                    if most > 0:
                        yield (promise.name, yard), kind, most
            return
        over = self._over_average(work, promise)
        for origin in self._origins(work, promise, run):
            tried = 0
            for kind in self._strong_enough(promise):
                most = min((hives + promise.over) // kinds[kind].hives, -(-hives // kinds[kind].hives))
                if most <= 0 or not rig.fit[kind]:
                    continue
                surplus = (kinds[kind].frames - promise.min_average) * kinds[kind].hives
                if surplus < 0.0 and promise.usd_weak is None:
                    most = min(most, int((over + 1e-9) / -surplus))
                stands = work.at_yard if origin in work.yards else work.in_orchard
                there = stands(origin, kind, run.night)
                if min(there, most) > 0:
                    yield (origin, promise.name), kind, min(there, most)
                    tried += 1
                    if tried == 2:
                        break

    def _over_average(self, work: Working, promise: Promise) -> float:
        kinds = self.problem.kinds
        return sum((kinds[k].frames - promise.min_average) * kinds[k].hives * n for k, n in work.delivered(promise.name).items())

    def _strong_enough(self, promise: Promise) -> tuple[int, ...]:
        """Return the kinds that a promise takes: least given away first, those below the average last."""
        if promise.name not in self._ordered:
            kinds = self.problem.kinds
            self._ordered[promise.name] = tuple(sorted(promise.kinds, key=lambda kind: (
                kinds[kind].frames < promise.min_average, abs(kinds[kind].frames - promise.min_average), -kinds[kind].hives, kind,
            )))  # fmt: skip
        return self._ordered[promise.name]

    @cached_property
    def _ordered(self) -> dict[str, tuple[int, ...]]:
        return {}

    def _yards(self, orchard: str, run: Run) -> list[str]:
        rig, miles = self.problem.rigs[run.rig], self.problem.miles
        if (orchard, rig.name) not in self._near:
            yards = [name for name, site in self.problem.sites.items() if site.kind == "yard" and name in rig.places]
            self._near[orchard, rig.name] = sorted(yards, key=lambda yard: miles(yard, orchard))
        near = self._near[orchard, rig.name]
        on_way = {halt.place for halt in run.halts}
        return [yard for rank, yard in enumerate(near) if rank < NEAREST or yard in on_way]

    @cached_property
    def _near(self) -> dict[tuple[str, str], list[str]]:
        return {}

    def _origins(self, work: Working, promise: Promise, run: Run) -> list[str]:
        """Return the places that hives may come from: yards with any that are strong enough, orchards to be emptied."""
        rig = self.problem.rigs[run.rig]
        if (promise.name, rig.name) not in self._stocked:
            stocked = {yard for yard, kind in self.problem.stock if kind in promise.kinds}
            miles = self.problem.miles
            near = sorted((yard for yard in stocked if yard in rig.places), key=lambda yard: miles(yard, promise.name))
            self._stocked[promise.name, rig.name] = near
        on_way = {halt.place for halt in run.halts}
        brought = {yard for (yard, kind), back in work.back.items() if kind in promise.kinds and any(back.values())}
        found, with_hives = [], 0
        for yard in self._stocked[promise.name, rig.name]:
            if with_hives < NEAREST or yard in on_way:
                had = any(work.at_yard(yard, kind, run.night) for kind in promise.kinds)
                with_hives += had
                found += [yard] if had else []
        found += [yard for yard in brought if yard not in found and yard in rig.places]
        others = (one for one in self.problem.promises.values() if one.out and one.out[0] <= run.night <= one.out[1])
        return found + [one.name for one in others if one.name != promise.name and one.name in rig.places]

    @cached_property
    def _stocked(self) -> dict[tuple[str, str], list[str]]:
        return {}

    def _way_in(self, run: Run, way: tuple[str, str], kind: int, units: int, least: float) -> Place | None:
        """Return the first way in that holds, by added miles; None when every one is dearer a hive than the best known."""
        rig, kinds = self.problem.rigs[run.rig], self.problem.kinds
        most = min(units, rig.fit[kind])
        for usd, start, start_new, end, end_new in self._options(run, way):
            if usd / (most * kinds[kind].hives) >= least:
                return None
            spare, mixed = self._spare(run, kind, (start, start_new), (end, end_new))
            fits = min(most, spare)
            if mixed and fits:
                fits = self._in_rows(run, way, kind, fits, (start, start_new, end, end_new))
            held = self._held(run, way, kind, fits, (start, start_new, end, end_new))
            if held is not None:
                return Place(run, kind, held[0], way, start, start_new, end, end_new, usd + held[1])
        return None

    def _options(self, run: Run, way: tuple[str, str]) -> list[Option]:
        """Return (added USD of the road, start, new?, end, new?) by cost; positions as before anything is put in."""
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
            yield rig.usd_per_night + miles * rig.usd_per_mile, 0, True, 0, True
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
                    yield self._added(rig, places, way, (start, start_new, end, end_new)), start, start_new, end, end_new

    def _added(self, rig: Rig, places: list[str], way: tuple[str, str], at: tuple[int, bool, int, bool]) -> float:
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

    def _drive(self, rig: Rig, origin: str, destination: str) -> float:
        known = self._minutes.get((rig.name, origin, destination))
        if known is None:
            known = self._minutes[rig.name, origin, destination] = self.problem.drive_min(rig, origin, destination)
        return known

    @cached_property
    def _minutes(self) -> dict[tuple[str, str, str], float]:
        return {}

    def _leg(self, origin: str, destination: str) -> float:
        known = self._miles.get((origin, destination))
        if known is None:
            known = self._miles[origin, destination] = self.problem.miles(origin, destination)
        return known

    def _spare(self, run: Run, kind: int, start: tuple[int, bool], end: tuple[int, bool]) -> tuple[int, bool]:
        """Return the units for which the deck has room all the way, and whether another size rides with them."""
        rig, kinds = self.problem.rigs[run.rig], self.problem.kinds
        aboard: dict[int, int] = {}
        fullest, heaviest, mixed = 0.0, 0.0, False
        first, last = start[0] - (1 if start[1] else 0), end[0] - 1
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

    def _in_rows(self, run: Run, way: tuple[str, str], kind: int, units: int, at: tuple[int, bool, int, bool]) -> int:
        """Return the most units that ride in rows beside those of other sizes; 0 for none."""
        start, start_new, end, end_new = at
        while units > 0:
            stops = [DraftStop(halt.place, _some(halt.on), _some(halt.off)) for halt in run.halts]
            if end_new:
                stops.insert(end, DraftStop(way[1]))
            if start_new:
                stops.insert(start, DraftStop(way[0]))
                end += 1
            stops[end] = replace(stops[end], set_down=_with_units(stops[end].set_down, kind, units))
            stops[start] = replace(stops[start], picked_up=_with_units(stops[start].picked_up, kind, units))
            if decks_hold(self.problem, DraftNight(run.rig, run.night, tuple(stops))):
                return units
            units, end = units // 2, at[2]
        return 0

    def _held(
        self, run: Run, way: tuple[str, str], kind: int, units: int, at: tuple[int, bool, int, bool]
    ) -> tuple[int, float] | None:
        """Return the most units for which the run's hours hold, and their added USD beside the road's; None for none."""
        if "duty" not in run.known:
            run.known["duty"] = self._duty(run, None, at)
        before: float | None = run.known["duty"]
        while units > 0:
            after = self._duty(run, (way, kind, units), at)
            if after is not None:
                rig = self.problem.rigs[run.rig]
                usd = (after - (before or 0.0)) * rig.usd_per_min
                return units, usd + self._terms(run, way, kind, units)
            units = units // 2 if units > 3 else units - 1
        return None

    def _terms(self, run: Run, way: tuple[str, str], kind: int, units: int) -> float:
        promise = self.problem.promises.get(way[1])
        if promise is None:
            return 0.0
        late = max(0, run.night - promise.in_last) * promise.usd_late
        return (late + promise.usd_bonus_missed.get(kind, 0.0)) * units * self.problem.kinds[kind].hives

    def _duty(
        self, run: Run, more: tuple[tuple[str, str], int, int] | None, at: tuple[int, bool, int, bool]
    ) -> float | None:
        """Return the minutes of duty of a run with more units in it, or None when its hours do not hold."""
        rig, problem = self.problem.rigs[run.rig], self.problem
        if "stops" not in run.known:
            run.known["stops"] = [(halt.place, self._service(rig, halt)) for halt in run.halts]
        stops: list[tuple[str, float]] = run.known["stops"]
        if more is not None:
            stops = self._with(rig, stops, run, more, at)
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

    def _with(
        self, rig: Rig, stops: list[tuple[str, float]], run: Run, more: tuple[tuple[str, str], int, int],
        at: tuple[int, bool, int, bool],
    ) -> list[tuple[str, float]]:
        (origin, destination), kind, units = more
        start, start_new, end, end_new = at
        problem = self.problem
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


def _some(counted: Counter[int]) -> Units:
    return tuple((kind, units) for kind, units in counted.items() if units > 0)


def _with_units(had: Units, kind: int, units: int) -> Units:
    total = Counter(dict(had))
    total[kind] += units
    return tuple(sorted(total.items()))
