"""A plan as numbers to simulate with: truck-nights, what each carries, which must come before which."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from routing.inputs.away import dates_away
from routing.inputs.fleet import Driver, Truck
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.inputs.yard import VEHICLE_CLASSES
from routing.nights.tour import TruckNight
from routing.plan_record import Plan

ASIDE_NIGHTS = 12
"""So many nights earlier or later a truck-night may be moved to."""


@dataclass(frozen=True)
class Ride:
    """Hives of one group that ride together."""

    group: str
    hives: int
    origin: str
    destination: str
    before: tuple[int, ...]
    """Truck-nights of the plan that bring these hives to where this one picks them up."""


@dataclass(frozen=True)
class Run:
    """One truck-night of the plan."""

    truck: int
    driver: int | None
    """None: the hauler's."""
    night: int
    slack_min: float
    """By how much later hives may be closed before the last stop is not done in time. [min]"""
    rides: tuple[Ride, ...]
    trucks: tuple[int, ...]
    """Trucks that can do it, the planned one first."""
    usd: Mapping[int, float]
    """What it costs with each of them."""


@dataclass(frozen=True)
class Fleet:
    """Who and what may drive, by night."""

    trucks: tuple[Truck, ...]
    drivers: tuple[Driver, ...]
    nights: int

    def truck_nights(self, operation: Operation, truck: int) -> list[bool]:
        """Tell for each night whether a truck is to be had."""
        one = self.trucks[truck]
        away = dates_away(one.nights_away)
        dates = [operation.first_night + dt.timedelta(days=day) for day in range(self.nights)]
        first, last = one.available_from or dates[0], one.available_until or dates[-1]
        return [first <= date <= last and date not in away for date in dates]

    def driver_nights(self, operation: Operation, driver: int) -> list[bool]:
        """Tell for each night whether a driver is to be had."""
        away = dates_away(self.drivers[driver].nights_away)
        return [operation.first_night + dt.timedelta(days=day) not in away for day in range(self.nights)]

    def may_drive(self, driver: int, truck: int) -> bool:
        """Tell whether a driver may drive a truck."""
        drives, needed = self.drivers[driver].drives, self.trucks[truck].vehicle_class
        return VEHICLE_CLASSES.index(drives) >= VEHICLE_CLASSES.index(needed)


def fleet_of(operation: Operation) -> Fleet:
    """Return the fleet of an operation."""
    return Fleet(operation.trucks, operation.drivers, (operation.last_night - operation.first_night).days + 1)


def runs_of(plan: Plan) -> tuple[Run, ...]:
    """Return the plan's truck-nights in the order of their nights."""
    ordered = sorted(plan.truck_nights, key=lambda one: (one.night, one.truck))
    brought: dict[tuple[str, str], list[int]] = {}
    found = []
    for number, one in enumerate(ordered):
        rides = tuple(_rides(plan.operation, one, brought))
        found.append(_run(plan, one, rides))
        for ride in rides:
            brought.setdefault((ride.destination, ride.group), []).append(number)
    return tuple(found)


def _rides(operation: Operation, one: TruckNight, brought: Mapping[tuple[str, str], list[int]]) -> list[Ride]:
    home = {group.name: group.yard for group in operation.hive_groups}
    return [
        Ride(
            lot.group, lot.hives, lot.origin, lot.destination,
            () if home[lot.group] == lot.origin else tuple(brought.get((lot.origin, lot.group), ())),
        )
        for stop in one.stops for lot in stop.picked_up
    ]  # fmt: skip


def _run(plan: Plan, one: TruckNight, rides: tuple[Ride, ...]) -> Run:
    operation = plan.operation
    names = [truck.name for truck in operation.trucks]
    planned = names.index(one.truck)
    others = [number for number in range(len(names)) if number != planned and _can(operation, one, planned, number)]
    drivers = [driver.name for driver in operation.drivers]
    return Run(
        truck=planned, driver=drivers.index(one.driver) if one.driver in drivers else None,
        night=(one.night - operation.first_night).days, slack_min=_slack_min(plan, one), rides=rides,
        trucks=(planned, *others), usd={number: _usd(operation, one, planned, number) for number in (planned, *others)},
    )  # fmt: skip


def _can(operation: Operation, one: TruckNight, planned: int, number: int) -> bool:
    """Tell whether a truck is small enough for every stop, and holds and carries what the planned one does."""
    truck, was = operation.trucks[number], operation.trucks[planned]
    rank = VEHICLE_CLASSES.index(truck.vehicle_class)
    sites = places(operation)
    gets_in = all(VEHICLE_CLASSES.index(sites[stop.place].access) >= rank for stop in one.stops)
    holds = truck.deck_length_in >= was.deck_length_in and truck.deck_width_in >= was.deck_width_in
    return gets_in and holds and truck.payload_lb >= was.payload_lb


def _usd(operation: Operation, one: TruckNight, planned: int, number: int) -> float:
    """Return what a truck-night costs with another truck: its own mile and night, the wages as planned. [USD]"""
    truck, was = operation.trucks[number], operation.trucks[planned]
    return (
        one.cost_usd + one.miles * (truck.cost_usd_per_mile - was.cost_usd_per_mile)
        + truck.cost_usd_per_night - was.cost_usd_per_night
    )  # fmt: skip


def _slack_min(plan: Plan, one: TruckNight) -> float:
    windows = {(window.place, window.night): window for window in plan.windows}
    spans = [(stop, windows[stop.place, one.night]) for stop in one.stops if (stop.place, one.night) in windows]
    if not spans:
        return 0.0
    first, dark = spans[0]
    early = max((first.arrive - dark.loading_from).total_seconds(), 0.0)
    late = min((window.set_down_until - stop.leave).total_seconds() for stop, window in spans)
    return max(early + late, 0.0) / 60.0
