"""Fleet across rows: axles in order and rated for the empty weight, trailers coupled, pallets that fit."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from routing.inputs.faults import Flaw, shown
from routing.inputs.fleet import AxleGroup, Truck
from routing.inputs.operation import Operation

LEAST_AXLE_GAP_IN = 24.0
"""Wheels of two axle groups, or of a trailer and the coupling, cannot be closer (common practice, no source)."""

Placed = tuple[int, AxleGroup]
"""An axle group with its row."""


def fleet_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield what is wrong with trucks, axle groups and pallets."""
    by_truck: dict[str, list[Placed]] = defaultdict(list)
    for index, group in enumerate(operation.axle_groups):
        by_truck[group.truck].append((index, group))
        yield from _one_group(index, group)
    for index, truck in enumerate(operation.trucks):
        groups = sorted(by_truck[truck.name], key=lambda placed: placed[1].position)
        yield from _count(index, truck, groups)
        yield from _trailer(index, truck, groups)
        yield from _weights(index, truck, groups)
        yield from _calendar(index, truck)
        yield from _order(groups)
    yield from _pallets(operation)


def _truck_flaw(index: int, column: str, found: str, allowed: str, *uses: str) -> Flaw:
    return Flaw(table="trucks", index=index, column=column, found=found, allowed=allowed, uses=uses)


def _axle_flaw(index: int, column: str, found: str, allowed: str, *uses: str) -> Flaw:
    return Flaw(table="axle_groups", index=index, column=column, found=found, allowed=allowed, uses=uses)


def _one_group(index: int, group: AxleGroup) -> Iterator[Flaw]:
    if group.rating_lb < group.empty_lb:
        allowed = f"at least the empty weight on the group, {group.empty_lb:g} lb"
        yield _axle_flaw(index, "rating_lb", shown(group.rating_lb), allowed, "empty_lb")
    if group.axles == 1 and group.spread_in > 0:
        yield _axle_flaw(index, "spread_in", shown(group.spread_in), "0 for a single axle", "axles")
    if group.axles > 1 and group.spread_in == 0:
        allowed = f"more than 0: the way from the first to the last of the {group.axles} axles"
        yield _axle_flaw(index, "spread_in", "0", allowed, "axles")


def _count(index: int, truck: Truck, groups: list[Placed]) -> Iterator[Flaw]:
    positions = [group.position for _, group in groups]
    if len(groups) < 2:
        found = f"{shown(truck.name)} with {len(groups) or 'no'} axle group{'s' if not groups else ''}"
        yield _truck_flaw(index, "name", found, "at least two rows in axle groups", "axle_groups")
    elif positions != list(range(1, len(groups) + 1)):
        found = f"{shown(truck.name)} with axle groups at {', '.join(map(str, positions))}"
        allowed = "axle groups at places 1, 2, 3 and so on, without a gap"
        yield _truck_flaw(index, "name", found, allowed, "axle_groups")


def _trailer(index: int, truck: Truck, groups: list[Placed]) -> Iterator[Flaw]:
    trailers = [group for _, group in groups if group.unit == "trailer"]
    if truck.coupling_in is None and (trailers or truck.deck_on == "trailer"):
        why = "it has a trailer axle group" if trailers else "its deck is on a trailer"
        allowed = f"how far the coupling is behind the steer axle, since {why}"
        yield _truck_flaw(index, "coupling_in", "nothing", allowed, "deck_on", "axle_groups")
    if truck.deck_on == "trailer" and groups and not trailers:
        found = "a deck on the trailer without an axle group under the trailer"
        allowed = "an axle group with unit 'trailer'"
        yield _truck_flaw(index, "deck_on", found, allowed, "axle_groups")
    if groups and groups[0][1].unit == "trailer":
        row, _ = groups[0]
        yield _axle_flaw(
            row, "unit", "'trailer'", "'truck' for the group at place 1, the steer axle", "position"
        )


def _weights(index: int, truck: Truck, groups: list[Placed]) -> Iterator[Flaw]:
    empty_lb = sum(group.empty_lb for _, group in groups)
    if groups and empty_lb >= truck.gross_rating_lb:
        allowed = f"more than the empty weight on its axle groups, {empty_lb:,.0f} lb"
        yield _truck_flaw(index, "gross_rating_lb", shown(truck.gross_rating_lb), allowed, "axle_groups")
    if truck.payload_lb >= truck.gross_rating_lb:
        allowed = f"less than the gross weight rating, {truck.gross_rating_lb:,.0f} lb"
        yield _truck_flaw(index, "payload_lb", shown(truck.payload_lb), allowed, "gross_rating_lb")


def _calendar(index: int, truck: Truck) -> Iterator[Flaw]:
    first, last = truck.available_from, truck.available_until
    if first is not None and last is not None and last < first:
        allowed = f"{first}, its first night, or later"
        yield _truck_flaw(index, "available_until", shown(last), allowed, "available_from")


def _order(groups: list[Placed]) -> Iterator[Flaw]:
    """Yield centres that do not rise and truck groups behind trailer groups; each unit has its own zero."""
    if groups and groups[0][1].unit == "truck" and groups[0][1].centre_in != 0:
        row, steer = groups[0]
        yield _axle_flaw(row, "centre_in", shown(steer.centre_in), "0 for the steer axle", "position", "unit")
    for (_, one), (row, other) in pairwise(groups):
        if one.unit == "trailer" and other.unit == "truck":
            allowed = "'trailer': groups of the truck come before those of the trailer"
            yield _axle_flaw(row, "unit", "'truck'", allowed, "position", "axle_groups")
        elif one.unit == other.unit and other.centre_in < one.centre_in + LEAST_AXLE_GAP_IN:
            allowed = f"{one.centre_in + LEAST_AXLE_GAP_IN:g} or more, as the group ahead of it is at {one.centre_in:g}"
            yield _axle_flaw(row, "centre_in", shown(other.centre_in), allowed, "position", "axle_groups")
        elif one.unit == "truck" and other.unit == "trailer" and other.centre_in < LEAST_AXLE_GAP_IN:
            allowed = f"{LEAST_AXLE_GAP_IN:g} or more behind the coupling, on which the trailer's front rests"
            yield _axle_flaw(row, "centre_in", shown(other.centre_in), allowed, "position", "unit", "axle_groups")


def _pallets(operation: Operation) -> Iterator[Flaw]:
    decks = [sorted((truck.deck_length_in, truck.deck_width_in)) for truck in operation.trucks]
    for index, pallet in enumerate(operation.pallets):
        short, long = sorted((pallet.length_in, pallet.width_in))
        if decks and not any(short <= deck[0] and long <= deck[1] for deck in decks):
            yield Flaw(
                table="pallets",
                index=index,
                column="length_in",
                uses=("width_in", "trucks"),
                found=f"{pallet.length_in:g} by {pallet.width_in:g} in",
                allowed="a pallet that fits on the deck of at least one truck",
            )
