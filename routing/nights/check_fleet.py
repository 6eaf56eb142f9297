"""May this truck, with this driver, go there with that load?

Law 1: a truck has at most one truck-night a night, and so has a driver; neither goes when away.
Law 2: no truck goes where a smaller one is the largest that can turn.
Law 3: at no time does a deck carry more than its room or its payload.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping

from routing.finding import Finding
from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.fleet import Truck
from routing.inputs.yard import VEHICLE_CLASSES, VehicleClass
from routing.loads.capacity import tiers_that_fit, unit, units_that_fit
from routing.nights.check_case import HAULERS_DRIVER, Case
from routing.nights.check_rule import Rule
from routing.nights.tour import Lot, Stop, TruckNight

PERIOD = Rule(
    check="night of the planning period", force="own figure", source="first and last night of the operation"
)
TRUCK_FREE = Rule(check="truck available", force="own figure", source="nights of the truck")
TRUCK_ONCE = Rule(
    check="one truck-night a truck and night",
    unit="truck-nights",
    force="practice",
    source="a truck is in one place at a time",
)
DRIVER_FREE = Rule(check="driver available", force="own figure", source="nights of the driver")
DRIVER_ABLE = Rule(
    check="driver able", force="own figure", source="largest vehicle that the driver may and can drive"
)
DRIVER_ONCE = Rule(
    check="one truck-night a driver and night",
    unit="truck-nights",
    force="practice",
    source="a driver is in one place at a time",
)
CREW = Rule(check="helpers", unit="people", force="own figure", source="helpers of the truck")
ACCESS = Rule(check="access", force="own figure", source="largest vehicle that gets in and turns")
ROOM = Rule(
    check="room on the deck",
    unit="share of the deck",
    force="own figure",
    source="deck, pallet and hive sizes",
)
WEIGHT = Rule(
    check="payload", unit="lb", force="law", source="payload rating of the truck, less gear, helpers and things carried"
)


def check_fleet(case: Case) -> tuple[Finding, ...]:
    """Return the findings on trucks, drivers and decks."""
    nights = case.truck_nights
    return (
        *PERIOD.tell(_in_period(case, row) for row in nights),
        *TRUCK_FREE.tell(_truck_free(case.trucks[row.truck], row) for row in nights),
        *TRUCK_ONCE.tell(_once(TRUCK_ONCE, Counter((row.truck, row.night) for row in nights))),
        *DRIVER_FREE.tell(_driver_free(case, row) for row in nights),
        *DRIVER_ABLE.tell(_driver_able(case, row) for row in nights),
        *DRIVER_ONCE.tell(
            _once(
                DRIVER_ONCE, Counter((row.driver, row.night) for row in nights if row.driver in case.drivers)
            )
        ),
        *CREW.tell(
            CREW.equal(row.id, measured=row.helpers, limit=case.trucks[row.truck].helpers) for row in nights
        ),
        *ACCESS.tell(_access(case, row, stop) for row in nights for stop in row.stops),
        *ROOM.tell(found for row in nights for found in _room(case, row)),
        *WEIGHT.tell(found for row in nights for found in _weight(case, row)),
    )


def on_deck(truck_night: TruckNight) -> Iterator[tuple[Stop, tuple[Lot, ...]]]:
    """Yield each stop with the lots on the deck when the truck leaves it: first off, then on."""
    deck: dict[str, Lot] = {}
    for stop in truck_night.stops:
        for lot in stop.set_down:
            deck.pop(lot.lot, None)
        deck.update({lot.lot: lot for lot in stop.picked_up})
        yield stop, tuple(deck.values())


def _in_period(case: Case, row: TruckNight) -> Finding | None:
    first, last = case.operation.first_night, case.operation.last_night
    return PERIOD.holds(
        row.id, first <= row.night <= last, note=f"{row.night} is not within {first} to {last}"
    )


def _away(text: str) -> frozenset[dt.date]:
    return frozenset(dt.date.fromisoformat(part) for part in text.replace(",", " ").split())


def _truck_free(truck: Truck, row: TruckNight) -> Finding | None:
    first, last = truck.available_from or dt.date.min, truck.available_until or dt.date.max
    free = first <= row.night <= last and row.night not in _away(truck.nights_away)
    return TRUCK_FREE.holds(row.id, free, note=f"{truck.name} is not available on {row.night}")


def _once(rule: Rule, counts: Mapping[tuple[str, dt.date], int]) -> Iterator[Finding | None]:
    for (name, night), count in counts.items():
        yield rule.at_most(f"{name}, night of {night}", measured=count, limit=1)


def _driver_free(case: Case, row: TruckNight) -> Finding | None:
    driver = case.drivers.get(row.driver)
    free = driver is None or row.night not in _away(driver.nights_away)
    return DRIVER_FREE.holds(row.id, free, note=f"{row.driver} is away on {row.night}")


def _driver_able(case: Case, row: TruckNight) -> Finding | None:
    truck = case.trucks[row.truck]
    if truck.hired:
        return DRIVER_ABLE.holds(
            row.id, row.driver == HAULERS_DRIVER, note=f"a hired truck is driven by the {HAULERS_DRIVER}"
        )
    driver = case.drivers.get(row.driver)
    if driver is None:
        return DRIVER_ABLE.holds(row.id, False, note=f"no driver is called {row.driver}")
    able = _rank(driver.drives) >= _rank(truck.vehicle_class)
    return DRIVER_ABLE.holds(
        row.id, able, note=f"{driver.name} drives up to a {driver.drives}, this is a {truck.vehicle_class}"
    )


def _rank(vehicle_class: VehicleClass) -> int:
    return VEHICLE_CLASSES.index(vehicle_class)


def _access(case: Case, row: TruckNight, stop: Stop) -> Finding | None:
    truck, place = case.trucks[row.truck], case.places[stop.place]
    fits = _rank(truck.vehicle_class) <= _rank(place.access)
    note = f"a {truck.vehicle_class} does not get in: at most a {place.access}"
    return ACCESS.holds(f"{row.id}, stop {stop.number} {stop.place}", fits, note=note)


def _room(case: Case, row: TruckNight) -> Iterator[Finding | None]:
    truck = case.trucks[row.truck]
    for stop, deck in on_deck(row):
        share = max(*_shares_by_size(case, truck, deck).values(), _share_of_floor(case, truck, deck), 0.0)
        yield ROOM.at_most(f"{row.id}, after stop {stop.number} {stop.place}", measured=share, limit=1.0)


def _shares_by_size(case: Case, truck: Truck, deck: tuple[Lot, ...]) -> dict[tuple[float, float], float]:
    """Return, for each size of unit, how full the deck would be with these alone."""
    found: dict[tuple[float, float], float] = {}
    for lot in deck:
        one = unit(case.operation, case.groups[lot.group])
        size = (one.length_in, one.width_in)
        found[size] = found.get(size, 0.0) + _units(case, lot) / _fit(case, truck, lot)
    return found or {(0.0, 0.0): 0.0}


def _share_of_floor(case: Case, truck: Truck, deck: tuple[Lot, ...]) -> float:
    """Return the floor under all units over that of the deck: sizes mixed or not, no deck holds more than it is."""
    floor_in2 = 0.0
    for lot in deck:
        one = unit(case.operation, case.groups[lot.group])
        floor_in2 += _units(case, lot) * one.length_in * one.width_in / max(1, tiers_that_fit(truck, one.height_in))
    return floor_in2 / (truck.deck_length_in * truck.deck_width_in)


def _units(case: Case, lot: Lot) -> int:
    return lot.hives if case.groups[lot.group].pallet is None else lot.pallets


def _fit(case: Case, truck: Truck, lot: Lot) -> float:
    # A deck that takes none of a unit is over-full with any: a thousandth makes the share say so.
    return max(float(units_that_fit(case.operation, truck, case.groups[lot.group])), 0.001)


def _weight(case: Case, row: TruckNight) -> Iterator[Finding | None]:
    truck = case.trucks[row.truck]
    payload_lb = truck.payload_lb - (
        0.0 if truck.lifting_mount == "towed or at site" else truck.lifting_weight_lb
    )
    payload_lb -= truck.helpers * constant(case.operation, "helper_lb")
    payload_lb -= sum(one.weight_lb for one in case.operation.carried if one.truck == truck.name and one.what != truck.lifting)
    for stop, deck in on_deck(row):
        loaded_lb = sum(_lot_lb(case, lot) for lot in deck)
        yield WEIGHT.at_most(
            f"{row.id}, after stop {stop.number} {stop.place}", measured=loaded_lb, limit=payload_lb
        )


def _lot_lb(case: Case, lot: Lot) -> float:
    group = case.groups[lot.group]
    pallet_lb = 0.0 if group.pallet is None else case.pallets[group.pallet].weight_lb
    return (
        lot.hives * measure(case.operation, group.build, travelling=True).weight_high_lb
        + lot.pallets * pallet_lb
    )
