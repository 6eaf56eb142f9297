"""Real roads: a matrix of 150 sites on a real extract, and what roads change in cost against the default estimate.

The extract is the middle of Helsinki that the package pyrosm carries (OpenStreetMap contributors, ODbL): the only real
one at hand with truck limits. Nobody keeps 150 yards in a city; the figures are about time, the costs about the method.
"""

import math
import random
import sys
import tempfile
import time
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import pyrosm

from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.inputs.places import Place
from routing.plan import make_plan
from routing.plan_record import Plan
from tests.benchmarks._record import Record, measured

SITES, STEPS, SECONDS, SEED, CONTRACTS = 150, 4, 20.0, 7, 4
EXTRACT = Path(pyrosm.__file__).parent / "data" / "Helsinki.osm.pbf"
COUNTRY = "FI"


def measure_roads() -> list[Record]:
    """Return the rows on roads: tiles, matrix cold and kept, ways shorter than a bound, and the cost of an operation."""
    if sys.version_info < (3, 12):
        return [{"what": "roads", "status": "not measured: the road engine needs Python 3.12 or newer"}]
    with tempfile.TemporaryDirectory() as folder:
        into = Path(folder) / "roads"
        return [_tiles(into), *_matrix(into), *_costs(into)]


def _tiles(into: Path) -> Record:
    from api.roads.tiles import build_roads

    with measured() as build:
        stamp = build_roads(EXTRACT, into, country=COUNTRY)
    return {"what": "tiles with self-test", "seconds": build.seconds, "count": stamp.roads,
            "status": f"{sum('read right' in one for one in stamp.tried)} of {len(stamp.tried)} signs read right"}  # fmt: skip


def _matrix(into: Path) -> list[Record]:
    """Return the time of a truck's matrix with lines, measured and then read from disk."""
    from api.roads.graph import Graph
    from routing.roads.vehicle import road_vehicles

    truck = road_vehicles(tiny_operation())[0]
    stops = sites(SITES)
    rows: list[Record] = []
    for what in ("matrix and lines, truck and free", "the same from disk"):
        graph = Graph(into)
        processor = time.process_time()
        with measured() as matrix:
            found = graph.measure(truck, stops)
        processor = time.process_time() - processor
        pairs = SITES * (SITES - 1)
        lost = pairs - len(found.ways)
        rows.append({"what": f"{SITES} sites: {what}", "seconds": matrix.seconds, "processor_s": processor, "count": pairs,
                     "share": len(found.ways) / pairs, "status": f"{lost} pairs without a way, told by name"})  # fmt: skip
    return rows


def sites(count: int) -> tuple[Place, ...]:
    """Return sites on crossings of the real map, drawn from a seed."""
    from api.roads.scan import scan_map

    points = random.Random(SEED).sample(sorted(set(scan_map(EXTRACT).points)), count)
    return tuple(
        Place(name=f"site {number}", kind="yard", latitude_deg=north, longitude_deg=east, access="semi", loading="hand",
              open_from=None, open_until=None, time_zone="Europe/Helsinki")
        for number, (north, east) in enumerate(points)
    )  # fmt: skip


def _costs(into: Path) -> list[Record]:
    """Return what one operation costs planned on estimates, what that plan costs on roads, and planned on roads."""
    from api.commands.roads import Asked
    from api.commands.roads import measured as on_roads

    estimated = in_helsinki()
    real = on_roads(estimated, Asked(tiles=into)).operation
    plans = {"on estimates": _planned(estimated), "on roads": _planned(real)}
    return [
        {"what": f"operation of {len(estimated.contracts)} contracts, planned {how}", "seconds": plan.seconds,
         "usd": plan.cost_usd, "miles": sum(night.miles for night in plan.truck_nights), "status": _kept(plan)}
        for how, plan in plans.items()
    ] + [_same_nights(plans["on estimates"], real)]  # fmt: skip


def _planned(operation: Operation) -> Plan:
    return make_plan(operation, seed=0, seconds=SECONDS, steps=STEPS)


def _kept(plan: Plan) -> str:
    return "every promise kept" if not plan.unkept else f"{len(plan.unkept)} promises not kept"


def _same_nights(plan: Plan, real: Operation) -> Record:
    """Return what the miles of a plan made on estimates are by road."""
    from routing.roads.roads import road_table

    roads = road_table(real)
    legs = [(a.place, b.place) for night in plan.truck_nights for a, b in pairwise(night.stops)]
    miles = sum(roads.miles(*leg) for leg in legs if leg[0] != leg[1])
    return {"what": "the plan on estimates, driven by road", "miles": miles, "status": "same stops"}


def in_helsinki() -> Operation:
    """Return the beginning of the demo, all of it invented, shrunk onto crossings of the real map."""
    demo = demo_beginning(contracts=CONTRACTS)
    put = _shrunk([(one.latitude_deg, one.longitude_deg) for one in (*demo.yards, *demo.gates)])
    yards = tuple(_moved(one, put) for one in demo.yards)
    gates = tuple(_moved(one, put) for one in demo.gates)
    return demo.model_copy(update={
        "name": "Invented bees in a real city", "time_zone": "Europe/Helsinki", "yards": yards, "gates": gates, "blocks": (),
        "drops": (), "distances": (),
    })  # fmt: skip


def _moved(one: Any, put: dict[tuple[float, float], tuple[float, float]]) -> Any:
    north, east = put[one.latitude_deg, one.longitude_deg]
    return one.model_copy(update={"latitude_deg": north, "longitude_deg": east, "time_zone": None} if hasattr(one, "time_zone")
                          else {"latitude_deg": north, "longitude_deg": east})  # fmt: skip


def _shrunk(points: Sequence[tuple[float, float]]) -> dict[tuple[float, float], tuple[float, float]]:
    """Return, for each point, the road's point nearest to where it falls when all are shrunk into the map."""
    from api.roads.scan import scan_map

    scan = scan_map(EXTRACT)
    south, west, north, east = scan.box
    low = [min(axis) for axis in zip(*points, strict=True)]
    high = [max(axis) for axis in zip(*points, strict=True)]
    found = {}
    for point in points:
        share = [(value - least) / (most - least) for value, least, most in zip(point, low, high, strict=True)]
        target = (south + share[0] * (north - south), west + share[1] * (east - west))
        found[point] = min(scan.points, key=lambda one: math.dist(one, target))
    return found
