"""A load typed in by hand: the records of its document, and the checks of one row against another."""

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise

from pydantic import ConfigDict

from routing.inputs.cross_check_fleet import LEAST_AXLE_GAP_IN
from routing.inputs.cross_check_names import constant_faults
from routing.inputs.cross_check_rigging import hitch_faults, paper_faults, road_limit_faults, tie_down_faults
from routing.inputs.faults import Fault, shown
from routing.inputs.fleet import LEAST_SIDE_IN, AxleGroup, Pallet, TieDown, Truck
from routing.inputs.hive import Entrance
from routing.inputs.operation import Constant
from routing.inputs.rigging import Carried, Hitch, Paper, RoadLimit
from routing.inputs.yard import VehicleClass
from routing.loads.circumstances import Air
from routing.record import Record, column


class TypedTruck(Truck):
    """The truck of the load; what only planning asks for may be left out."""

    vehicle_class: VehicleClass = column(
        "kind of vehicle", example="straight truck", default="straight truck"
    )
    base: str = column("not asked of a typed load", default="")
    cost_usd_per_mile: float = column("not asked of a typed load", unit="USD", default=0.0, ge=0, le=20)


class TypedAxleGroup(AxleGroup):
    """An axle group of that truck."""

    truck: str = column("not asked of a typed load", default="")


class TypedTieDown(TieDown):
    """Tie-downs of that truck."""

    truck: str = column("not asked of a typed load", default="")


class TypedHitch(Hitch):
    """How the trailer of that truck is hitched."""

    truck: str = column("not asked of a typed load", default="")


class TypedCarried(Carried):
    """Something heavy that rides along."""

    truck: str = column("not asked of a typed load", default="")


class TypedUnit(Record):
    """One pallet with its hives, or one loose hive, and where it stands."""

    label: str = column("what is chalked on it", example="A1", min_length=1, max_length=20)
    hives: int = column("hives on it", unit="hives", example=4, ge=0, le=100)
    pallet: str | None = column(
        "pallet kind; empty when length and width are given", example="four-way", default=None
    )
    length_in: float | None = column(
        "length, when there is no pallet kind", unit="in", default=None, ge=LEAST_SIDE_IN, le=200
    )
    width_in: float | None = column(
        "width, when there is no pallet kind", unit="in", default=None, ge=LEAST_SIDE_IN, le=200
    )
    turned: bool = column("is its length across the deck?", example=True, default=False)
    height_in: float = column("height, pallet included", unit="in", example=25.75, ge=1, le=120)
    weight_low_lb: float = column(
        "lightest it may weigh, pallet included", unit="lb", example=420.0, ge=0, le=20000
    )
    weight_high_lb: float = column(
        "heaviest it may weigh, pallet included", unit="lb", example=520.0, ge=0, le=20000
    )
    front_in: float = column(
        "its front edge behind the front end of the deck", unit="in", example=0.0, ge=-200, le=800
    )
    left_in: float = column(
        "its left edge from the deck's left edge", unit="in", example=0.0, ge=-200, le=200
    )
    tier: int = column("layer, 1 stands on the deck", example=1, default=1, ge=1, le=6)
    drop_order: int = column("1 for what comes off first", example=1, default=1, ge=1, le=50)
    destination: str = column("where it is set down", example="Lower pears", default="", max_length=60)


