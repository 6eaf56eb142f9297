"""Trucks and random loads for the benchmark of deck plans; invented, of usual sizes."""

import random
from collections.abc import Sequence
from typing import NamedTuple

from routing.finding import Finding
from routing.inputs.fleet import AxleGroup, TieDown, Truck
from routing.inputs.rigging import Hitch
from routing.loads.capacity import Unit
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances
from routing.loads.deck import Batch
from routing.loads.load import Load, Placement
from routing.loads.order import Ride
from routing.loads.vehicle import Rig
from routing.nights.tour import Lot

CALM = Circumstances(temperature_f=45.0, riders=())
STRAPS = TieDown(truck="T", kind="webbing strap", size="4 in", count=30, wll_lb=5400.0)


class Fleet(NamedTuple):
    """One vehicle, the unit that it carries, and how many."""

    name: str
    rig: Rig
    unit: Unit
    most: int


def _unit(length_in: float, width_in: float, *, height_in: float, low_lb: float, high_lb: float) -> Unit:
    return Unit(length_in=length_in, width_in=width_in, height_in=height_in, hives=4, pallet_lb=42.0, hive_low_lb=low_lb,
                hive_high_lb=high_lb)  # fmt: skip


DOUBLES = _unit(45.0, 37.0, height_in=25.75, low_lb=95.0, high_lb=120.0)
SINGLES = _unit(40.0, 32.0, height_in=17.0, low_lb=55.0, high_lb=75.0)


def _truck(**about: object) -> Truck:
    return Truck.model_validate({"name": "T", "base": "Home", "cost_usd_per_mile": 1.0, "unloading": "side"} | about)


def _axle(position: int, centre_in: float, empty_lb: float, rating_lb: float, **about: object) -> AxleGroup:
    row = {"truck": "T", "position": position, "centre_in": centre_in, "empty_lb": empty_lb, "rating_lb": rating_lb, "axles": 1}
    return AxleGroup.model_validate(row | about)


def pickup_and_trailer(unloading: str = "side") -> Fleet:
    """Return a pickup with a trailer on a ball: eight pallets of double deeps."""
    truck = _truck(vehicle_class="pickup with trailer", deck_on="trailer", deck_length_in=196.0, deck_width_in=96.0,
                   deck_height_in=30.0, deck_front_in=44.0, payload_lb=7000.0, gross_rating_lb=22000.0, coupling_in=216.0,
                   unloading=unloading)  # fmt: skip
    axles = (_axle(1, 0.0, 4300.0, 5600.0), _axle(2, 168.0, 3700.0, 9600.0),
             _axle(3, 172.0, 2550.0, 10400.0, axles=2, spread_in=34.0, unit="trailer"))  # fmt: skip
    hitch = Hitch(truck="T", kind="ball", trailer_empty_lb=2900.0, coupling_rating_lb=1200.0)
    return Fleet("pickup and trailer", Rig(truck=truck, axle_groups=axles, tie_downs=(STRAPS,), hitch=hitch), DOUBLES, 8)


def flatbed(unloading: str = "side") -> Fleet:
    """Return a straight truck with a tag of rear axles: twenty pallets of double deeps in two layers."""
    truck = _truck(vehicle_class="straight truck", deck_length_in=264.0, deck_width_in=96.0, deck_height_in=44.0,
                   deck_front_in=60.0, payload_lb=16000.0, gross_rating_lb=46000.0, headboard=True, most_tiers=2,
                   unloading=unloading)  # fmt: skip
    axles = (_axle(1, 0.0, 8200.0, 12000.0), _axle(2, 220.0, 9800.0, 34000.0, axles=2, spread_in=54.0))
    return Fleet("20-pallet flatbed", Rig(truck=truck, axle_groups=axles, tie_downs=(STRAPS,)), DOUBLES, 20)


def semi(unloading: str = "side") -> Fleet:
    """Return a tractor with a flat semitrailer: a hundred pallets of single deeps in three layers."""
    truck = _truck(vehicle_class="semi", deck_on="trailer", deck_length_in=576.0, deck_width_in=102.0, deck_height_in=58.0,
                   deck_front_in=-36.0, payload_lb=46000.0, gross_rating_lb=80000.0, coupling_in=195.0, most_tiers=3,
                   unloading=unloading)  # fmt: skip
    axles = (_axle(1, 0.0, 10600.0, 12000.0), _axle(2, 205.0, 11700.0, 38000.0, axles=2, spread_in=52.0),
             _axle(3, 470.0, 6500.0, 38000.0, axles=2, spread_in=49.0, unit="trailer"))  # fmt: skip
    hitch = Hitch(truck="T", kind="fifth wheel", trailer_empty_lb=12500.0, coupling_rating_lb=40000.0)
    return Fleet("100-pallet semi", Rig(truck=truck, axle_groups=axles, tie_downs=(STRAPS,), hitch=hitch), SINGLES, 100)


FLEETS = (pickup_and_trailer, flatbed, semi)


def batches(unit: Unit, numbers: Sequence[int], draw: random.Random) -> tuple[Batch, ...]:
    """Return a batch for each number of units, loaded together and set down one after the other, of unlike weights."""
    found = []
    for place, number in enumerate(numbers):
        lot = Lot(lot="ABCDEFGH"[place], group="G", hives=number * unit.hives, pallets=number, origin="O",
                  destination=f"D{place}", purpose="in")  # fmt: skip
        lighter_lb = draw.choice((0.0, 0.0, 8.0, 15.0))
        ends = {"hive_low_lb": unit.hive_low_lb - lighter_lb, "hive_high_lb": unit.hive_high_lb - lighter_lb}
        own = unit.model_copy(update=ends)
        found.append(Batch(lot, Ride(1, 2 + place), unit.hives, number, own))
    return tuple(found)


def split(total: int, parts: int, draw: random.Random) -> list[int]:
    """Return ``total`` cut into ``parts`` whole numbers of 1 or more."""
    cuts = sorted(draw.sample(range(1, total), parts - 1))
    return [end - start for start, end in zip([0, *cuts], [*cuts, total], strict=True)]


def load_of(units: Sequence[Placement], rig: Rig) -> Load:
    """Return placements as a load that the judge can look at."""
    return Load.model_validate({
        "truck_night": "T", "number": 1, "truck": rig.truck.name, "night": "2027-04-12", "hives": sum(u.hives for u in units),
        "placements": tuple(units), "top_of_load_in": 0.0, "straps_needed": 0, "straps_available": 0, "states": (),
        "rehandled": 0, "findings": (),
    }, strict=False)  # fmt: skip


def broken(units: Sequence[Placement], rig: Rig) -> list[Finding]:
    """Return what the judge finds broken."""
    return [one for one in check_load(load_of(units, rig), rig, about=CALM) if one.status == "broken"]
