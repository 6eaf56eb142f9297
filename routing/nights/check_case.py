"""What the judge looks at: the operation and the stops, opened once for all checks.

Nothing is taken from a plan but which truck goes where, when, with which lots; figures are worked out anew.
"""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from routing.bloom.window import ContractWindow, contract_window
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.fleet import Driver, Pallet, Truck
from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.inputs.yard import HiveGroup
from routing.nights.tour import Lot, Stop, TruckNight
from routing.record import Record
from routing.roads.roads import Roads, road_table

HAULERS_DRIVER = "hauler's driver"
"""Who drives a hired truck."""


class Move(Record):
    """Hives of one group that went from one place to another in one night, as the stops tell it."""

    truck_night: str
    night: dt.date
    group: str
    hives: int
    pallets: int
    origin: str
    destination: str
    done: bool = False
    """It has happened: a plan cannot undo it."""


@dataclass(frozen=True)
class Case:
    """An operation and what its trucks do, with everything that the judge looks up by name."""

    operation: Operation
    truck_nights: tuple[TruckNight, ...]
    places: Mapping[str, Place]
    roads: Roads

    @cached_property
    def trucks(self) -> dict[str, Truck]:
        """Every truck by name."""
        return {truck.name: truck for truck in self.operation.trucks}

    @cached_property
    def drivers(self) -> dict[str, Driver]:
        """Every driver by name."""
        return {driver.name: driver for driver in self.operation.drivers}

    @cached_property
    def groups(self) -> dict[str, HiveGroup]:
        """Every hive group by name."""
        return {group.name: group for group in self.operation.hive_groups}

    @cached_property
    def contracts(self) -> dict[str, Contract]:
        """Every contract by name."""
        return {contract.name: contract for contract in self.operation.contracts}

    @cached_property
    def pallets(self) -> dict[str, Pallet]:
        """Every pallet kind by name."""
        return {pallet.name: pallet for pallet in self.operation.pallets}

    @cached_property
    def windows(self) -> dict[str, ContractWindow]:
        """When each contract wants its hives in and out."""
        return {row.name: contract_window(self.operation, row) for row in self.operation.contracts}

    @cached_property
    def done(self) -> frozenset[tuple[str, dt.date]]:
        """Truck and night of everything that has happened."""
        return frozenset((row.truck, row.night) for row in self.operation.arranged if row.done)

    @cached_property
    def moves(self) -> tuple[Move, ...]:
        """Every lot that was picked up and later set down, in the order of nights."""
        found = [
            move.model_copy(update={"done": (row.truck, row.night) in self.done})
            for row in self.truck_nights for move in _moves(row)
        ]
        return tuple(sorted(found, key=lambda move: move.night))


def open_case(operation: Operation, truck_nights: tuple[TruckNight, ...]) -> Case:
    """Return the case of an operation and what its trucks do."""
    return Case(operation, truck_nights, places(operation), road_table(operation))


def legs(truck_night: TruckNight) -> tuple[tuple[Stop, Stop], ...]:
    """Return each stop with the stop after it."""
    return tuple(pairwise(truck_night.stops))


def lots_at(stop: Stop) -> tuple[Lot, ...]:
    """Return all lots that are lifted at a stop, up or down."""
    return (*stop.picked_up, *stop.set_down)


def pallet_hives(case: Case, group: HiveGroup) -> int | None:
    """Return how many hives a full pallet of the group carries; None for loose hives."""
    return None if group.pallet is None else case.pallets[group.pallet].hives


def drive_min(case: Case, truck: Truck, leg: tuple[Stop, Stop]) -> float:
    """Return the minutes that the truck needs from one stop to the next. [min]"""
    return case.roads.minutes(leg[0].place, leg[1].place) / truck.speed_factor


def service_min(case: Case, truck: Truck, stop: Stop) -> float:
    """Return the minutes of work at a stop: set-up, lifting, securing; none where nothing is lifted. [min]"""
    if not lots_at(stop):
        return 0.0
    place = case.places[stop.place]
    lifting = sum(_lifting_min(case, (truck, place), lot) for lot in lots_at(stop))
    securing = constant(case.operation, "secure_load_min") if stop.picked_up else 0.0
    return constant(case.operation, "stop_setup_min") + lifting + securing


def _lifting_min(case: Case, where: tuple[Truck, Place], lot: Lot) -> float:
    truck, place = where
    means = {truck.lifting, place.loading}
    alone = 2.0 if truck.helpers == 0 else 1.0
    if means == {"hand"}:
        return lot.hives * constant(case.operation, "hand_min_per_hive") * alone
    if case.groups[lot.group].pallet is None:
        return lot.hives * constant(case.operation, "boom_min_per_loose_hive")
    gear = "forklift" if "forklift" in means else "boom"
    return lot.pallets * constant(case.operation, f"{gear}_min_per_pallet")


def duty_span(truck_night: TruckNight) -> tuple[dt.datetime, dt.datetime]:
    """Return when the night's work begins and ends: from leaving the base to being back at it.

    Lifting at the base itself, before the truck leaves or after it is back, is work too.
    """
    first, last = truck_night.stops[0], truck_night.stops[-1]
    return (first.arrive if lots_at(first) else first.leave), (last.leave if lots_at(last) else last.arrive)


def minutes(begin: dt.datetime, end: dt.datetime) -> float:
    """Return the minutes from ``begin`` to ``end``. [min]"""
    # Across a change of clocks, only the difference between instants is right.
    return (end.astimezone(dt.UTC) - begin.astimezone(dt.UTC)).total_seconds() / 60.0


def _moves(truck_night: TruckNight) -> list[Move]:
    found = []
    begun: dict[str, Stop] = {}
    for stop in truck_night.stops:
        for lot in stop.set_down:
            if lot.lot in begun:
                found.append(_move(truck_night, lot, (begun.pop(lot.lot), stop)))
        begun.update({lot.lot: stop for lot in stop.picked_up})
    return found


def _move(truck_night: TruckNight, lot: Lot, between: tuple[Stop, Stop]) -> Move:
    return Move(
        truck_night=truck_night.id, night=truck_night.night, group=lot.group, hives=lot.hives,
        pallets=lot.pallets, origin=between[0].place, destination=between[1].place,
    )  # fmt: skip
