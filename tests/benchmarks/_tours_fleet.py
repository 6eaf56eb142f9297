"""Trucks, drivers and hives of a made-up operation. Sizes, weights and prices are invented, of the usual order."""

import random
from collections.abc import Mapping
from dataclasses import dataclass

from routing.inputs.fleet import AxleGroup, Driver, Gear, Pallet, TieDown, Truck
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.yard import VEHICLE_CLASSES, VehicleClass
from tests.benchmarks._tours_land import PEOPLE

BUILDS = (
    HiveBuild(name="double deep", box_frames=10, bottom_board="pallet", entrance="open", entrance_reducer=True, lid="migratory",
              strapped=True, weight_low_lb=95.0, weight_high_lb=125.0),
    HiveBuild(name="deep and medium", box_frames=8, bottom_board="pallet", entrance="open", entrance_reducer=True,
              lid="migratory", strapped=True, weight_low_lb=75.0, weight_high_lb=100.0),
    HiveBuild(name="single deep", box_frames=10, bottom_board="pallet", entrance="reduced", lid="migratory", strapped=True,
              weight_low_lb=50.0, weight_high_lb=70.0),
)  # fmt: skip
BOXES = (
    Box(build="double deep", position=1, depth="deep", role="brood", frames=10),
    Box(build="double deep", position=2, depth="deep", role="brood", frames=10),
    Box(build="deep and medium", position=1, depth="deep", role="brood", frames=8),
    Box(build="deep and medium", position=2, depth="medium", role="brood", frames=8),
    Box(build="single deep", position=1, depth="deep", role="brood", frames=10),
)
PALLETS = (
    Pallet(name="four-way", length_in=45.0, width_in=37.0, height_in=4.5, hives=4, weight_lb=42.0),
    Pallet(name="six-way", length_in=44.0, width_in=42.0, height_in=4.5, hives=6, weight_lb=48.0),
)


@dataclass(frozen=True)
class _Model:
    """A truck with its axles and straps, not yet named."""

    truck: Truck
    axles: tuple[tuple[str, int, float, float, float, float], ...]
    """Unit, axles, centre [in], spread [in], empty and rating [lb], front to back."""
    straps: tuple[int, float]


FLATBED = _Model(
    Truck(name="?", vehicle_class="straight truck", base="?", deck_length_in=246.0, deck_width_in=96.0, deck_height_in=44.0,
          deck_front_in=60.0, payload_lb=13000.0, gross_rating_lb=25950.0, headboard=True, unloading="side", lifting="forklift",
          cost_usd_per_mile=1.25, cost_usd_per_night=60.0, helpers=1, speed_factor=0.9),
    (("truck", 1, 0.0, 0.0, 7200.0, 10500.0), ("truck", 1, 230.0, 0.0, 5600.0, 18500.0)), (10, 5400.0),
)  # fmt: skip
PICKUP = _Model(
    Truck(name="?", vehicle_class="pickup with trailer", base="?", deck_on="trailer", deck_length_in=168.0, deck_width_in=96.0,
          deck_height_in=30.0, deck_front_in=54.0, payload_lb=7000.0, gross_rating_lb=22000.0, coupling_in=216.0, headboard=True,
          unloading="side", lifting="boom", cost_usd_per_mile=0.85, cost_usd_per_night=35.0, helpers=1, speed_factor=0.95),
    (("truck", 1, 0.0, 0.0, 4300.0, 5600.0), ("truck", 1, 168.0, 0.0, 3700.0, 9600.0),
     ("trailer", 2, 160.0, 34.0, 2550.0, 10400.0)), (8, 3333.0),
)  # fmt: skip
SEMI = _Model(
    Truck(name="?", vehicle_class="semi", hired=True, base="?", deck_on="trailer", deck_length_in=576.0, deck_width_in=102.0,
          deck_height_in=60.0, deck_front_in=-36.0, most_tiers=2, payload_lb=48000.0, gross_rating_lb=80000.0, coupling_in=195.0,
          headboard=True, unloading="side", lifting="hand", cost_usd_per_mile=3.4, cost_usd_per_night=900.0, helpers=1,
          speed_factor=0.85),
    (("truck", 1, 0.0, 0.0, 10800.0, 12000.0), ("truck", 2, 205.0, 52.0, 11700.0, 38000.0),
     ("trailer", 2, 480.0, 49.0, 6500.0, 38000.0)), (14, 5400.0),
)  # fmt: skip
MODELS: Mapping[VehicleClass, _Model] = {"straight truck": FLATBED, "pickup with trailer": PICKUP, "semi": SEMI}


@dataclass(frozen=True)
class Fleet:
    """The tables of a fleet."""

    trucks: tuple[Truck, ...]
    axle_groups: tuple[AxleGroup, ...]
    tie_downs: tuple[TieDown, ...]
    drivers: tuple[Driver, ...]
    gear: tuple[Gear, ...]


def fleet(classes: Mapping[VehicleClass, int], bases: tuple[str, ...], draw: random.Random) -> Fleet:
    """Return so many trucks of each class, each at one of the bases in turn, and a driver for each own truck.

    Prices differ a little between trucks and drivers, as they do; every fifth operation has a driver more.
    """
    trucks: list[Truck] = []
    axles: list[AxleGroup] = []
    straps: list[TieDown] = []
    for vehicle_class, many in classes.items():
        model = MODELS[vehicle_class]
        for number in range(1, many + 1):
            name = f"{vehicle_class.capitalize()} {number}"
            trucks.append(model.truck.model_copy(update={
                "name": name, "base": bases[len(trucks) % len(bases)],
                "cost_usd_per_mile": round(model.truck.cost_usd_per_mile * draw.uniform(0.92, 1.08), 2),
                "cost_usd_per_night": float(round(model.truck.cost_usd_per_night * draw.uniform(0.9, 1.1))),
            }))  # fmt: skip
            axles += [
                AxleGroup.model_validate({"truck": name, "position": place, "unit": unit, "axles": count, "centre_in": centre,
                                          "spread_in": spread, "empty_lb": empty, "rating_lb": rating})
                for place, (unit, count, centre, spread, empty, rating) in enumerate(model.axles, start=1)
            ]  # fmt: skip
            straps.append(TieDown(truck=name, kind="webbing strap", size="4 in", count=model.straps[0], wll_lb=model.straps[1]))
    own = [one for one in trucks if not one.hired]
    wanted = [one.vehicle_class for one in own] + ([max((one.vehicle_class for one in own), key=VEHICLE_CLASSES.index)] if own
                                                   and draw.random() < 0.2 else [])  # fmt: skip
    gear = (Gear(item="migratory lid", on_hand=40), Gear(item="hive strap", on_hand=400), Gear(item="load net", on_hand=len(own)))
    return Fleet(tuple(trucks), tuple(axles), tuple(straps), tuple(_drivers(wanted, draw)), gear)


def _drivers(wanted: list[VehicleClass], draw: random.Random) -> list[Driver]:
    names = draw.sample(PEOPLE, len(wanted))
    return [
        Driver(name=f"{draw.choice('ABCDEFGHJKLMNOPRSTVW')}. {name}", phone="555-0140", drives=largest,
               wage_usd_per_hour=float(draw.randint(20, 29)), most_duty_hours=draw.choice((10.0, 11.0, 11.0, 12.0, None)))
        for name, largest in zip(names, wanted, strict=True)
    ]  # fmt: skip
