"""What the search for a deck plan without marked places works on: units one by one, rows stretch by stretch."""

import math
from collections.abc import Sequence
from statistics import NormalDist
from typing import NamedTuple

from routing.formulas.axle import Share
from routing.loads.chance import spread_of
from routing.loads.coupling import coupled
from routing.loads.stowage import Deck
from routing.loads.weight_rows import WeightRow, weight_rows

SLANTS = (0.0, math.pi / 4, math.pi / 2)


class Crate(NamedTuple):
    """One unit, or one stack of them, not yet turned."""

    batch: int
    length_in: float
    width_in: float
    low_lb: float
    high_lb: float
    units: int = 1
    """On each other."""

    @property
    def middle_lb(self) -> float:
        """Middle of the range of weight."""
        return (self.low_lb + self.high_lb) / 2

    @property
    def half_lb(self) -> float:
        """From the middle of the range to its end."""
        return (self.high_lb - self.low_lb) / 2


class Line(NamedTuple):
    """A weight limit on one stretch of road: what the units add, in their places, is at most ``room_lb``."""

    check: str
    units: tuple[tuple[int, tuple[Share, ...]], ...]
    """(unit, what it adds); of several, the worst counts."""
    room_lb: float
    all_lb: float
    """The trailer with all that rides, for a share of it; 0 for other limits."""


def crates(deck: Deck) -> tuple[Crate, ...]:
    """Return the units of a deck one by one, or stack by stack where there is no room for one layer."""
    most = per_stack(deck)
    found: list[Crate] = []
    for batch, one in enumerate(deck.carried):
        stacks = [min(most, one.number - first) for first in range(0, one.number, most)]
        found += [Crate(batch, *one.footprint, units * one.low_lb, units * one.high_lb, units) for units in stacks]
    return tuple(found)


def per_stack(deck: Deck) -> int:
    """Return how many alike units must stand on each other so that the deck has room for all; the most it may be at last."""
    room_in2 = deck.rig.truck.deck_length_in * deck.rig.truck.deck_width_in
    for tiers in range(1, deck.tiers()):
        floors = [
            sum(math.ceil(deck.carried[batch].number / tiers) * math.prod(deck.carried[batch].footprint) for batch in riding)
            for riding in deck.stretches()
        ]
        if max(floors, default=0.0) <= room_in2:
            return tiers
    return max(1, deck.tiers())


def lines(deck: Deck, *, proof: bool) -> list[Line]:
    """Return every weight limit on every stretch of road that some deck plan could break.

    A coupling's share must also keep the chance of missing it small: see ``_chance_weights``.
    """
    units = crates(deck)
    found = []
    for row in weight_rows(deck.rig) if deck.vehicle else ():
        for riding in deck.stretches():
            here = [(unit, one) for unit, one in enumerate(units) if one.batch in riding]
            found += _together(deck, row, here, proof=proof) if row.together else [_each(deck, row, here)]
    return [one for one in found if _may_break(deck, one)]


def _each(deck: Deck, row: WeightRow, here: Sequence[tuple[int, Crate]]) -> Line:
    """Return a row with each unit at its worse end; where its sign is known, so is that end."""
    signs = {row.adds.at(at_in) >= 0.0 for at_in in (0.0, deck.rig.truck.deck_length_in)}
    ends = {frozenset({True}): (False, True), frozenset({False}): (True, False)}.get(frozenset(signs), (True, True))
    adds = tuple(
        (unit, _shares(row, [lb for lb, counts in zip((one.low_lb, one.high_lb), ends, strict=True) if counts]))
        for unit, one in here
    )
    return Line(row.check, adds, row.limit_lb - row.base_lb, 0.0)


def _together(deck: Deck, row: WeightRow, here: Sequence[tuple[int, Crate]], *, proof: bool) -> list[Line]:
    on = coupled(deck.rig)
    all_lb = (on.total_lb if on else 0.0) + sum(one.high_lb for _, one in here)
    weights = [[[one.low_lb] for _, one in here], [[one.high_lb] for _, one in here]]
    weights += _chance_weights(deck, [one for _, one in here], proof=proof)
    room_lb = row.limit_lb - row.base_lb
    return [
        Line(row.check, tuple((unit, _shares(row, own)) for (unit, _), own in zip(here, each, strict=True)), room_lb, all_lb)
        for each in weights
    ]


def _chance_weights(deck: Deck, here: Sequence[Crate], *, proof: bool) -> list[list[list[float]]]:
    """Return weights at which a row must hold too, so that its chance of breaking is small.

    The chance is small when middle + z sd <= limit, and sd^2 = shared (sum of sds)^2 + (1 - shared) sum of sds^2. The last
    sum is at least (sum of |sds|)^2 / n (Cauchy), and a root of squares at least any slanted sum of the two: straight
    lines that every such plan keeps. Where no weights in their ranges break the row, z is the end of the ranges at most.
    """
    spread, n = spread_of(deck.rig), max(1, len(here))
    z = NormalDist().inv_cdf(1.0 - deck.rig.figure("overweight_chance_most").value)
    z = min(z, spread.deviations) if proof else z
    found = []
    for slant in SLANTS:
        shared = z * math.cos(slant) * math.sqrt(spread.shared)
        alone = z * math.sin(slant) * math.sqrt((1.0 - spread.shared) / n)
        for side in (1.0, -1.0):
            off = [side * shared + alone, side * shared - alone]
            found.append([[one.middle_lb + sds * one.half_lb / spread.deviations for sds in off] for one in here])
    return found


def _shares(row: WeightRow, weights_lb: Sequence[float]) -> tuple[Share, ...]:
    return tuple(Share(row.adds.constant * lb, row.adds.per_in * lb) for lb in dict.fromkeys(weights_lb))


def _may_break(deck: Deck, line: Line) -> bool:
    edges = (0.0, deck.rig.truck.deck_length_in)
    worst_lb = sum(max(share.at(at_in) for share in adds for at_in in edges) for _, adds in line.units)
    return worst_lb > line.room_lb - 1.0


def side_moment(deck: Deck, riding: Sequence[int]) -> float:
    """Return the most that the load's moment about the middle line may be on a stretch. [lb in]"""
    cargo_lb = sum(deck.carried[place].number * deck.carried[place].high_lb for place in riding)
    gross_lb = cargo_lb + sum(group.empty_lb for group in deck.rig.axle_groups)
    return deck.rig.figure("side_balance_share").value * gross_lb * deck.rig.truck.deck_width_in / 2
