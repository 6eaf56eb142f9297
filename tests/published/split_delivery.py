"""A published split-delivery instance told as an operation: one depot yard, one orchard for each customer.

Every colony weighs 100 lb and the truck's payload is its capacity in colonies; a mile costs a dollar and
nothing else costs anything; nights are plenty, work takes no time; a missing colony costs more than a drive.
So the least cost in USD is the least distance.
"""

import csv
import datetime as dt
from itertools import combinations
from math import hypot
from pathlib import Path
from typing import NamedTuple

from routing.inputs.contract import Contract, Gate
from routing.inputs.fleet import Driver, Truck
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.operation import Constant, Distance, Operation
from routing.inputs.yard import HiveGroup, Yard

DATA = Path(__file__).parent / "data"
DEPOT = "depot"
HIVE_LB = 100.0
FIRST = dt.date(2027, 4, 1)
NOTHING = "the published instance knows no such time or wage"


class Site(NamedTuple):
    """A row of the instance."""

    name: str
    east: float
    north: float
    demand: int


def sites(instance: str) -> tuple[Site, ...]:
    """Return the rows of a published instance, the depot first."""
    lines = (DATA / f"split_delivery_{instance}.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.reader(line for line in lines[1:] if not line.startswith(("#", "place")))
    return tuple(Site(name, float(east), float(north), int(demand)) for name, east, north, demand in rows)


def split_delivery(instance: str, *, capacity: int, decimals: int, nights: int) -> Operation:
    """Return the operation of a published instance.

    Parameters
    ----------
    instance
        ``sd1`` or ``eil22``.
    capacity
        Colonies that the truck carries.
    decimals
        Digits behind the point to which distances are rounded.
    nights
        Nights on which the one truck may go.
    """
    rows = sites(instance)
    hives = sum(row.demand for row in rows)
    last = FIRST + dt.timedelta(days=nights - 1)
    return Operation(
        name=f"Split delivery {instance}", time_zone="America/Chicago", first_night=FIRST, last_night=last,
        constants=tuple(
            Constant(name=name, value=0.0, source=NOTHING)
            for name in ("stop_setup_min", "secure_load_min", "hand_min_per_hive", "helper_wage_usd_per_hour")
        ),
        hive_builds=(HiveBuild(name="deep", box_frames=10, bottom_board="solid", entrance="open",
                               lid="migratory", strapped=True, weight_low_lb=HIVE_LB,
                               weight_high_lb=HIVE_LB),),
        boxes=(Box(build="deep", position=1, depth="deep", role="brood", frames=10),),
        yards=(Yard(name=DEPOT, latitude_deg=44.0, longitude_deg=-90.0, access="semi",
                    capacity_hives=hives),),
        hive_groups=(HiveGroup(name="H", yard=DEPOT, build="deep", hives=hives, inspected_on=FIRST,
                               frames_mean=8.0, frames_sd=0.0, hives_inspected=hives),),
        contracts=tuple(_contract(row, last) for row in rows[1:]),
        gates=tuple(_gate(row) for row in rows[1:]),
        trucks=(Truck(name="T", vehicle_class="straight truck", base=DEPOT, deck_length_in=700.0,
                      deck_width_in=120.0, deck_height_in=40.0, deck_front_in=0.0,
                      payload_lb=capacity * HIVE_LB,
                      gross_rating_lb=100_000.0, unloading="side", cost_usd_per_mile=1.0),),
        drivers=(Driver(name="D", wage_usd_per_hour=0.0, drives="semi"),),
        distances=tuple(_distance(a, b, decimals) for a, b in combinations(rows, 2)),
    )  # fmt: skip


def _contract(row: Site, last: dt.date) -> Contract:
    return Contract(
        name=row.name, grower="Published", crop="apple", colonies=row.demand, min_average_frames=0.0,
        min_colony_frames=0.0, access="semi", in_from=FIRST, in_until=last, fee_usd_per_colony=1000.0,
        over_delivery="not taken",
    )  # fmt: skip


def _gate(row: Site) -> Gate:
    # Where it lies does not matter: every way is in the table of distances.
    return Gate(contract=row.name, name="gate", latitude_deg=44.0, longitude_deg=-90.0)


def _distance(a: Site, b: Site, decimals: int) -> Distance:
    # Halves go up, as in TSPLIB's EUC_2D: int(d + 0.5).
    scale = 10**decimals
    miles = int(hypot(a.east - b.east, a.north - b.north) * scale + 0.5) / scale
    return Distance(origin=a.name, destination=b.name, miles=miles, minutes=miles / 2)
