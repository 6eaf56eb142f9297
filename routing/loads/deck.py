"""Positions on the deck: what rides, in which places it may stand, and how a stowage becomes placements.

A batch is a set of units that are alike for the deck: one lot's full pallets, its last and fewer-hived
pallet, or its loose hives. A layout is a list of slots; one stack of units stands in a slot.
"""

from collections.abc import Iterable, Sequence
from itertools import permutations, product
from typing import NamedTuple

from routing.inputs.fleet import Truck
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.loads.capacity import TINY_IN, Slot, Unit, slots, unit
from routing.loads.load import Placement
from routing.loads.mixed import densest_row
from routing.loads.order import Ride
from routing.nights.tour import Lot, Stop

MOST_LAYOUTS = 4


class Batch(NamedTuple):
    """Units of one lot that are alike: same size, same weight, same ride."""

    lot: Lot
    ride: Ride
    hives_each: int
    number: int
    unit: Unit

    @property
    def footprint(self) -> tuple[float, float]:
        """Length and width of one unit, not yet turned. [in]"""
        return (self.unit.length_in, self.unit.width_in)

    @property
    def low_lb(self) -> float:
        """Weight of one unit at its lightest."""
        return self.unit.pallet_lb + self.hives_each * self.unit.hive_low_lb

    @property
    def high_lb(self) -> float:
        """Weight of one unit at its heaviest."""
        return self.unit.pallet_lb + self.hives_each * self.unit.hive_high_lb

    def fits(self, slot: Slot) -> bool:
        """Tell whether one unit can stand in the slot, turned either way."""
        return _turned(self.footprint, slot) is not None

    def length_in(self, slot: Slot) -> float:
        """Return how much of the deck's length one unit takes in a slot."""
        return (_turned(self.footprint, slot) or self.footprint)[0]

    def width_in(self, slot: Slot) -> float:
        """Return how much of the deck's width one unit takes in a slot."""
        return (_turned(self.footprint, slot) or self.footprint)[1]


class Stowed(NamedTuple):
    """One unit of a batch (by its place in the list of batches) in a slot (by its place in the layout)."""

    batch: int
    slot: int
    tier: int


def batches(operation: Operation, stops: Sequence[Stop]) -> tuple[Batch, ...]:
    """Return the batches of a load: the lots picked up before the last of ``stops``, with their rides.

    Raises
    ------
    ValueError
        If a lot's group, build or pallet is not in the operation.
    """
    last = stops[-1].number
    groups = {group.name: group for group in operation.hive_groups}
    found: list[Batch] = []
    for stop in stops[:-1]:
        for lot in stop.picked_up:
            if lot.group not in groups:
                raise ValueError(f"Lot {lot.lot}: no hive group is called {lot.group!r}.")
            off = _set_down_at(lot, stops, stop.number)
            ride = Ride(stop.number, last if off is None else off)
            found += _of_lot(operation, lot, group=groups[lot.group], ride=ride)
    return tuple(found)


def _set_down_at(lot: Lot, stops: Sequence[Stop], after: int) -> int | None:
    for stop in stops:
        if stop.number > after and any(other.lot == lot.lot for other in stop.set_down):
            return stop.number
    return None


