"""Made-up operations of four sizes, complete and valid, the same for the same seed. Everything in them is invented.

A beekeeper has hives of four strengths in yards along one valley, owes them to growers in two to four blooms one
after another, and hauls them in, on and home. Windows, terms and gear are of the usual order; some are tight.
"""

import datetime as dt
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from routing.inputs.contract import Block, Contract, Drop, Gate
from routing.inputs.operation import Operation, Temperature
from routing.inputs.read import operation_from_json
from routing.inputs.yard import VEHICLE_CLASSES, HiveGroup, Loading, VehicleClass, Yard
from tests.benchmarks._tours_fleet import BOXES, BUILDS, PALLETS, fleet
from tests.benchmarks._tours_land import REGIONS, Crop, Region, person, place_names, somewhere, stretch


@dataclass(frozen=True)
class Size:
    """How much of everything an operation has."""

    name: str
    yards: int
    contracts: int
    colonies: int
    trucks: Mapping[VehicleClass, int]
    bases: int
    blooms: int
    length_mi: float
    """Stretch of the valley that it works in."""


SIZES = {one.name: one for one in (
    Size("S", 3, 4, 200, {"straight truck": 1}, 1, 2, 35.0),
    Size("M", 8, 12, 500, {"straight truck": 1, "pickup with trailer": 1}, 1, 3, 60.0),
    Size("L", 30, 40, 4000, {"straight truck": 3, "pickup with trailer": 3, "semi": 1}, 2, 3, 120.0),
    Size("XL", 100, 150, 20000, {"straight truck": 10, "pickup with trailer": 9, "semi": 6}, 3, 4, 170.0),
)}  # fmt: skip
TURNS = 1.2
"""Colonies owed over all blooms, for each colony that is had."""
STRENGTHS = (("A", "double deep", (10.4, 11.6), 0.9), ("B", "double deep", (8.4, 9.6), 1.0),
             ("C", "deep and medium", (7.3, 8.2), 0.9), ("D", "single deep", (4.0, 5.2), 0.8))  # fmt: skip
SHARES = (0.25, 0.45, 0.2, 0.1)
"""Of the hives, by strength."""
MOST_OWED = 0.9
"""Nobody promises more at once than so much of the hives that are strong enough."""


def operation(size: Size, seed: int) -> Operation:
    """Return the operation of a size and seed, as the door lets it in.

    Raises
    ------
    OperationError
        If the door finds a fault: then this generator has one.
    """
    return operation_from_json(document(size, seed), f"{size.name}-{seed}.json")


def document(size: Size, seed: int) -> str:
    """Return the operation of a size and seed as a JSON document."""
    draw = random.Random(f"{size.name} {seed}")
    region = draw.choice([one for one in REGIONS if one.length_mi >= size.length_mi])
    first_crop = draw.randrange(len(region.crops) - size.blooms + 1)
    crops = region.crops[first_crop : first_crop + size.blooms]
    miles, names = stretch(region, size.length_mi, draw), place_names(draw)
    yards, groups = _yards(size, (region, miles), names, draw)
    contracts, gates = _contracts(size, (region, miles, crops), names, draw)
    contracts = _keepable(contracts, groups)
    bought = fleet(size.trucks, tuple(one.name for one in yards[: size.bases]), draw)
    nights = [night for one in contracts for night in (one.in_from, one.in_until, one.out_until) if night]
    groups = [one.model_copy(update={"inspected_on": min(nights) - dt.timedelta(days=6)}) for one in groups]
    return Operation(
        name=f"Made-up {size.name} {seed}", note=f"Everything is invented but the landscape, {region.name}.",
        time_zone=region.time_zone, first_night=min(nights) - dt.timedelta(days=2), last_night=max(nights) + dt.timedelta(days=2),
        emergency_contact="555-0112", hive_builds=BUILDS, boxes=BOXES, pallets=PALLETS, yards=tuple(yards),
        hive_groups=tuple(groups), contracts=tuple(contracts), gates=tuple(gates), blocks=tuple(_blocks(contracts)),
        drops=tuple(_drops(contracts, gates)), trucks=bought.trucks, axle_groups=bought.axle_groups, tie_downs=bought.tie_downs,
        drivers=bought.drivers, gear=bought.gear, temperatures=tuple(_temperatures(min(nights), max(nights), draw)),
    ).model_dump_json()  # fmt: skip


