"""The plan on a map as GeoJSON, RFC 7946: WGS 84, longitude first, outer rings counter-clockwise.

https://www.rfc-editor.org/rfc/rfc7946 sections 3.1.6 (right-hand rule), 4 (coordinate reference system),
11.2 (precision); from memory.
"""

import json
from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from routing.inputs.operation import Operation
from routing.sheets.map_figure import outline_polygons
from routing.sheets.sheet_record import DropSheet, StopSheet

DECIMALS = 7
"""About a centimetre on the ground."""


def plan_geojson(operation: Operation, sheets: Sequence[DropSheet]) -> bytes:
    """Return routes, stops, blocks, gates and stakes as one FeatureCollection, UTF-8."""
    features: list[dict[str, object]] = []
    for sheet in sheets:
        features += _night_features(sheet)
    features += _ground_features(operation)
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, indent=1).encode("utf-8")


def ground_geojson(operation: Operation, contract: str | None = None) -> bytes:
    """Return blocks, land, gates and drops of one contract, or of all, as one FeatureCollection, UTF-8.

    Read back as a map by ``api.files.maps``, it brings the same ground.
    """
    features = [
        feature for feature in _ground_features(operation, drop_kind="drop") if contract in (None, _about(feature)["contract"])
    ]
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, indent=1).encode("utf-8")


def _about(feature: dict[str, object]) -> dict[str, object]:
    about = feature["properties"]
    return about if isinstance(about, dict) else {}


def _night_features(sheet: DropSheet) -> Iterator[dict[str, object]]:
    line = [_position(stop.latitude_deg, stop.longitude_deg) for stop in sheet.stops]
    about = {
        "truck_night": sheet.id,
        "truck": sheet.truck,
        "night": sheet.night.isoformat(),
        "driver": sheet.driver,
    }
    yield _feature({"type": "LineString", "coordinates": line}, {"kind": "route", **about})
    for stop in sheet.stops:
        yield _feature(
            _point(stop.latitude_deg, stop.longitude_deg), {"kind": "stop", **about, **_stop(stop)}
        )


def _stop(stop: StopSheet) -> dict[str, object]:
    return {
        "stop": stop.number,
        "place": stop.place,
        "place_kind": stop.kind,
        "arrive": stop.arrive.isoformat(),
        "leave": stop.leave.isoformat(),
        "hives_picked_up": stop.picked_up_hives,
        "hives_set_down": stop.set_down_hives,
        "hives_on_deck_after": stop.on_deck_after,
        "hazards": stop.hazards,
    }


def _ground_features(operation: Operation, *, drop_kind: str = "stake") -> Iterator[dict[str, object]]:
    for block in operation.blocks:
        for polygon in outline_polygons(block.outline) if block.outline else []:
            about = {"kind": "block", "contract": block.contract, "name": block.name, "acres": block.acres}
            yield _feature(_geometry(polygon), about)
    for feature in operation.land_features:
        yield _feature(_geometry(shapely.from_wkt(feature.shape)), feature.model_dump(exclude={"shape"}))
    for gate in operation.gates:
        about = {"kind": "gate", "contract": gate.contract, "name": gate.name, "note": gate.note}
        yield _feature(_point(gate.latitude_deg, gate.longitude_deg), about)
    for drop in operation.drops:
        about = {"kind": drop_kind, "contract": drop.contract, "name": drop.name, "most_hives": drop.most_hives}
        yield _feature(_point(drop.latitude_deg, drop.longitude_deg), {**about, "note": drop.note})


def _geometry(shape: BaseGeometry) -> dict[str, object]:
    """Return a point, line or polygon with its positions rounded, outer rings counter-clockwise."""
    if isinstance(shape, Polygon):
        oriented = shapely.orient_polygons(shape)
        rings = [_positions(ring) for ring in (oriented.exterior, *oriented.interiors)]
        return {"type": "Polygon", "coordinates": rings}
    positions = _positions(shape)
    return {"type": shape.geom_type, "coordinates": positions[0] if shape.geom_type == "Point" else positions}


def _positions(shape: BaseGeometry) -> list[list[float]]:
    return [_position(latitude, longitude) for longitude, latitude, *_ in shape.coords]


def _feature(geometry: dict[str, object], properties: dict[str, object]) -> dict[str, object]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _point(latitude_deg: float, longitude_deg: float) -> dict[str, object]:
    return {"type": "Point", "coordinates": _position(latitude_deg, longitude_deg)}


def _position(latitude_deg: float, longitude_deg: float) -> list[float]:
    return [round(longitude_deg, DECIMALS), round(latitude_deg, DECIMALS)]
