"""What would let a truck, or hives, get to an orchard: each offer is a changed operation, solved anew.

Only the contract in question is kept in the changed operation: one offer then takes hundredths of a second.
"""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from routing.bloom.window import ContractWindow, contract_window
from routing.errors import BloomhaulError
from routing.inputs.contract import Contract
from routing.inputs.fleet import Driver, Truck
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.inputs.yard import VEHICLE_CLASSES, VehicleClass
from routing.keepable.offers_roads import closed_to_one_more, ways_found
from routing.keepable.solve import least_missing
from routing.keepable.supply import Stock
from routing.keepable.words import colonies, counted, day
from routing.keepable.words import span as dates_span
from routing.nights.problem import read_problem
from routing.roads.roads import road_table

NIGHTS_MORE = (1, 2, 3, 4, 5, 7, 10, 14, 21, 30)
"""Nights by which a window is tried longer."""
DECK_IN = 96.0
"""Sides of the smallest deck offered: that of a long pickup bed, nearly. [in]"""
ONE_NIGHT = dt.timedelta(days=1)


@dataclass(frozen=True)
class Alone:
    """One contract without the others: the operation that offers change."""

    operation: Operation
    name: str

    @cached_property
    def contract(self) -> Contract:
        """The contract."""
        return next(one for one in self.operation.contracts if one.name == self.name)

    @cached_property
    def window(self) -> ContractWindow:
        """Its nights in and out."""
        return contract_window(self.operation, self.contract)

    @cached_property
    def nights(self) -> str:
        """Its nights in, in words."""
        return dates_span(self.window.in_from, self.window.late_until)

    def changed(self, table: str, name: str, **values: Any) -> Operation:
        """Return the operation with values of one row of a table changed."""
        rows = getattr(self.operation, table)
        new = tuple(one.model_copy(update=values) if one.name == name else one for one in rows)
        return self.operation.model_copy(update={table: new})


Offer = tuple[str, Operation]


def alone(operation: Operation, name: str) -> Alone:
    """Return one contract without the others."""
    keep = {yard.name for yard in operation.yards} | {name}
    return Alone(operation.model_copy(update={
        "contracts": tuple(one for one in operation.contracts if one.name == name),
        "gates": tuple(one for one in operation.gates if one.contract == name),
        "blocks": (), "drops": (),
        "distances": tuple(one for one in operation.distances if {one.origin, one.destination} <= keep),
        "closed_places": tuple(one for one in operation.closed_places if one.place in keep),
    }), name)  # fmt: skip


def access_offers(operation: Operation, name: str) -> Iterator[str]:
    """Yield the changes of fleet, ways, hours, yards or windows with which more of a promise can be kept.

    Of each family of changes the least is offered.
    """
    one = alone(operation, name)
    before = missing_in(one.operation, name)
    if not before:
        return
    families, widenings = _of_use(one)
    for family in families:
        yield from _best(list(family(one)), name, before)
    for widening in widenings:
        yield from _least(list(widening(one)), name, before)


Family = Callable[[Alone], Iterator[Offer]]


def _of_use(one: Alone) -> tuple[tuple[Family, ...], tuple[Family, ...]]:
    """Return the families of changes that can help: of nested causes only the outermost is worth a change."""
    stock = Stock(read_problem(one.operation))
    problem, promise = stock.problem, stock.problem.promises[one.name]
    if one.name not in problem.sites:
        return (), ()
    if not any(one.name in rig.places for rig in problem.rigs):
        return (_drivers, _trucks, _ways, _found), ()
    spans = [span for span in ((promise.in_first, promise.late_last), promise.out) if span]
    if any(last < 0 or first > problem.last_night for first, last in spans):
        return (_season,), ()
    stuck = stock.cannot_leave(promise)
    widenings = (_later_out, _sooner_out) if stuck else (_later_in, _sooner_in)
    span = range(spans[-1 if stuck else 0][0], spans[-1 if stuck else 0][1] + 1)
    if not any((one.name, night) in problem.dark for night in span):
        return (_hours,), widenings
    if not stock.reach.nights(one.name, span):
        return (_drivers, _freed, _trucks, _ways, _found), widenings
    return (_trucks, _ways, _found, _hours, _nearer), widenings


