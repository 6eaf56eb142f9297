"""The plan on a map as GeoJSON, RFC 7946: WGS 84, longitude first, outer rings counter-clockwise.

https://www.rfc-editor.org/rfc/rfc7946 sections 3.1.6 (right-hand rule), 4 (coordinate reference system),
11.2 (precision); from memory.
"""

import json
from collections.abc import Iterator, Sequence

import shapely

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


def _ground_features(operation: Operation) -> Iterator[dict[str, object]]:
    for block in operation.blocks:
        for polygon in outline_polygons(block.outline) if block.outline else []:
            rings = shapely.orient_polygons(polygon)
            coordinates = [
                [_position(latitude, longitude) for longitude, latitude, *_ in ring.coords]
                for ring in (rings.exterior, *rings.interiors)
            ]
            about = {"kind": "block", "contract": block.contract, "name": block.name, "acres": block.acres}
            yield _feature({"type": "Polygon", "coordinates": coordinates}, about)
    for gate in operation.gates:
        about = {"kind": "gate", "contract": gate.contract, "name": gate.name, "note": gate.note}
        yield _feature(_point(gate.latitude_deg, gate.longitude_deg), about)
    for drop in operation.drops:
        about = {"kind": "stake", "contract": drop.contract, "name": drop.name, "most_hives": drop.most_hives}
        yield _feature(_point(drop.latitude_deg, drop.longitude_deg), {**about, "note": drop.note})


def _feature(geometry: dict[str, object], properties: dict[str, object]) -> dict[str, object]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _point(latitude_deg: float, longitude_deg: float) -> dict[str, object]:
    return {"type": "Point", "coordinates": _position(latitude_deg, longitude_deg)}


def _position(latitude_deg: float, longitude_deg: float) -> list[float]:
    return [round(longitude_deg, DECIMALS), round(latitude_deg, DECIMALS)]
