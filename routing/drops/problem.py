"""The siting of drops in numbers: what each place costs each piece of ground, and what a drop may hold."""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

PARTS = 1000
"""Parts of a hive: shares of hives are counted in whole parts, so that every sum is exact."""


@dataclass(frozen=True)
class SitingProblem:
    """Choose at most ``stops`` candidates; each piece of ground draws its hives from them at a cost.

    With candidates as facilities and pieces of ground as customers this is the p-median problem (Hakimi,
    Operations Research 12 (1964) 450-459; from memory), with a least and a most at each facility.
    """

    cost: Floats
    """Of one hive at a candidate for a piece of ground. [candidates x pieces], >= 0."""
    wanted: Whole
    """Hives that each piece of ground draws. [pieces], parts, > 0."""
    stops: int
    """Most candidates chosen, >= 1."""
    least: int = 0
    """Fewest hives at a chosen candidate. [parts]"""
    most: int = 0
    """Most hives at a chosen candidate; 0: any number. [parts]"""
    unit: int = 0
    """Hives that are lifted at once; one drop may hold one unit that is not full. 0: any share. [parts]"""
    near: NDArray[np.bool_] | None = None
    """Pairs of candidates too near to each other to be both chosen. [candidates x candidates], symmetric."""
    closed: frozenset[int] = field(default=frozenset())
    """Candidates that no better answer chooses: proven, never guessed."""

    @property
    def total(self) -> int:
        """Hives of all ground together. [parts]"""
        return int(self.wanted.sum())

    @property
    def is_free(self) -> bool:
        """May a drop hold any number of hives? Then each piece of ground draws on its nearest."""
        return self.least == 0 and self.most == 0 and self.unit == 0

    @property
    def highest(self) -> int:
        """Most hives at one candidate. [parts]"""
        return self.most or self.total

    @property
    def short(self) -> int:
        """By how much the last unit is not full. [parts]"""
        return -self.total % self.unit if self.unit else 0

    def with_stops(self, stops: int) -> "SitingProblem":
        """Return the problem with another number of stops; what was proven closed is open again."""
        return replace(self, stops=stops, closed=frozenset())

    def left(self) -> list[int]:
        """Return the candidates that may still be chosen."""
        return [one for one in range(self.cost.shape[0]) if one not in self.closed]


@dataclass(frozen=True)
class Siting:
    """Chosen candidates with the hives that each piece of ground draws from each."""

    chosen: tuple[int, ...]
    flow: Whole
    """[chosen x pieces], parts."""
    cost: float
    """Sum of cost x hives. [cost of a hive for a piece of ground x hives]"""

    @property
    def held(self) -> Whole:
        """Hives at each chosen candidate. [parts]"""
        held: Whole = self.flow.sum(axis=1)
        return held


def siting_of(problem: SitingProblem, chosen: tuple[int, ...], flow: Whole) -> Siting:
    """Return the siting with its cost; candidates that hold nothing are left out."""
    kept = [place for place, held in enumerate(flow.sum(axis=1)) if held > 0]
    cost = float((problem.cost[list(chosen)] * flow).sum()) / PARTS
    return Siting(tuple(chosen[place] for place in kept), flow[kept], cost)
