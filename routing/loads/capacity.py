"""How many units of one hive group a truck can carry, and the patterns in which alike units cover a deck.

A unit is one pallet with its hives, or one loose hive. Alike units stand in rows across the deck (pattern 1)
or in lanes along it (pattern 2); each row or lane is turned one way or the other. The better pattern counts.
This module imports only inputs and limits, because the choice of nights needs it.
"""

import math
from collections.abc import Iterable
from typing import NamedTuple

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.fleet import Pallet, Truck
from routing.inputs.operation import Operation
from routing.inputs.rigging import Carried
from routing.inputs.yard import HiveGroup
from routing.record import Record

# Sums of published fractions of an inch must not lose a row to rounding.
TINY_IN = 1e-6


class Unit(Record):
    """What one full unit of a hive group takes up."""

    length_in: float
    """The larger of the pallet and its hives, along the pallet's length."""
    width_in: float
    height_in: float
    hives: int
    pallet_lb: float
    """0 for a loose hive."""
    hive_low_lb: float
    hive_high_lb: float

    @property
    def high_lb(self) -> float:
        """Weight of the full unit at its heaviest. [lb]"""
        return self.pallet_lb + self.hives * self.hive_high_lb


class Slot(NamedTuple):
    """A place on the deck for one unit or one stack of units. [in]"""

    front_in: float
    left_in: float
    length_in: float
    width_in: float


def unit(operation: Operation, group: HiveGroup) -> Unit:
    """Return what one full unit of ``group`` takes up as it travels.

    Raises
    ------
    ValueError
        If the group's build or pallet is not in the operation.
    """
    hive = measure(operation, group.build, travelling=True)
    weights = {"hive_low_lb": hive.weight_low_lb, "hive_high_lb": hive.weight_high_lb}
    if group.pallet is None:
        size = {"length_in": hive.length_in, "width_in": hive.width_in, "height_in": hive.height_in}
        return Unit(hives=1, pallet_lb=0.0, **size, **weights)
    pallet = _pallet(operation, group.pallet)
    length_in, width_in = _footprint(pallet, hive.length_in, hive.width_in)
    size = {"length_in": length_in, "width_in": width_in, "height_in": pallet.height_in + hive.height_in}
    return Unit(hives=pallet.hives, pallet_lb=pallet.weight_lb, **size, **weights)


def _pallet(operation: Operation, name: str) -> Pallet:
    for pallet in operation.pallets:
        if pallet.name == name:
            return pallet
    raise ValueError(f"No pallet is called {name!r}.")


def _footprint(pallet: Pallet, hive_length_in: float, hive_width_in: float) -> tuple[float, float]:
    """Return the footprint of pallet and hives, the hives standing so that they stick out least."""
    options = []
    for rows in range(1, pallet.hives + 1):
        columns = math.ceil(pallet.hives / rows)
        for along, across in ((hive_length_in, hive_width_in), (hive_width_in, hive_length_in)):
            options.append((max(pallet.length_in, rows * along), max(pallet.width_in, columns * across)))
    return min(options, key=lambda size: (size[0] * size[1], size))


def slots(
    deck_length_in: float, deck_width_in: float, *, length_in: float, width_in: float
) -> tuple[Slot, ...]:
    """Return places for as many alike units as a deck takes, front to back, each turned as it must be.

    Parameters
    ----------
    deck_length_in, deck_width_in
        The deck. > 0. [in]
    length_in, width_in
        One unit, not yet turned. > 0. [in]

    Returns
    -------
    tuple[Slot, ...]
        Not overlapping, inside the deck; pattern 1 (rows across) unless pattern 2 (lanes along) takes more.
    """
    turned = ((length_in, width_in), (width_in, length_in))
    across = _rows(deck_length_in, deck_width_in, turned)
    along = [
        Slot(one.left_in, one.front_in, one.width_in, one.length_in)
        for one in _rows(deck_width_in, deck_length_in, turned, pushed_to_start=True)
    ]
    best = across if len(across) >= len(along) else sorted(along)
    return tuple(best)


def _rows(
    deck_length_in: float,
    deck_width_in: float,
    turned: tuple[tuple[float, float], ...],
    *,
    pushed_to_start: bool = False,
) -> list[Slot]:
    """Return the best rows across: some turned one way, then some turned the other way."""
    (first, second) = turned
    best: list[Slot] = []
    for count in range(_whole(deck_length_in, first[0]), -1, -1):
        rest = _whole(deck_length_in - count * first[0], second[0])
        rows = [first] * count + [second] * rest
        if count * _whole(deck_width_in, first[1]) + rest * _whole(deck_width_in, second[1]) > len(best):
            best = _filled(rows, deck_width_in, pushed_to_start=pushed_to_start)
    return best