class LoadDocument(Record):
    """One load typed in by hand: truck, axles, tie-downs, pallets, every unit with its place and weight."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", allow_inf_nan=False)

    night: dt.date = column("date of the evening", example=dt.date(2027, 4, 14))
    temperature_f: float | None = column(
        "warmest that the load meets; empty: not known",
        unit="deg F",
        example=52.0,
        default=None,
        ge=-60,
        le=130,
    )
    strapped: bool | None = column(
        "is every hive strapped, lid to floor? empty: not known", example=True, default=None
    )
    air: Air | None = column(
        "way for air with the entrance closed; empty: not known", example="screened", default=None
    )
    entrance: Entrance | None = column("entrances as the hives ride; empty: not known", example="screened", default=None)
    net: bool | None = column("is the load netted? empty: not known", example=True, default=None)
    longest_stop_min: float | None = column(
        "longest stop with bees aboard; empty: not known", unit="min", example=20.0, default=None, ge=0, le=2880
    )
    water_gal: float | None = column(
        "water carried to wet the load; empty: not known", unit="gal", example=25.0, default=None, ge=0, le=2000
    )
    truck: TypedTruck
    axle_groups: tuple[TypedAxleGroup, ...] = ()
    tie_downs: tuple[TypedTieDown, ...] = ()
    hitch: TypedHitch | None = None
    carried: tuple[TypedCarried, ...] = ()
    road_limits: tuple[RoadLimit, ...] = ()
    papers: tuple[Paper, ...] = ()
    constants: tuple[Constant, ...] = ()
    pallets: tuple[Pallet, ...] = ()
    units: tuple[TypedUnit, ...] = column("everything on the deck", min_length=1, max_length=500)


def cross_faults(document: LoadDocument, file_name: str) -> Iterator[Fault]:
    """Yield what is wrong between the rows of a document, each in one sentence."""
    for path, found, allowed in (
        *_axle_faults(document),
        *_truck_faults(document),
        *_rigging_faults(document),
        *_pallet_faults(document),
        *_unit_faults(document),
    ):
        yield Fault(file=file_name, path=path, found=found, allowed=allowed)


Said = tuple[str, str, str]
"""Where, what was found, what is allowed."""


def size_in(document: LoadDocument, unit: TypedUnit) -> tuple[float, float] | None:
    """Return a unit's length along and width across the deck; None when neither kind nor size tells it."""
    length_in, width_in = unit.length_in, unit.width_in
    for pallet in document.pallets:
        if unit.pallet == pallet.name:
            # Hives that stick out are given as the unit's own size; the larger counts.
            length_in = max(length_in or 0.0, pallet.length_in)
            width_in = max(width_in or 0.0, pallet.width_in)
    if length_in is None or width_in is None:
        return None
    return (width_in, length_in) if unit.turned else (length_in, width_in)


def _axle_faults(document: LoadDocument) -> Iterator[Said]:
    for part in ("truck", "trailer"):
        placed = [(place, one) for place, one in enumerate(document.axle_groups) if one.unit == part]
        groups = sorted(placed, key=lambda pair: pair[1].position)
        for (_, earlier), (place, later) in pairwise(groups):
            least_in = earlier.centre_in + LEAST_AXLE_GAP_IN
            if later.centre_in < least_in or later.position == earlier.position:
                found = f"{later.centre_in:g} in at position {later.position}"
                allowed = f"{least_in:g} in or more, as position {earlier.position} is at {earlier.centre_in:g} in"
                yield (f"axle_groups[{place}].centre_in", found, allowed)
        if part == "trailer" and groups and groups[0][1].centre_in < LEAST_AXLE_GAP_IN:
            place, first = groups[0]
            allowed = f"{LEAST_AXLE_GAP_IN:g} in or more behind the coupling, on which the trailer's front rests"
            yield (f"axle_groups[{place}].centre_in", f"{first.centre_in:g} in", allowed)
    for place, one in enumerate(document.axle_groups):
        if one.rating_lb < one.empty_lb:
            allowed = f"at least its empty weight of {one.empty_lb:g} lb"
            yield (f"axle_groups[{place}].rating_lb", f"{one.rating_lb:g} lb", allowed)
        if one.axles > 1 and one.spread_in == 0.0:
            allowed = f"the distance from first to last of its {one.axles} axles"
            yield (f"axle_groups[{place}].spread_in", "0 in", allowed)