def _yards(
    size: Size, where: tuple[Region, tuple[float, float]], names: Iterator[str], draw: random.Random
) -> tuple[list[Yard], list[HiveGroup]]:
    """Return yards with their groups; the bases come first, a semi gets into them and a forklift stays there."""
    smallest = _smallest(size)
    weights = [draw.uniform(0.5, 1.5) for _ in range(size.yards)]
    yards: list[Yard] = []
    groups: list[HiveGroup] = []
    left = size.colonies
    for number in range(size.yards):
        hives = left if number == size.yards - 1 else round(size.colonies * weights[number] / sum(weights))
        left -= hives
        name, (latitude, longitude) = f"{next(names)} yard", somewhere(*where, draw)
        access = "semi" if number < size.bases else _access(draw, smallest, (0.2, 0.5, 0.3))
        loading: Loading = "forklift" if access == "semi" else draw.choice(("hand", "hand", "boom"))
        groups += _groups(f"{number + 1}", name, hives, draw)
        yards.append(Yard(
            name=name, latitude_deg=latitude, longitude_deg=longitude, access=access, loading=loading,
            capacity_hives=4 * round(hives * draw.uniform(1.0, 1.5) / 4 + 1), contact=person(draw), phone="555-0101",
        ))  # fmt: skip
    return yards, groups


