"""What could be carried for a promise on a truck-night: from which place, of which kind, how many units at most."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from routing.nights.problem import Problem, Promise
from routing.nights.working import Run, Working

NEAREST = 4
"""Yards tried as the source, or the end, of a move: those nearest to its orchard, and those on the way already."""


@dataclass(frozen=True)
class Want:
    """Hives to be moved: into an orchard, or out of it."""

    promise: Promise
    inward: bool


class Sources:
    """Finds sources; what it looks up again and again is kept."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem

    def of(self, work: Working, want: Want, run: Run, hives: int) -> Iterator[tuple[tuple[str, str], int, int]]:
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
        over, lacking = self._over_average(work, promise), work.lacking(promise.name)
        # Hives that something is already planned to take out come first: then that need not change.
        order = self._strong_enough(promise)
        order = tuple(sorted(order, key=lambda kind: not lacking[kind])) if lacking else order
        for origin in self._origins(work, promise, run):
            tried = 0
            for kind in order:
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
