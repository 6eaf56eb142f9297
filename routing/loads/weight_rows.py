"""Every weight limit of a rig as one straight line in the weights on the deck.

A row holds when ``base_lb + sum(adds.at(place) x weight) <= limit_lb`` on each stretch of road. Ratings, law,
payload, coupling and axles lifted off the road all have this form; the chance of breaking one, the pins of a sliding
axle group and the units to leave behind are worked out from the same rows.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.formulas.axle import Share
from routing.loads.coupling import Coupled, coupled
from routing.loads.load import Placement
from routing.loads.vehicle import Rig, Vehicle, payload_of, vehicle


class WeightRow(NamedTuple):
    """One weight limit."""

    check: str
    base_lb: float
    adds: Share
    """Of one pound, in its distance behind the front end of the deck."""
    limit_lb: float
    together: bool = False
    """A share of all that rides: units are all light or all heavy, as a full flow or a lean one makes them. That some are
    light and others heavy is for the chance to tell."""

    def of(self, unit: Placement) -> float:
        """Return what one pound in the middle of a unit adds."""
        return self.adds.at(unit.front_in + unit.length_in / 2)

    def worst_lb(self, units: Sequence[Placement]) -> float:
        """Return the left side with each unit, or all of them together, at the worse end of the range."""
        if self.together:
            light_lb = sum(self.of(unit) * unit.weight_low_lb for unit in units)
            return self.base_lb + max(light_lb, sum(self.of(unit) * unit.weight_high_lb for unit in units))
        return self.extreme_lb(units)

    def extreme_lb(self, units: Sequence[Placement]) -> float:
        """Return the left side with each unit by itself at the worse end of its range."""
        return self.base_lb + sum(worst_of(self.of(unit), unit) for unit in units)

    def use(self, units: Sequence[Placement]) -> float:
        """Return the use of a limit that is more than 0, as a share of it."""
        return self.worst_lb(units) / self.limit_lb


def worst_of(adds: float, unit: Placement) -> float:
    """Return what a unit adds at the worse end of its range."""
    return max(adds * unit.weight_low_lb, adds * unit.weight_high_lb)


def weight_rows(rig: Rig) -> tuple[WeightRow, ...]:
    """Return every row of a rig; raise ``ValueError`` when its axle rows make no vehicle that stands."""
    axles = vehicle(rig)
    everything = Share(1.0, 0.0)
    return (
        WeightRow("payload", 0.0, everything, payload_of(rig)),
        WeightRow("gross weight", sum(axles.empty_lb), everything, rig.truck.gross_rating_lb),
        *_bearings(axles),
        *_lifted(axles),
        *coupling_rows(rig),
    )


def _bearings(axles: Vehicle) -> list[WeightRow]:
    return [
        WeightRow(one.check, one.on(axles.empty_lb), _line(one.parts, axles.shares), one.limit_lb) for one in axles.bearings
    ]


def _lifted(axles: Vehicle) -> list[WeightRow]:
    return [
        WeightRow(f"{name} on the road", -empty_lb, Share(-share.constant, -share.per_in), 0.0)
        for name, empty_lb, share in zip(axles.names, axles.empty_lb, axles.shares, strict=True)
    ]


def coupling_rows(rig: Rig) -> list[WeightRow]:
    """Return the rows of the coupling: its least and most share (limit 0), and its rating; none when not known."""
    on = coupled(rig)
    if on is None:
        return []
    found = []
    if on.least is not None:
        found.append(_share_row(on, "least share on the coupling", on.least.share, sign=-1.0))
    if on.most is not None:
        found.append(_share_row(on, "most share on the coupling", on.most.share, sign=1.0))
    if rig.hitch is not None and rig.hitch.coupling_rating_lb is not None:
        found.append(WeightRow("weight on the coupling", on.resting_lb, on.adds, rig.hitch.coupling_rating_lb))
    return found


def _share_row(on: Coupled, check: str, share: float, *, sign: float) -> WeightRow:
    base_lb = sign * (on.resting_lb - share * on.total_lb)
    adds = Share(sign * (on.adds.constant - share * on.cargo_counts), sign * on.adds.per_in)
    return WeightRow(check, base_lb, adds, 0.0, together=True)


def _line(parts: Sequence[float], shares: Sequence[Share]) -> Share:
    pairs = list(zip(parts, shares, strict=True))
    return Share(sum(part * one.constant for part, one in pairs), sum(part * one.per_in for part, one in pairs))