def _truck_faults(document: LoadDocument) -> Iterator[Said]:
    truck = document.truck
    parts = [one.unit for one in document.axle_groups]
    empty_lb = sum(one.empty_lb for one in document.axle_groups)
    if truck.gross_rating_lb < empty_lb:
        allowed = f"at least the empty weight on all axles, {empty_lb:g} lb"
        yield ("truck.gross_rating_lb", f"{truck.gross_rating_lb:g} lb", allowed)
    if parts.count("truck") == 1:
        yield (
            "axle_groups",
            "one axle group under the truck",
            "two or more, or none at all when they are not known",
        )
    if "trailer" in parts and truck.coupling_in is None:
        yield (
            "truck.coupling_in",
            "nothing",
            "where the trailer's kingpin or ball is, as there are trailer axles",
        )
    if parts and truck.deck_on == "trailer" and "trailer" not in parts:
        yield ("truck.deck_on", "'trailer'", "a part that has axle groups, and the trailer has none")


def _rigging_faults(document: LoadDocument) -> Iterator[Said]:
    under = [one for one in document.axle_groups if one.unit == "trailer"]
    if document.hitch is not None:
        for column_name, found, allowed in hitch_faults(document.hitch, under):
            yield ("hitch" if column_name == "truck" else f"hitch.{column_name}", found, allowed)
    for place, one in enumerate(document.carried):
        if one.unit == "trailer" and document.axle_groups and not under:
            yield (f"carried[{place}].unit", "'trailer'", "'truck', as no axle group is under a trailer")
    for place, tie_down in enumerate(document.tie_downs):
        yield from (_at(f"tie_downs[{place}]", said) for said in tie_down_faults(tie_down))
    for place, own in enumerate(document.constants):
        yield from (_at(f"constants[{place}]", said) for said in constant_faults(own))
    places = sorted({unit.destination for unit in document.units})
    for place, road_limit in enumerate(document.road_limits):
        yield from (_at(f"road_limits[{place}]", said) for said in road_limit_faults(road_limit, places))
    for place, paper in enumerate(document.papers):
        yield from (_at(f"papers[{place}]", said) for said in paper_faults(paper, places))


def _at(where: str, said: Said) -> Said:
    return (f"{where}.{said[0]}", said[1], said[2])


def _pallet_faults(document: LoadDocument) -> Iterator[Said]:
    deck = document.truck
    names = [pallet.name for pallet in document.pallets]
    for place, pallet in enumerate(document.pallets):
        longer, shorter = sorted((pallet.length_in, pallet.width_in), reverse=True)
        room_longer, room_shorter = sorted((deck.deck_length_in, deck.deck_width_in), reverse=True)
        if longer > room_longer or shorter > room_shorter:
            found = f"{pallet.length_in:g} x {pallet.width_in:g} in, larger than the deck"
            allowed = f"one that fits {deck.deck_length_in:g} x {deck.deck_width_in:g} in, turned either way"
            yield (f"pallets[{place}]", found, allowed)
        if names.index(pallet.name) != place:
            yield (f"pallets[{place}].name", f"{shown(pallet.name)} a second time", "each pallet kind once")


def _unit_faults(document: LoadDocument) -> Iterator[Said]:
    kinds = {pallet.name for pallet in document.pallets}
    labels = [unit.label for unit in document.units]
    for place, unit in enumerate(document.units):
        where = f"units[{place}]"
        if unit.pallet is not None and unit.pallet not in kinds:
            allowed = "one of the pallets: " + (", ".join(sorted(kinds)) or "none is given")
            yield (f"{where}.pallet", shown(unit.pallet), allowed)
        elif size_in(document, unit) is None:
            yield (
                where,
                "neither a pallet kind nor both length and width",
                "a pallet kind, or length and width",
            )
        if unit.weight_low_lb > unit.weight_high_lb:
            allowed = f"at most its heaviest weight of {unit.weight_high_lb:g} lb"
            yield (f"{where}.weight_low_lb", f"{unit.weight_low_lb:g} lb", allowed)
        if labels.index(unit.label) != place:
            yield (f"{where}.label", f"{shown(unit.label)} a second time", "each label once")
