"""What a draft does by one promise, counted as the independent judge counts (``check_account``)."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from routing.nights.draft import DraftNight, delivered, set_down_by_night, taken
from routing.nights.problem import Problem, Promise

Nights = tuple[DraftNight, ...]


@dataclass(frozen=True)
class Kept:
    """One promise and the draft."""

    problem: Problem
    promise: Promise
    nights: Nights

    @cached_property
    def units(self) -> Mapping[int, int]:
        """Units delivered of each kind."""
        return delivered(self.nights, self.promise.name)

    @cached_property
    def hives(self) -> int:
        """Hives delivered."""
        return self._hives(self.units)

    @cached_property
    def missing(self) -> int:
        """Colonies missing."""
        return max(0, self.promise.colonies - self.hives)

    @cached_property
    def late(self) -> tuple[tuple[int, int], ...]:
        """(Nights late, hives) of all that is set down late."""
        moves = set_down_by_night(self.nights, self.promise.name)
        return tuple(
            (night - self.promise.in_last, units * self.problem.kinds[kind].hives)
            for night, kind, units in moves if night > self.promise.in_last
        )  # fmt: skip

    @cached_property
    def late_hives(self) -> int:
        """Hives set down late."""
        return sum(hives for _, hives in self.late)

    @cached_property
    def late_usd(self) -> float:
        """What lateness costs. [USD]"""
        return self.promise.usd_late * sum(nights * hives for nights, hives in self.late)

    @cached_property
    def frames(self) -> float:
        """Frames counted on over all hives delivered."""
        kinds = self.problem.kinds
        by_group: dict[str, int] = {}
        for kind, count in self.units.items():
            by_group[kinds[kind].group] = by_group.get(kinds[kind].group, 0) + kinds[kind].hives * count
        # Summed group by group, as the judge does: the two then round alike.
        each = {kinds[kind].group: kinds[kind].frames for kind in self.units}
        return sum(each[group] * hives for group, hives in by_group.items())

    @cached_property
    def weak_usd(self) -> float:
        """What the weakness of the lot costs. [USD]"""
        return max(0.0, self.promise.min_average * self.hives - self.frames) * (self.promise.usd_weak or 0.0)

    @cached_property
    def left_in(self) -> int:
        """Hives not taken out."""
        if self.promise.out is None:
            return 0
        return max(0, self.hives - self._hives(taken(self.nights, self.promise.name)))

    def _hives(self, units: Mapping[int, int]) -> int:
        return sum(self.problem.kinds[kind].hives * count for kind, count in units.items())
