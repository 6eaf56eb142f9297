"""What the truck weighs on the road after each stop, axle group by axle group."""

from collections.abc import Sequence
from typing import NamedTuple

from routing.loads.load import AxleLoad, DeckState, Placement
from routing.loads.order import ride
from routing.loads.vehicle import Vehicle


class Moment(NamedTuple):
    """A stretch of road: after which stop, at which place it begins."""

    after_stop: int
    place: str


def on_deck(units: Sequence[Placement], after_stop: int) -> tuple[Placement, ...]:
    """Return the units that ride after a stop."""
    return tuple(unit for unit in units if ride(unit).on <= after_stop < ride(unit).off)


def stretches_of(units: Sequence[Placement]) -> list[tuple[Placement, ...]]:
    """Return what rides on each stretch of road that differs from the one before."""
    stops = sorted({stop for unit in units for stop in ride(unit)})
    return [riding for stop in stops if (riding := on_deck(units, stop))]


def deck_states(
    vehicle: Vehicle, units: Sequence[Placement], moments: Sequence[Moment]
) -> tuple[DeckState, ...]:
    """Return the weights after each moment.

    Parameters
    ----------
    vehicle
        The axles.
    units
        Everything that rides in the load.
    moments
        Stops after which something rides, in order.

    Returns
    -------
    tuple[DeckState, ...]
        One per moment. Gross weights are with all units at their lightest, and at their heaviest. An axle
        group's range is wider than that when a unit lifts weight off it: each unit counts as is worst. [lb]
    """
    return tuple(_state(vehicle, on_deck(units, one.after_stop), one) for one in moments)


def _state(vehicle: Vehicle, units: Sequence[Placement], moment: Moment) -> DeckState:
    empty_lb = sum(vehicle.empty_lb)
    return DeckState(
        after_stop=moment.after_stop,
        place=moment.place,
        hives_on_deck=sum(unit.hives for unit in units),
        gross_low_lb=empty_lb + sum(unit.weight_low_lb for unit in units),
        gross_high_lb=empty_lb + sum(unit.weight_high_lb for unit in units),
        axles=tuple(_axle(vehicle, units, place) for place in range(len(vehicle.names))),
    )


def _axle(vehicle: Vehicle, units: Sequence[Placement], place: int) -> AxleLoad:
    low_lb = high_lb = vehicle.empty_lb[place]
    for unit in units:
        share = vehicle.shares[place].at(unit.front_in + unit.length_in / 2)
        ends = (share * unit.weight_low_lb, share * unit.weight_high_lb)
        low_lb, high_lb = low_lb + min(ends), high_lb + max(ends)
    return AxleLoad(
        group=place + 1,
        name=vehicle.names[place],
        low_lb=low_lb,
        high_lb=high_lb,
        limit_lb=vehicle.limits_lb[place],
    )
