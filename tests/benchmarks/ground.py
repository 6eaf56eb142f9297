"""Drops of a 120-acre orchard sited to 1 %: seconds, gap, evenness; then real roads, where a map is there."""

import importlib
import importlib.util
import time

from fixtures.tiny import tiny_operation
from routing.drops.drop import SitingError
from routing.drops.propose import propose_drops
from routing.drops.rules import siting_rules
from routing.inputs.contract import Block, Gate
from routing.inputs.land import LandFeature
from routing.inputs.operation import Operation
from tests.benchmarks._record import Record, measured

CONTRACT = "Early cherries"
SOUTH, WEST = 43.976, -86.290
FEET_NORTH, FEET_EAST = 364_600.0, 263_000.0
"""Feet of a degree at 44 north, about; only to draw with."""
BLOCKS = (("North-west", 0, 1240, 990, 1080), ("North-east", 1030, 1240, 1340, 1080), ("South-west", 0, 0, 990, 1200),
          ("South-east", 1030, 0, 1340, 1200))  # fmt: skip
"""Name, feet east and north of the corner, feet wide and high: 24.5, 33.2, 27.3 and 36.9 acres, 122 together."""
HIVES = (120, 180, 240)
ROADS = "tests.benchmarks._ground_roads"


def rows() -> list[Record]:
    """Return one row for each number of hives, with and without land to keep clear of, then those of real roads."""
    found = [siting(hives, land) for hives in HIVES for land in ("open", "closed in")]
    if importlib.util.find_spec(ROADS) is not None:
        found += importlib.import_module(ROADS).measure_roads()
    return found


def orchard(hives: int, land: str) -> Operation:
    """Return four blocks with lanes about and between them; ``closed in``: with houses, a pond, a windbreak."""
    tiny = tiny_operation()
    contract = next(one for one in tiny.contracts if one.name == CONTRACT).model_copy(update={"colonies": hives, "crop": "apple"})
    blocks = tuple(
        Block(contract=CONTRACT, name=name, acres=wide * high / 43_560.0, outline=_ring(east, north, wide, high))
        for name, east, north, wide, high in BLOCKS
    )
    features = (*_tracks(), *(_land() if land == "closed in" else ()))
    gate = Gate(contract=CONTRACT, name="Yard", latitude_deg=SOUTH - 60.0 / FEET_NORTH, longitude_deg=WEST + 1010.0 / FEET_EAST)
    return tiny.model_copy(
        update={"contracts": (contract,), "blocks": blocks, "gates": (gate,), "drops": (), "land_features": features}
    )


def siting(hives: int, land: str) -> Record:
    """Return the row of one orchard: its whole proposal, the curve of stops included."""
    operation = orchard(hives, land)
    rules = siting_rules(operation, operation.contracts[0])
    begun = time.process_time()
    with measured() as took:
        try:
            found = propose_drops(operation, CONTRACT, rules=rules)
        except SitingError as error:
            return {"benchmark": "ground", "land": land, "hives": hives, "outcome": str(error)}
    return {
        "benchmark": "ground",
        "land": land,
        "hives": hives,
        "outcome": "sited",
        "acres": found.acres,
        "blocks": len(BLOCKS),
        "candidates": found.candidates,
        "pieces_of_ground": len({(one.latitude_deg, one.longitude_deg) for one in found.shares}),
        "stops": len(found.drops),
        "mean_ft": found.evenness.mean_ft,
        "worst_ft": found.evenness.worst_ft,
        "deviation_ft": found.evenness.deviation_ft,
        "gap": found.gap,
        "numbers_of_stops": len(found.curve),
        "worst_gap_of_curve": max(point.gap for point in found.curve),
        "round_ft": found.way_ft,
        "cpu_seconds": time.process_time() - begun,
        "seconds": took.seconds,
    }


def _place(east_ft: float, north_ft: float) -> str:
    return f"{WEST + east_ft / FEET_EAST:.7f} {SOUTH + north_ft / FEET_NORTH:.7f}"


def _ring(east: float, north: float, wide: float, high: float) -> str:
    corners = ((east, north), (east + wide, north), (east + wide, north + high), (east, north + high), (east, north))
    return f"POLYGON(({','.join(_place(*corner) for corner in corners)}))"


def _tracks() -> tuple[LandFeature, ...]:
    lanes = {
        "Round lane": ((1010, -20), (-20, -20), (-20, 2340), (2390, 2340), (2390, -20), (1010, -20)),
        "Middle lane": ((1010, -60), (1010, 2340)),
        "Cross lane": ((-20, 1220), (2390, 1220)),
    }
    return tuple(_feature("track", name, f"LINESTRING({','.join(_place(*one) for one in way)})") for name, way in lanes.items())


def _land() -> tuple[LandFeature, ...]:
    wall = f"LINESTRING({_place(2440, 1300)},{_place(2440, 2300)})"
    pond = f"POLYGON(({','.join(_place(*one) for one in ((-30, 700), (200, 700), (200, 900), (-30, 900), (-30, 700)))}))"
    return (
        _feature("house", "Cottage", f"POINT({_place(600, 2420)})"),
        _feature("house", "Farm", f"POINT({_place(2500, 300)})"),
        _feature("water", "Pond", pond),
        _feature("shade", "Spruces", wall),
    )


def _feature(kind: str, name: str, shape: str) -> LandFeature:
    return LandFeature.model_validate({"contract": CONTRACT, "kind": kind, "name": name, "shape": shape})
