"""Outlines of blocks: a polygon, not crossing itself, of about the acres given, near the contract's gate."""

import math
from collections import defaultdict
from collections.abc import Iterator

import shapely
from pyproj import Geod
from shapely.errors import GEOSException
from shapely.geometry import Point, Polygon
from shapely.ops import nearest_points

from routing.inputs.contract import Block, Gate
from routing.inputs.faults import Flaw, shown
from routing.inputs.operation import Operation
from routing.units import miles_from_metres

SQUARE_METRES_PER_ACRE = 4046.8564224
"""International acre, exact: 4,840 square yards of 0.9144 m (from memory)."""
WIDEST_FACTOR = 3.0
"""Outline and planted acres differ by roads, ditches and yards; by more than this, one of them is wrong."""
FARTHEST_GATE_MILES = 5.0

# Areas and distances on the ellipsoid itself: no projection bends them.
_EARTH = Geod(ellps="WGS84")


def outline_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield outlines that cannot be, or do not fit what else is known of the block."""
    gates: dict[str, list[Gate]] = defaultdict(list)
    for gate in operation.gates:
        gates[gate.contract].append(gate)
    for index, block in enumerate(operation.blocks):
        if block.outline is not None:
            yield from _outline(index, block, block.outline, gates[block.contract])


def _outline(index: int, block: Block, text: str, gates: list[Gate]) -> Iterator[Flaw]:
    def flaw(column: str, found: str, allowed: str, *uses: str) -> Flaw:
        return Flaw(table="blocks", index=index, column=column, found=found, allowed=allowed, uses=uses)

    polygon, trouble = polygon_from_wkt(text)
    if polygon is None:
        yield flaw("outline", trouble, "one polygon as WKT, longitude first, that does not cross itself")
        return
    acres = polygon_acres(polygon)
    if not block.acres / WIDEST_FACTOR <= acres <= block.acres * WIDEST_FACTOR:
        allowed = f"within a factor {WIDEST_FACTOR:g} of the {acres:.1f} acres inside the outline"
        yield flaw("acres", shown(block.acres), allowed, "outline")
    away = min((_miles_to(polygon, gate) for gate in gates), default=0.0)
    if away > FARTHEST_GATE_MILES:
        found = f"an outline {away:,.1f} miles from the nearest gate of '{block.contract}'"
        swapped = "; in WKT longitude comes first" if away > 500 else ""
        yield flaw("outline", found, f"at most {FARTHEST_GATE_MILES:g} miles{swapped}", "contract", "gates")


def polygon_from_wkt(text: str) -> tuple[Polygon | None, str]:
    """Return the polygon that WKT describes, or None and what is wrong with it in words."""
    try:
        shape = shapely.from_wkt(text)
    except (GEOSException, ValueError, TypeError):
        return None, f"{shown(text)}, which is not WKT"
    if not isinstance(shape, Polygon):
        return None, f"a {shape.geom_type.lower()}" if shape is not None else "nothing"
    trouble = polygon_trouble(shape)
    return (None, trouble) if trouble else (shape, "")


def polygon_trouble(polygon: Polygon) -> str:
    """Return what keeps a polygon from being an outline in degrees, in words; empty when nothing does."""
    if polygon.is_empty:
        return "an empty polygon"
    west, south, east, north = polygon.bounds
    if not all(map(math.isfinite, polygon.bounds)):
        return "a corner that is not a number"
    if west < -180 or east > 180 or south < -90 or north > 90:
        return f"a corner at longitude {west:g} to {east:g}, latitude {south:g} to {north:g}"
    if not polygon.is_valid:
        return "a polygon that crosses or touches itself"
    return ""


def polygon_acres(polygon: Polygon) -> float:
    """Return the area of a polygon in degrees. [acres]"""
    area_m2, _ = _EARTH.geometry_area_perimeter(polygon)
    return abs(float(area_m2)) / SQUARE_METRES_PER_ACRE


def _miles_to(polygon: Polygon, gate: Gate) -> float:
    """Return the way from the gate to the outline, found in degrees, measured on the ellipsoid. [mi]"""
    point = Point(gate.longitude_deg, gate.latitude_deg)
    nearest, _ = nearest_points(polygon, point)
    _, _, metres = _EARTH.inv(nearest.x, nearest.y, point.x, point.y)
    return miles_from_metres(float(metres))