def travel_offers(operation: Operation, name: str) -> Iterator[str]:
    """Yield the group that may not travel and would help most if it might."""
    one = alone(operation, name)
    offers = [
        (f"group {group.name} let travel", one.changed("hive_groups", group.name, may_travel=True))
        for group in operation.hive_groups if not group.may_travel
    ]  # fmt: skip
    yield from _best(offers, name, missing_in(one.operation, name) or 0)


def missing_in(operation: Operation, name: str) -> int | None:
    """Return the colonies that must be missing from a contract; None when its dates contradict each other.

    Hives that no truck can take out in time count as missing.
    """
    try:
        stock = Stock(read_problem(operation))
    except BloomhaulError:
        return None
    need, promise = stock.needs[name], stock.problem.promises[name]
    if stock.cannot_leave(promise):
        return need.colonies
    return least_missing([need], stock.problem.kinds, strict=True).found


def _best(offers: list[Offer], name: str, before: int) -> Iterator[str]:
    """Yield the first of the offers that leave least missing, if that is less than before."""
    after = [(missing_in(changed, name), words) for words, changed in offers]
    known = [(missing, words) for missing, words in after if missing is not None]
    if known:
        missing, words = min(known, key=lambda one: one[0])
        yield from _told(words, missing, before)


def _least(offers: list[Offer], name: str, before: int) -> Iterator[str]:
    """Yield the first that does what the last does, of offers that each widen one window more: by halving."""
    most = missing_in(offers[-1][1], name) if offers else None
    if most is None:
        return
    low, high = 0, len(offers) - 1
    while low < high:
        middle = (low + high) // 2
        missing = missing_in(offers[middle][1], name)
        low, high = (low, middle) if missing is not None and missing <= most else (middle + 1, high)
    yield from _told(offers[low][0], most, before)


def _told(words: str, missing: int, before: int) -> Iterator[str]:
    if missing < before:
        yield f"{words} (then {colonies(missing)} would still be missing)" if missing else words


def _season(one: Alone) -> Iterator[Offer]:
    first, last = one.operation.first_night, one.operation.last_night
    start = min(first, one.window.in_from)
    for end in (one.window.late_until, one.window.out_until or one.window.late_until):
        words = [f"from {day(start)}"] * (start < first) + [f"until {day(end)}"] * (end > last)
        if words:
            changes = {"first_night": start, "last_night": max(last, end)}
            yield f"a season planned {' '.join(words)}", one.operation.model_copy(update=changes)


def _drivers(one: Alone) -> Iterator[Offer]:
    classes = {truck.vehicle_class for truck in one.operation.trucks if not truck.hired}
    for each in sorted(classes, key=VEHICLE_CLASSES.index):
        more = Driver(name="one more driver", wage_usd_per_hour=0.0, drives=each)
        drivers = (*one.operation.drivers, more)
        words = f"a driver able to drive a {each}, there on a night of {one.nights}"
        yield words, one.operation.model_copy(update={"drivers": drivers})


def _freed(one: Alone) -> Iterator[Offer]:
    for truck in one.operation.trucks:
        changed = one.changed("trucks", truck.name, nights_away="", available_from=None, available_until=None)
        yield f"{truck.name} at hand on a night of {one.nights}", changed


def _trucks(one: Alone) -> Iterator[Offer]:
    """Yield one more hired truck, the largest class that the orchard lets in first."""
    if not one.operation.yards:
        return
    base = next((truck.base for truck in one.operation.trucks), one.operation.yards[0].name)
    for each in VEHICLE_CLASSES[VEHICLE_CLASSES.index(one.contract.access) :: -1]:
        trucks = (*one.operation.trucks, _more_truck(each, base))
        deck = f"its deck {DECK_IN:.0f} in square or more"
        words = f"one more truck, hired or your own, no larger than a {each}, {deck}"
        closed = closed_to_one_more(one.operation, trucks[-1].name)
        yield words, one.operation.model_copy(update={"trucks": trucks, "closed_places": closed})


def _more_truck(vehicle_class: VehicleClass, base: str) -> Truck:
    return Truck(
        name="one more truck", vehicle_class=vehicle_class, hired=True, base=base, deck_length_in=DECK_IN,
        deck_width_in=DECK_IN, deck_height_in=40.0, deck_front_in=0.0, payload_lb=3000.0,
        gross_rating_lb=10000.0, unloading="side", cost_usd_per_mile=0.0, helpers=1,
    )  # fmt: skip


