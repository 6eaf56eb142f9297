"""Outlines of blocks: a polygon, not crossing itself, of about the acres given, near the gate, none over another."""

import math
from collections import defaultdict
from collections.abc import Iterator

import shapely
from pyproj import Geod
from shapely.errors import GEOSException
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry
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
SWAPPED_MILES = 500.0
"""Farther off than this, latitude was written first."""
LEAST_ACRES = 0.05
"""2,178 square feet: a few rows of berries. Smaller is a slip of the hand."""
MOST_ACRES = 20_000.0
"""As for the acres of a row: 31 square miles."""
OVERLAP_SHARE = 0.02
"""Of the smaller block; less is how carefully two outlines along one lane were drawn."""
SQUARE_FEET_PER_ACRE = 43_560.0
ACRES_PER_SQUARE_MILE = 640.0
_NOT_DEGREES = 1_000.0

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
        elif block.acres < LEAST_ACRES:
            allowed = f"at least {_ground_words(LEAST_ACRES)}"
            yield Flaw(table="blocks", index=index, column="acres", found=_ground_words(block.acres), allowed=allowed)
    yield from _overlaps(operation)


def _outline(index: int, block: Block, text: str, gates: list[Gate]) -> Iterator[Flaw]:
    def flaw(column: str, found: str, allowed: str, *uses: str) -> Flaw:
        return Flaw(table="blocks", index=index, column=column, found=found, allowed=allowed, uses=uses)

    polygon, trouble = polygon_from_wkt(text)
    if polygon is None:
        yield flaw("outline", trouble, "one polygon as WKT, longitude first, that does not cross itself")
        return
    away = min((miles_between(polygon, gate) for gate in gates), default=0.0)
    if away > FARTHEST_GATE_MILES:
        found = f"an outline {away:,.1f} miles from the nearest gate of '{block.contract}'"
        swapped = "; in WKT longitude comes first" if away > SWAPPED_MILES else ""
        yield flaw("outline", found, f"at most {FARTHEST_GATE_MILES:g} miles{swapped}", "contract", "gates")
        if away > SWAPPED_MILES:
            return
    acres = polygon_acres(polygon)
    if not LEAST_ACRES <= acres <= MOST_ACRES:
        allowed = f"at least {_ground_words(LEAST_ACRES)}" if acres < LEAST_ACRES else f"at most {_ground_words(MOST_ACRES)}"
        yield flaw("outline", f"an outline of {_ground_words(acres)}", allowed)
    elif not block.acres / WIDEST_FACTOR <= acres <= block.acres * WIDEST_FACTOR:
        allowed = f"within a factor {WIDEST_FACTOR:g} of the {acres:.1f} acres inside the outline"
        yield flaw("acres", shown(block.acres), allowed, "outline")


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
    trouble = in_degrees_trouble(polygon)
    if trouble:
        return trouble
    return "" if polygon.is_valid else "a polygon that crosses or touches itself"


def in_degrees_trouble(shape: BaseGeometry) -> str:
    """Return why a shape's corners are no longitudes and latitudes, in words; empty when they may be."""
    west, south, east, north = shape.bounds
    if not all(map(math.isfinite, shape.bounds)):
        return "a corner that is not a number"
    if max(map(abs, shape.bounds)) > _NOT_DEGREES:
        return f"corners such as {west:,.0f}, {south:,.0f}, which are feet or metres of a grid that is not named"
    if west < -180 or east > 180 or south < -90 or north > 90:
        return f"a corner at longitude {west:g} to {east:g}, latitude {south:g} to {north:g}"
    return ""


def polygon_acres(polygon: Polygon) -> float:
    """Return the area of a polygon in degrees. [acres]"""
    area_m2, _ = _EARTH.geometry_area_perimeter(polygon)
    return abs(float(area_m2)) / SQUARE_METRES_PER_ACRE


def miles_between(shape: BaseGeometry, gate: Gate) -> float:
    """Return the way from the gate to a shape, found in degrees, measured on the ellipsoid. [mi]"""
    point = Point(gate.longitude_deg, gate.latitude_deg)
    nearest, _ = nearest_points(shape, point)
    _, _, metres = _EARTH.inv(nearest.x, nearest.y, point.x, point.y)
    return miles_from_metres(float(metres))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    return [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]


def _ground_words(acres: float) -> str:
    """Return an area in the unit that shows the slip: square feet, acres or square miles."""
    if acres <= LEAST_ACRES:
        return f"{acres * SQUARE_FEET_PER_ACRE:,.4g} square feet"
    if acres < ACRES_PER_SQUARE_MILE:
        return f"{acres:,.1f} acres"
    return f"{acres / ACRES_PER_SQUARE_MILE:,.0f} square miles"


def _overlaps(operation: Operation) -> Iterator[Flaw]:
    """Yield outlines that lie over an earlier one of the same contract, or of another under the same crop."""
    crops = {contract.name: contract.crop.casefold() for contract in operation.contracts}
    sound: list[tuple[int, Block, Polygon]] = []
    for index, block in enumerate(operation.blocks):
        polygon, trouble = polygon_from_wkt(block.outline) if block.outline is not None else (None, "")
        if polygon is not None and not trouble:
            sound.append((index, block, polygon))
    tree = shapely.STRtree([polygon for _, _, polygon in sound])
    for index, block, polygon in sound:
        for place in sorted(int(one) for one in tree.query(polygon, predicate="intersects")):
            earlier, other, ground = sound[place]
            same = other.contract == block.contract or crops.get(other.contract) == crops.get(block.contract)
            if earlier >= index or not same:
                continue
            shared = sum(polygon_acres(one) for one in _polygons(polygon.intersection(ground)))
            if shared > OVERLAP_SHARE * min(polygon_acres(polygon), polygon_acres(ground)):
                whose = "" if other.contract == block.contract else f" of '{other.contract}'"
                yield Flaw(
                    table="blocks",
                    index=index,
                    column="outline",
                    found=f"an outline with {_ground_words(shared)} of block {shown(other.name)}{whose} in it",
                    allowed="ground that no other block has",
                    uses=("contract", "contracts.crop", "blocks.outline"),
                )