def _filled(rows: list[tuple[float, float]], deck_width_in: float, *, pushed_to_start: bool) -> list[Slot]:
    """Return the slots of each row, the row centred between the sides of the deck."""
    filled, front_in = [], 0.0
    for length_in, width_in in rows:
        count = _whole(deck_width_in, width_in)
        left_in = 0.0 if pushed_to_start else (deck_width_in - count * width_in) / 2
        filled += [Slot(front_in, left_in + place * width_in, length_in, width_in) for place in range(count)]
        front_in += length_in
    return filled


def _whole(room_in: float, each_in: float) -> int:
    return max(0, math.floor((room_in + TINY_IN) / each_in))


def tiers_that_fit(truck: Truck, height_in: float) -> int:
    """Return how many units of one height may stand on each other: the truck's layers, the lowest bridge."""
    return min(truck.most_tiers, _whole(truck.most_height_in - truck.deck_height_in, height_in))


def lowest_bridge_in(operation: Operation, truck: Truck) -> float:
    """Return the lowest height that every move of a truck must keep to: its own, and those listed for all moves and nights.

    A height that is listed for some places or some nights only is not counted here: the deck plan of such a move keeps it.
    """
    always = [
        row.value for row in operation.road_limits
        if row.kind == "height" and not row.places.strip() and row.counts_from is None and row.counts_until is None
    ]  # fmt: skip
    return min([truck.most_height_in, *always])


def deck_left_in(operation: Operation, truck: Truck) -> float:
    """Return the length of the deck that empty gear and other things carried leave. [in]"""
    return max(0.0, truck.deck_length_in - sum(one.deck_length_in for one in operation.carried if one.truck == truck.name))


def tiers_on_every_move(operation: Operation, truck: Truck, height_in: float) -> int:
    """Return how many units of one height may stand on each other on every move."""
    lowest = truck.model_copy(update={"most_height_in": lowest_bridge_in(operation, truck)})
    return tiers_that_fit(lowest, height_in)


def payload_left_lb(truck: Truck) -> float:
    """Return the cargo that the payload rating leaves beside lifting gear carried on the vehicle. [lb]"""
    carried_lb = 0.0 if truck.lifting_mount == "towed or at site" else truck.lifting_weight_lb
    return truck.payload_lb - carried_lb


def payload_for_cargo_lb(truck: Truck, *, helper_lb: float, carried: Iterable[Carried]) -> float:
    """Return what the payload rating leaves for cargo beside lifting gear, helpers and things carried. [lb]

    Parameters
    ----------
    truck
        The truck.
    helper_lb
        Weight of one helper. [lb]
    carried
        What this truck carries; a row that names the lifting gear is not counted twice.
    """
    beside_lb = sum(one.weight_lb for one in carried if one.what != truck.lifting)
    return payload_left_lb(truck) - truck.helpers * helper_lb - beside_lb


def payload_in(operation: Operation, truck: Truck) -> float:
    """Return what the payload rating leaves for cargo, helpers and carried things as the operation has them. [lb]"""
    own = [one for one in operation.carried if one.truck == truck.name]
    return payload_for_cargo_lb(truck, helper_lb=constant(operation, "helper_lb"), carried=own)


def units_that_fit(operation: Operation, truck: Truck, group: HiveGroup) -> int:
    """Return how many units of ``group`` alone the truck can carry.

    Parameters
    ----------
    operation
        Where the group's build and pallet are.
    truck
        The truck.
    group
        The hive group; its units are full pallets or loose hives.

    Returns
    -------
    int
        The least of deck area times layers and payload at the heavier weight. 0 when not one fits.

    Raises
    ------
    ValueError
        If the group's build or pallet is not in the operation.

    Notes
    -----
    An upper bound for any deck plan made of rows or lanes. Axle ratings may allow less: the deck plan tells.
    """
    one = unit(operation, group)
    # A unit with the air behind and beside it stands on a deck that is as much longer and wider.
    gap_in = constant(operation, "least_air_gap_in")
    places = len(slots(deck_left_in(operation, truck) + gap_in, truck.deck_width_in + gap_in,
                       length_in=one.length_in + gap_in, width_in=one.width_in + gap_in))  # fmt: skip
    by_area = places * tiers_on_every_move(operation, truck, one.height_in)
    by_weight = _whole(payload_in(operation, truck), one.high_lb)
    return min(by_area, by_weight)