def _ways(one: Alone) -> Iterator[Offer]:
    """Yield a way in for a larger truck, at the orchard or at a yard, the smallest that helps first."""
    classes = {truck.vehicle_class for truck in one.operation.trucks}
    for each in sorted(classes, key=VEHICLE_CLASSES.index):
        rank = VEHICLE_CLASSES.index(each)
        rows = [("contracts", one.name, one.contract.access)]
        rows += [("yards", yard.name, yard.access) for yard in one.operation.yards]
        for table, name, access in rows:
            if VEHICLE_CLASSES.index(access) < rank:
                yield f"a way for a {each} to get into {name} and turn", one.changed(table, name, access=each)


def _found(one: Alone) -> Iterator[Offer]:
    return ways_found(one.operation, one.name)


def _hours(one: Alone) -> Iterator[Offer]:
    rows: list[tuple[str, Any]] = [("contracts", one.contract)]
    rows += [("yards", yard) for yard in one.operation.yards]
    for table, row in rows:
        if row.open_from or row.open_until:
            changed = one.changed(table, row.name, open_from=None, open_until=None)
            yield f"{row.name} open to trucks from dusk to dawn", changed


def _nearer(one: Alone) -> Iterator[Offer]:
    """Yield the farthest yard from which hives, if they stood there, could be brought."""
    if one.name not in places(one.operation):
        return
    roads = road_table(one.operation)
    yards = sorted(one.operation.yards, key=lambda yard: -roads.miles(yard.name, one.name))
    for yard in yards:
        groups = tuple(group.model_copy(update={"yard": yard.name}) for group in one.operation.hive_groups)
        miles = f"{roads.miles(yard.name, one.name):.0f} miles away"
        changed = one.operation.model_copy(update={"hive_groups": groups})
        yield f"hives strong enough that stand in {yard.name} ({miles})", changed


def _later_in(one: Alone) -> Iterator[Offer]:
    for more in NIGHTS_MORE:
        later = one.window.in_until + more * ONE_NIGHT
        if one.window.out_from is None or later < one.window.out_from:
            words = f"a window {counted(more, 'night')} longer, in until {day(later)}"
            yield words, one.changed("contracts", one.name, in_until=later)


def _sooner_in(one: Alone) -> Iterator[Offer]:
    for more in NIGHTS_MORE:
        sooner = one.window.in_from - more * ONE_NIGHT
        words = f"a window {counted(more, 'night')} longer, in from {day(sooner)}"
        yield words, one.changed("contracts", one.name, in_from=sooner, in_until=one.window.in_until)


def _later_out(one: Alone) -> Iterator[Offer]:
    first, last = one.window.out_from, one.window.out_until
    for more in NIGHTS_MORE if first and last else ():
        later = (last or one.window.in_until) + more * ONE_NIGHT
        words = f"a window out {counted(more, 'night')} longer, until {day(later)}"
        yield words, one.changed("contracts", one.name, out_from=first, out_until=later)


def _sooner_out(one: Alone) -> Iterator[Offer]:
    first, last = one.window.out_from, one.window.out_until
    for more in NIGHTS_MORE if first and last else ():
        sooner = (first or one.window.in_until) - more * ONE_NIGHT
        if sooner > one.window.late_until:
            words = f"a window out {counted(more, 'night')} longer, from {day(sooner)}"
            yield words, one.changed("contracts", one.name, out_from=sooner, out_until=last)


def longer_window(operation: Operation, name: str, *, more: int = 2) -> Iterator[str]:
    """Yield a window some nights longer, where one of the new nights is dark and a load can come on it."""
    one = alone(operation, name)
    later, sooner = one.window.in_until + more * ONE_NIGHT, one.window.in_from - more * ONE_NIGHT
    changes = [
        (f"until {day(later)}", {"in_until": later}),
        (f"from {day(sooner)}", {"in_from": sooner, "in_until": one.window.in_until}),
    ]
    known = Stock(read_problem(one.operation))
    old = set(known.reach.nights_in(known.problem.promises[name]))
    for words, values in changes:
        try:
            stock = Stock(read_problem(one.changed("contracts", name, **values)))
        except BloomhaulError:
            continue
        promise = stock.problem.promises[name]
        new = tuple(night for night in stock.reach.nights_in(promise) if night not in old)
        if stock.reach.kinds(promise, new):
            yield f"a window {counted(more, 'night')} longer, in {words}"