def _of_lot(operation: Operation, lot: Lot, *, group: HiveGroup, ride: Ride) -> list[Batch]:
    """Return the full units of a lot, then those that carry fewer hives."""
    one = unit(operation, group)
    needed = -(-lot.hives // one.hives)
    carried, left = [], lot.hives
    for _ in range(max(needed, lot.pallets if group.pallet else 0)):
        carried.append(min(one.hives, left))
        left -= carried[-1]
    return [
        Batch(lot, ride, hives, carried.count(hives), one) for hives in sorted(set(carried), reverse=True)
    ]


def moments_on_the_road(stops: Sequence[Stop], carried: Iterable[Batch]) -> tuple[Stop, ...]:
    """Return the stops after which something rides, in order."""
    rides = [batch.ride for batch in carried]
    return tuple(stop for stop in stops if any(one.on <= stop.number < one.off for one in rides))


def layouts(truck: Truck, carried: Sequence[Batch], *, gap_in: float = 0.0) -> tuple[tuple[Slot, ...], ...]:
    """Return a few ways to mark places on the deck for everything that rides, with a gap for air between stacks.

    A place holds a unit and the air behind and beside it; the last may reach over the edge of the deck by the air.

    Units of one size cover the deck in their best pattern. Units of several sizes get a stretch of the deck
    each: in the order in which they must come off, last off at the front, and in every other order of sizes;
    what room is left between them is marked too.
    """
    truck = truck.model_copy(update={
        "deck_length_in": truck.deck_length_in + gap_in, "deck_width_in": truck.deck_width_in + gap_in,
    })  # fmt: skip
    carried = [_with_air(batch, gap_in) for batch in carried]
    sizes = list(dict.fromkeys(batch.footprint for batch in _last_off_first(carried)))
    if len(sizes) == 1:
        return (_pattern(truck, sizes[0]),)
    orders: list[tuple[tuple[float, float], ...]] = (
        list(permutations(sizes)) if len(sizes) <= 3 else [tuple(sizes)]
    )
    marked = [_stretches(truck, _zones(carried))]
    marked += [_stretches(truck, _blocks(carried, order)) for order in orders]
    different = list(dict.fromkeys(_gaps_filled(truck, one, sizes) for one in marked if one))
    return tuple(different[:MOST_LAYOUTS])


def _with_air(batch: Batch, gap_in: float) -> Batch:
    sides = {"length_in": batch.unit.length_in + gap_in, "width_in": batch.unit.width_in + gap_in}
    return batch._replace(unit=batch.unit.model_copy(update=sides))


def _last_off_first(carried: Iterable[Batch]) -> list[Batch]:
    return sorted(carried, key=lambda one: (-one.ride.off, one.ride.on, one.lot.lot))


def _pattern(truck: Truck, size: tuple[float, float]) -> tuple[Slot, ...]:
    return slots(truck.deck_length_in, truck.deck_width_in, length_in=size[0], width_in=size[1])


def _zones(carried: Sequence[Batch]) -> list[tuple[tuple[float, float], int, float]]:
    """Return stretches (size, units, unit height) in drop order; neighbours of one size are joined."""
    joined: list[tuple[tuple[float, float], int, float]] = []
    for batch in _last_off_first(carried):
        if joined and joined[-1][0] == batch.footprint:
            size, count, height_in = joined.pop()
            joined.append((size, count + batch.number, max(height_in, batch.unit.height_in)))
        else:
            joined.append((batch.footprint, batch.number, batch.unit.height_in))
    return joined


def _blocks(
    carried: Sequence[Batch], order: Sequence[tuple[float, float]]
) -> list[tuple[tuple[float, float], int, float]]:
    """Return one stretch for each size, in the given order."""
    return [
        (
            size,
            _most_at_once([batch for batch in carried if batch.footprint == size]),
            max(batch.unit.height_in for batch in carried if batch.footprint == size),
        )
        for size in order
    ]


def _most_at_once(carried: Sequence[Batch]) -> int:
    """Return the most units that ride together on any stretch of road."""
    return max(sum(one.number for one in carried if one.ride.on <= at.ride.on < one.ride.off) for at in carried)


def _stretches(truck: Truck, wanted: Sequence[tuple[tuple[float, float], int, float]]) -> tuple[Slot, ...]:
    """Return the slots of stretches one behind the other; the last stretch gets what is left of the deck."""
    marked: list[Slot] = []
    front_in = 0.0
    for place, (size, count, height_in) in enumerate(wanted):
        room = truck.model_copy(update={"deck_length_in": truck.deck_length_in - front_in})
        pattern: tuple[Slot, ...] = ()
        if room.deck_length_in > 1.0:
            places = -(-count // _tiers(truck, height_in))
            pattern = _pattern(room, size) if place == len(wanted) - 1 else _dense(room, size, places)
        marked += [one._replace(front_in=one.front_in + front_in) for one in pattern]
        front_in = max((one.front_in + one.length_in for one in marked), default=0.0)
    return tuple(marked)


def _dense(truck: Truck, size: tuple[float, float], places: int) -> tuple[Slot, ...]:
    """Return the fewest rows that hold ``places`` units in the least of the deck's length."""
    row = densest_row(truck.deck_width_in, length_in=size[0], width_in=size[1])
    if row is None:
        return ()
    rows = min(-(-places // row.units), int((truck.deck_length_in + TINY_IN) // row.length_in))
    across_in = size[0] + size[1] - row.length_in
    left_in = (truck.deck_width_in - row.units * across_in) / 2
    marked = [
        Slot(number * row.length_in, left_in + place * across_in, row.length_in, across_in)
        for number in range(rows) for place in range(row.units)
    ]
    return tuple(marked[:places])


def _gaps_filled(
    truck: Truck, marked: Sequence[Slot], sizes: Sequence[tuple[float, float]]
) -> tuple[Slot, ...]:
    """Return the slots, and more where the deck has room left: beside an odd pallet there may be some."""
    filled = list(marked)
    for size in sizes:
        either = [_more(truck, filled, turns) for turns in ((size, size[::-1]), (size[::-1], size))]
        filled = max(either, key=len)
    return tuple(filled)


def _more(truck: Truck, marked: Sequence[Slot], turns: Sequence[tuple[float, float]]) -> list[Slot]:
    """Return the slots and as many more as fit, those turned the first way before the others."""
    filled, before = list(marked), -1
    while len(filled) > before:
        before = len(filled)
        for (length_in, width_in), (front_in, left_in) in product(turns, _corners(filled)):
            slot = Slot(front_in, left_in, length_in, width_in)
            if _on_deck(truck, slot) and not any(_meet(slot, other) for other in filled):
                filled.append(slot)
    return filled


def _corners(marked: Sequence[Slot]) -> list[tuple[float, float]]:
    """Return the spots where another slot would touch those that are there, or the edges of the deck."""
    fronts = {0.0} | {one.front_in for one in marked} | {one.front_in + one.length_in for one in marked}
    lefts = {0.0} | {one.left_in for one in marked} | {one.left_in + one.width_in for one in marked}
    return [(front_in, left_in) for front_in in sorted(fronts) for left_in in sorted(lefts)]


def _on_deck(truck: Truck, slot: Slot) -> bool:
    ends_in, edge_in = slot.front_in + slot.length_in, slot.left_in + slot.width_in
    return ends_in <= truck.deck_length_in + TINY_IN and edge_in <= truck.deck_width_in + TINY_IN


def _meet(one: Slot, other: Slot) -> bool:
    return (
        one.front_in < other.front_in + other.length_in - TINY_IN
        and other.front_in < one.front_in + one.length_in - TINY_IN
        and one.left_in < other.left_in + other.width_in - TINY_IN
        and other.left_in < one.left_in + one.width_in - TINY_IN
    )


def _tiers(truck: Truck, height_in: float) -> int:
    room_in = truck.most_height_in - truck.deck_height_in
    return max(1, min(truck.most_tiers, int((room_in + TINY_IN) // height_in)))


def placements(
    carried: Sequence[Batch], layout: Sequence[Slot], stowage: Sequence[Stowed]
) -> tuple[Placement, ...]:
    """Return the stowage as placements, numbered within each lot from the front of the deck to the rear."""
    drops = sorted({carried[one.batch].ride.off for one in stowage})
    numbers: dict[str, int] = {}
    found = []
    for one in sorted(stowage, key=lambda stowed: (layout[stowed.slot], stowed.tier)):
        batch = carried[one.batch]
        numbers[batch.lot.lot] = numbers.get(batch.lot.lot, 0) + 1
        label = f"{batch.lot.lot}{numbers[batch.lot.lot]}"
        drop_order = drops.index(batch.ride.off) + 1
        found.append(_placement(batch, layout[one.slot], label=label, drop_order=drop_order, tier=one.tier))
    return tuple(found)


def _placement(batch: Batch, slot: Slot, *, label: str, drop_order: int, tier: int) -> Placement:
    return Placement(
        label=label,
        lot=batch.lot.lot,
        group=batch.lot.group,
        hives=batch.hives_each,
        origin=batch.lot.origin,
        destination=batch.lot.destination,
        drop_order=drop_order,
        front_in=slot.front_in,
        left_in=slot.left_in,
        tier=tier,
        length_in=batch.length_in(slot),
        width_in=batch.width_in(slot),
        height_in=batch.unit.height_in,
        weight_low_lb=batch.low_lb,
        weight_high_lb=batch.high_lb,
        loaded_at=batch.ride.on,
        set_down_at=batch.ride.off,
    )


def _turned(size: tuple[float, float], slot: Slot) -> tuple[float, float] | None:
    """Return the length and width of a unit turned so that it fits the slot; None when it does not."""
    for length_in, width_in in (size, size[::-1]):
        if length_in <= slot.length_in + TINY_IN and width_in <= slot.width_in + TINY_IN:
            return (length_in, width_in)
    return None
