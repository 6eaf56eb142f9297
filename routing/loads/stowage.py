"""What the deck plan's search works on, and what it answers: no solver in here."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from routing.loads.capacity import Slot, tiers_that_fit
from routing.loads.deck import Batch, Stowed
from routing.loads.vehicle import Bearing, Rig, Vehicle
from routing.loads.weight_rows import WeightRow
from routing.loads.zones import zones

TENTHS = 10
"""Weights and lengths are counted in tenths: rounding stays far under any scale's."""


class Deck(NamedTuple):
    """One deck to be planned on one layout."""

    rig: Rig
    vehicle: Vehicle | None
    """None when the axle rows do not tell where the axles are."""
    carried: Sequence[Batch]
    layout: Sequence[Slot]

    def stretches(self) -> list[list[int]]:
        """Return the batches that ride on each stretch of road that differs from the one before."""
        stops = sorted({stop for one in self.carried for stop in one.ride})
        riding = [
            [place for place, one in enumerate(self.carried) if one.ride.on <= stop < one.ride.off]
            for stop in stops
        ]
        return [one for one in riding if one]

    def tiers(self) -> int:
        """Return the most tiers that the lowest units can make."""
        return tiers_that_fit(self.rig.truck, min(one.unit.height_in for one in self.carried))

    def too_full(self) -> bool:
        """Tell whether some stretch carries more units than there are places."""
        most = max(sum(self.carried[place].number for place in riding) for riding in self.stretches())
        return most > len(self.layout) * self.tiers()

    def adds(self, bearing: Bearing, *, batch: int, slot: int) -> int:
        """Return what a unit of a batch in a slot adds to a bearing at its worst weight. [tenths of lb]"""
        one, place = self.carried[batch], self.layout[slot]
        centre_in = place.front_in + one.length_in(place) / 2
        shares = self.vehicle.shares if self.vehicle else ()
        share = sum(part * each.at(centre_in) for part, each in zip(bearing.parts, shares, strict=True))
        return tenths(max(share * one.low_lb, share * one.high_lb))

    def adds_to(self, row: WeightRow, *, batch: int, slot: int, light: bool | None) -> int:
        """Return what a unit of a batch in a slot adds to a row: light, heavy, or (None) at its worse end. [tenths of lb]"""
        one, place = self.carried[batch], self.layout[slot]
        adds = row.adds.at(place.front_in + one.length_in(place) / 2)
        if light is None:
            return tenths(max(adds * one.low_lb, adds * one.high_lb))
        return tenths(adds * (one.low_lb if light else one.high_lb))

    def tips(self, *, batch: int, slot: int) -> int:
        """Return a unit's moment about the middle line of the deck, right is positive. [tenths of lb in]"""
        one, place = self.carried[batch], self.layout[slot]
        across_in = place.left_in + one.width_in(place) / 2 - self.rig.truck.deck_width_in / 2
        return round(one.high_lb * across_in * TENTHS)

    def tips_percent(self, riding: Sequence[int]) -> int:
        """Return one hundredth of the moment of all weight put on one edge of the deck. [tenths of lb in]"""
        cargo_lb = sum(self.carried[place].number * self.carried[place].high_lb for place in riding)
        gross_lb = cargo_lb + sum(group.empty_lb for group in self.rig.axle_groups)
        return max(1, tenths(gross_lb * self.rig.truck.deck_width_in / 2 / 100))

    def steps_out(self, slot: int) -> int:
        """Return how far a slot's middle is from the deck's middle line, in steps of 10 in."""
        place = self.layout[slot]
        return round(abs(place.left_in + place.width_in / 2 - self.rig.truck.deck_width_in / 2) / 10)


class Stowage(NamedTuple):
    """A deck plan and what it left behind."""

    layout: Sequence[Slot]
    stowed: tuple[Stowed, ...]
    left_out: int
    use_percent: int
    """Use of the worst weight limit; 0 when it was not looked at."""
    price: float
    """The search's objective; infinite for a plain plan."""


def tenths(amount: float) -> int:
    """Return an amount in whole tenths, rounded up."""
    return math.ceil(amount * TENTHS - 1e-6)


def better(one: Stowage | None, other: Stowage | None) -> Stowage | None:
    """Return the stowage of the lower price; the first when they are equal."""
    if one is None or other is None:
        return one or other
    return other if other.price < one.price else one


def plain(decks: Sequence[Deck], carried: Sequence[Batch]) -> Stowage:
    """Return the plain plan that leaves the fewest units behind."""
    best = Stowage((), (), sum(batch.number for batch in carried), 0, math.inf)
    for deck in decks:
        zoned = zones(deck.rig.truck, carried, deck.layout)
        if zoned.left_out < best.left_out:
            best = Stowage(deck.layout, zoned.stowage, zoned.left_out, 0, math.inf)
    return best