def _groups(number: str, yard: str, hives: int, draw: random.Random) -> Iterator[HiveGroup]:
    """Yield the groups of one yard, strongest first, all of them on one kind of pallet."""
    pallet = "six-way" if draw.random() < 0.2 else "four-way"
    each = 6 if pallet == "six-way" else 4
    left = hives
    for (letter, build, mean, spread), share in zip(STRENGTHS, SHARES, strict=True):
        many = left if letter == "D" else min(left, each * round(hives * share * draw.uniform(0.6, 1.4) / each))
        left -= many
        if many <= 0:
            continue
        yield HiveGroup(
            name=f"{letter}{number}", yard=yard, build=build, pallet=pallet, hives=many, inspected_on=dt.date(2027, 1, 1),
            frames_mean=round(draw.uniform(*mean), 1), frames_sd=spread, hives_inspected=max(1, min(many, 8 + many // 8)),
        )  # fmt: skip


def _smallest(size: Size) -> int:
    return min(VEHICLE_CLASSES.index(one) for one in size.trucks)


def _access(draw: random.Random, smallest: int, shares: tuple[float, float, float]) -> VehicleClass:
    """Return the largest vehicle that gets in: never too small for the smallest truck there is."""
    drawn = draw.choices(VEHICLE_CLASSES[1:], shares)[0]
    return VEHICLE_CLASSES[max(smallest, VEHICLE_CLASSES.index(drawn))]


def _contracts(
    size: Size, where: tuple[Region, tuple[float, float], tuple[Crop, ...]], names: Iterator[str], draw: random.Random
) -> tuple[list[Contract], list[Gate]]:
    region, miles, crops = where
    weights = [draw.uniform(0.5, 1.5) for _ in range(size.contracts)]
    contracts, gates = [], []
    for number, weight in enumerate(weights):
        crop = crops[number * len(crops) // size.contracts]
        wanted = TURNS * size.colonies * weight / sum(weights)
        colonies = 4 * max(1, round(wanted / 4)) if draw.random() < 0.7 else max(4, round(wanted))
        name, (latitude, longitude) = f"{next(names)} {crop.name}", somewhere(region, miles, draw)
        stays = crop == crops[-1] and draw.random() < 0.15
        access = _access(draw, _smallest(size), (0.15, 0.6, 0.25))
        contracts.append(Contract.model_validate({
            "name": name, "grower": person(draw), "phone": "555-0110", "crop": crop.name, "colonies": colonies,
            "access": access, "loading": "forklift" if access == "semi" else draw.choice(("hand", "hand", "forklift")),
            "open_until": dt.time(6, 0) if draw.random() < 0.1 else None, "pesticide_contact": "555-0111",
            **_nights(crop, draw, stays=stays), **_terms(crop, draw),
        }))  # fmt: skip
        gates.append(Gate(contract=name, name="Gate", latitude_deg=latitude, longitude_deg=longitude))
    return contracts, gates


def _keepable(contracts: list[Contract], groups: list[HiveGroup]) -> list[Contract]:
    """Return the contracts with fewer colonies where more are owed at once than there are hives strong enough.

    Windows, gear and the spread of an inspection may still leave a promise short, as they do.
    """
    for level in sorted({one.min_average_frames for one in contracts}, reverse=True):
        supply = sum(one.hives for one in groups if (one.frames_mean or 0.0) >= level)
        asking = [one for one in contracts if one.min_average_frames >= level]
        most = max(sum(one.colonies for one in asking if _is_in(one, at.in_from)) for at in asking)
        share = min(1.0, MOST_OWED * supply / most)
        less = {one.name: max(4, 4 * int(one.colonies * share / 4)) for one in asking if share < 1.0}
        contracts = [one.model_copy(update={"colonies": less.get(one.name, one.colonies)}) for one in contracts]
    return contracts


def _is_in(contract: Contract, night: dt.date | None) -> bool:
    """Tell whether a contract's hives may be in its orchard on a night."""
    first, last = contract.in_from, contract.out_until
    return first is not None and night is not None and first <= night and (last is None or night <= last)


def _nights(crop: Crop, draw: random.Random, *, stays: bool) -> dict[str, dt.date | int | None]:
    """Return a contract's nights: mostly four to six to come in, sometimes one to three."""
    first = crop.first_in + dt.timedelta(days=draw.randint(0, crop.spread_days))
    many = draw.choices((1, 2, 3, 4, 5, 6), (1, 2, 2, 5, 5, 4))[0]
    out = first + dt.timedelta(days=crop.stay_days + draw.randint(-2, 2))
    last_out = out + dt.timedelta(days=draw.choice((1, 2, 3, 4, 4, 5)))
    came: dict[str, dt.date | int | None] = {
        "in_from": first, "in_until": first + dt.timedelta(days=many - 1), "late_nights_allowed": draw.choice((0, 1, 1, 2)),
    }  # fmt: skip
    if stays:
        return came
    spray = last_out + dt.timedelta(days=2) if draw.random() < 0.5 else None
    return came | {"out_from": out, "out_until": last_out, "spray_on": spray}


def _terms(crop: Crop, draw: random.Random) -> dict[str, object]:
    """Return what a contract asks for, pays and takes off."""
    average = float(draw.choice(crop.average))
    bonus = draw.random() < 0.2
    return {
        "min_average_frames": average, "min_colony_frames": average - 2.0,
        "fee_usd_per_colony": float(draw.randint(*crop.fee_usd)),
        "late_usd_per_colony_night": float(draw.randint(3, 8)), "short_usd_per_colony": float(draw.randint(10, 25)),
        "weak_usd_per_frame": float(draw.randint(4, 8)) if draw.random() < 0.2 else None,
        "bonus_usd_per_frame": 2.0 if bonus else 0.0, "bonus_up_to_frames": average + 2.0 if bonus else 0.0,
        "over_delivery": draw.choice(("taken unpaid", "taken unpaid", "paid", "not taken")),
    }  # fmt: skip


def _blocks(contracts: list[Contract]) -> Iterator[Block]:
    return (Block(contract=one.name, name="1", acres=round(one.colonies / 1.5, 1)) for one in contracts)


def _drops(contracts: list[Contract], gates: list[Gate]) -> Iterator[Drop]:
    """Yield drops along the track behind each gate, room for a few hives more than promised."""
    for one, gate in zip(contracts, gates, strict=True):
        for number in range(-(-(one.colonies + 8) // 48)):
            yield Drop(contract=one.name, name=f"{number + 1}", latitude_deg=round(gate.latitude_deg + 0.002 * (number + 1), 5),
                       longitude_deg=gate.longitude_deg, most_hives=48)  # fmt: skip


def _temperatures(first: dt.date, last: dt.date, draw: random.Random) -> Iterator[Temperature]:
    """Yield temperatures of about every third night: warm evenings shorten it, cold mornings lengthen it."""
    for day in range((last - first).days + 1):
        if draw.random() < 0.3:
            evening = float(draw.randint(46, 79))
            low = evening - draw.randint(8, 18)
            night = first + dt.timedelta(days=day)
            yield Temperature(night=night, sunset_f=evening, low_f=low, sunrise_f=low + draw.randint(0, 3))
