"""The lie of the land: places as points with what is to be known of them, for the map and for the table beside it."""

from collections.abc import Iterable, Sequence
from typing import Any

from api.pages.say import say
from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.sheets.map_figure import outline_polygons

Feature = dict[str, Any]
"""One feature of GeoJSON (RFC 7946); its properties are ``name``, ``kind`` and ``told``, a sentence for the map."""


def land_of(operation: Operation) -> tuple[Place, ...]:
    """Return every yard and orchard, in the order of their tables."""
    return tuple(places(operation).values())


def land_geojson(operation: Operation) -> Feature:
    """Return every yard and orchard as points."""
    return _collection(
        _point(one.name, one.kind, at=(one.latitude_deg, one.longitude_deg), told=_told(one)) for one in land_of(operation)
    )


def orchard_geojson(operation: Operation, contract: str, *, hives: dict[str, int]) -> Feature:
    """Return one orchard: its blocks as outlines, its gates, its stakes with the ``hives`` that stand at each."""
    features: list[Feature] = []
    for block in operation.blocks:
        if block.contract == contract and block.outline:
            features += [_outline(block.name, polygon) for polygon in outline_polygons(block.outline)]
    for gate in operation.gates:
        if gate.contract == contract:
            told = say("land.gate", name=gate.name, note=gate.note)
            features.append(_point(gate.name, "gate", at=(gate.latitude_deg, gate.longitude_deg), told=told))
    for drop in operation.drops:
        if drop.contract == contract:
            there = hives.get(drop.name, 0)
            told = say("land.stake", name=drop.name, hives=there, most=drop.most_hives, note=drop.note)
            features.append(_point(f"{drop.name}: {there}", "stake", at=(drop.latitude_deg, drop.longitude_deg), told=told))
    return _collection(features)


def _told(place: Place) -> str:
    return say(f"land.{place.kind}", name=place.name, access=place.access)


def _point(name: str, kind: str, *, at: tuple[float, float], told: str) -> Feature:
    geometry = {"type": "Point", "coordinates": [at[1], at[0]]}
    return {"type": "Feature", "properties": {"name": name, "kind": kind, "told": told}, "geometry": geometry}


def _outline(name: str, polygon: Any) -> Feature:
    rings = [[list(point[:2]) for point in ring.coords] for ring in (polygon.exterior, *polygon.interiors)]
    told = say("land.block", name=name)
    properties = {"name": name, "kind": "block", "told": told}
    return {"type": "Feature", "properties": properties, "geometry": {"type": "Polygon", "coordinates": rings}}


def _collection(features: Iterable[Feature]) -> Feature:
    found: Sequence[Feature] = list(features)
    return {"type": "FeatureCollection", "features": found}
