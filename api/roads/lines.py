"""The lines of measured ways as GeoJSON, RFC 7946: WGS 84, longitude first."""

import json
from collections.abc import Sequence
from typing import Any

from routing.roads.join import OnTheWay
from routing.roads.line import points_of_text
from routing.roads.measured import Pair, Way


def lines_geojson(met: Sequence[OnTheWay]) -> bytes:
    """Return the line of every way of every vehicle that has one."""
    features = [
        _feature(pair, way, one) for one in met for pair, way in one.measured.ways.items() if way.shape
    ]
    return json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False).encode()


def _feature(pair: Pair, way: Way, met: OnTheWay) -> dict[str, Any]:
    points = points_of_text(way.shape).round(6)
    told = {"origin": pair[0], "destination": pair[1], "trucks": ", ".join(met.measured.vehicle.trucks),
            "miles": round(way.miles, 2), "minutes": round(way.minutes, 1), "basis": met.measured.basis}  # fmt: skip
    # A line has two points or more, also where both places meet the road at one.
    line = [[east, north] for north, east in points.tolist()]
    shape = {"type": "LineString", "coordinates": line * 2 if len(line) == 1 else line}
    return {"type": "Feature", "properties": told, "geometry": shape}
