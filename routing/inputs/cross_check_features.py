"""Land about an orchard: shapes of the right kind, near their gate."""

from collections import defaultdict
from collections.abc import Iterator

import shapely
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

from routing.inputs.contract import Gate
from routing.inputs.cross_check_outlines import FARTHEST_GATE_MILES, SWAPPED_MILES, in_degrees_trouble, miles_between
from routing.inputs.faults import Flaw, shown
from routing.inputs.land import LandFeature
from routing.inputs.operation import Operation

FARTHEST_BLOOM_MILES = 15.0
"""Competing bloom and neighbours who spray are worth marking farther off than what a truck drives round."""
_FAR_KINDS = ("competing bloom", "spray neighbour")
_A_SHAPE = "a point, line or polygon as WKT, longitude first, that does not cross itself"


def feature_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield shapes on the land that cannot be."""
    gates: dict[str, list[Gate]] = defaultdict(list)
    for gate in operation.gates:
        gates[gate.contract].append(gate)
    for index, feature in enumerate(operation.land_features):
        yield from _feature(index, feature, gates[feature.contract])


def shape_from_wkt(text: str) -> tuple[BaseGeometry | None, str]:
    """Return the shape that WKT describes, or None and what is wrong with it in words."""
    try:
        shape = shapely.from_wkt(text)
    except (GEOSException, ValueError, TypeError):
        return None, f"{shown(text)}, which is not WKT"
    if shape is None or shape.is_empty:
        return None, "nothing" if shape is None else f"an empty {shape.geom_type.lower()}"
    if shape.geom_type not in ("Point", "LineString", "Polygon"):
        return None, f"a {shape.geom_type.lower()}"
    trouble = in_degrees_trouble(shape)
    if not trouble and shape.geom_type == "Polygon" and not shape.is_valid:
        trouble = "a polygon that crosses or touches itself"
    if not trouble and shape.geom_type == "LineString" and shape.length == 0:
        trouble = "a line of no length"
    return (None, trouble) if trouble else (shape, "")


def kind_trouble(kind: str, shape_type: str) -> str:
    """Return which shape a kind of land needs when it is not this one; empty when it may be."""
    if kind == "track" and shape_type != "LineString":
        return "a line: a track is driven from one end to the other"
    if kind in ("wet ground", "steep ground", "no entry", "competing bloom") and shape_type != "Polygon":
        return f"a polygon: {kind} covers ground"
    return ""


def _feature(index: int, feature: LandFeature, gates: list[Gate]) -> Iterator[Flaw]:
    def flaw(found: str, allowed: str, *uses: str) -> Flaw:
        return Flaw(table="land_features", index=index, column="shape", found=found, allowed=allowed, uses=uses)

    shape, trouble = shape_from_wkt(feature.shape)
    if shape is None:
        yield flaw(trouble, _A_SHAPE)
        return
    needs = kind_trouble(feature.kind, shape.geom_type)
    if needs:
        yield flaw(f"a {shape.geom_type.lower()} as {feature.kind}", needs, "kind")
    most = FARTHEST_BLOOM_MILES if feature.kind in _FAR_KINDS else FARTHEST_GATE_MILES
    away = min((miles_between(shape, gate) for gate in gates), default=0.0)
    if away > most:
        swapped = "; in WKT longitude comes first" if away > SWAPPED_MILES else ""
        found = f"a shape {away:,.1f} miles from the nearest gate of '{feature.contract}'"
        yield flaw(found, f"at most {most:g} miles{swapped}", "contract", "gates")
