"""The land about an orchard on a chart: tracks, water, houses, hazards and what hives keep away from. No colour needed."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import LineString, MultiLineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from routing.inputs.land import LandFeature
from routing.sheets import chart as paper
from routing.sheets.chart import MILES_PER_DEGREE, Chart

Floats = NDArray[np.float64]

HATCH = {
    "water": (0.0, 4.0), "wet ground": (0.0, 8.0), "shade": (90.0, 4.0), "steep ground": (45.0, 6.0),
    "competing bloom": (60.0, 12.0), "no entry": (-45.0, 5.0),
}  # fmt: skip
"""Angle and step of the hatching of each kind of ground. [deg, drawing units]"""
DANGERS = ("hazard", "no entry", "steep ground")
BUILDINGS = ("house", "school", "livestock")
SMALL = 7.0
"""Half the side of a mark. [drawing units]"""
FEET_PER_MILE = 5280.0


@dataclass(frozen=True)
class LandMark:
    """A feature drawn on the chart, and where its name goes."""

    drawn: str
    at: tuple[float, float]
    name: str
    spots: tuple[tuple[float, float], ...]
    """Along its lines, that labels leave free when they can."""


def land_marks(chart: Chart, features: Sequence[LandFeature]) -> tuple[list[LandMark], list[LandFeature]]:
    """Return what falls on the chart, ground first, then lines, then points; and the features that fall beyond it."""
    frame = box(1, 1, chart.width - 1, chart.height - 1)
    on_paper, beyond = [], []
    for feature in features:
        shape = on_chart(chart, shapely.from_wkt(feature.shape)).intersection(frame)
        if shape.is_empty:
            beyond.append(feature)
        else:
            on_paper.append((_layer(shape), feature, shape))
    order = sorted(on_paper, key=lambda one: one[0])
    return [_mark(feature, shape) for _, feature, shape in order], beyond


def on_chart(chart: Chart, shape: BaseGeometry) -> BaseGeometry:
    """Return a shape in degrees, longitude first, in drawing units."""
    def drawn(points: Floats) -> Floats:
        return np.array([chart.at((latitude, longitude)) for longitude, latitude in points]).reshape(-1, 2)

    return shapely.transform(shapely.force_2d(shape), drawn)


def kept_clear_rings(chart: Chart, feature: LandFeature, buffer_ft: float) -> str:
    """Return the rim of the ground that hives keep clear of, dotted."""
    if buffer_ft <= 0.0:
        return ""
    frame = box(1, 1, chart.width - 1, chart.height - 1)
    reach = buffer_ft / FEET_PER_MILE * chart.scale
    around = on_chart(chart, shapely.from_wkt(feature.shape)).buffer(reach, quad_segs=10).boundary.intersection(frame)
    return _path(_lines(around), 'stroke-width="1.2" stroke-dasharray="1.2 3.2" stroke-linecap="round"')


def direction_words(chart: Chart, feature: LandFeature) -> str:
    """Return how far and which way a feature lies from the middle of the chart, ``0.8 mi NE``."""
    spot = shapely.from_wkt(feature.shape).representative_point()
    east = (spot.x - chart.middle[1]) * MILES_PER_DEGREE * math.cos(math.radians(chart.middle[0]))
    north = (spot.y - chart.middle[0]) * MILES_PER_DEGREE
    points = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
    return f"{math.hypot(east, north):.1f} mi {points[round(math.degrees(math.atan2(east, north)) / 45.0) % 8]}"


def _layer(shape: BaseGeometry) -> int:
    return {2: 0, 1: 1, 0: 2}[shapely.get_dimensions(shape).item()]


def _mark(feature: LandFeature, shape: BaseGeometry) -> LandMark:
    middle = shape.representative_point()
    at = (middle.x, middle.y)
    if feature.kind == "track":
        return LandMark(_track(shape), _along(shape), feature.name, tuple(_spots(shape)))
    name = feature.name if feature.kind in feature.name.casefold() else f"{feature.kind}: {feature.name}"
    drawn = _area(feature.kind, shape) if _layer(shape) == 0 else ""
    if _layer(shape) == 1:
        drawn = _path(_lines(shape), 'stroke-width="2" stroke-dasharray="9 3 2 3"')
    return LandMark(drawn + _sign(feature.kind, *at, lone=_layer(shape) == 2), at, name, tuple(_spots(shape)))


def _track(shape: BaseGeometry) -> str:
    # Two thin edges with white between: a black line is an outline, a white one a way.
    lines = _lines(shape)
    return _path(lines, 'stroke-width="5"') + _path(lines, 'stroke-width="3"', stroke="white")


def _area(kind: str, shape: BaseGeometry) -> str:
    parts = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]
    rims = [LineString(ring.coords) for part in parts for ring in (part.exterior, *part.interiors)]
    angle, step = HATCH.get(kind, (45.0, 5.0))
    hatching = [line for part in parts for line in _hatching(part, angle, step=step)]
    return _path(hatching, 'stroke-width="0.6"') + _path(rims, 'stroke-width="1.2"')


def _hatching(area: Polygon, angle_deg: float, *, step: float) -> Iterator[LineString]:
    west, south, east, north = area.bounds
    middle = ((west + east) / 2.0, (south + north) / 2.0)
    reach = math.hypot(east - west, north - south) / 2.0
    count = int(reach // step)
    level = [
        LineString([(middle[0] - reach, middle[1] + number * step), (middle[0] + reach, middle[1] + number * step)])
        for number in range(-count, count + 1)
    ]
    turned = affinity.rotate(MultiLineString(level), angle_deg, origin=middle)
    yield from _lines(turned.intersection(area))


def _sign(kind: str, x: float, y: float, *, lone: bool) -> str:
    """Return the mark of a place: a triangle with ! for a danger, a house for what people or stock live in, else a square."""
    if kind in DANGERS:
        return warning(x, y)
    if kind in BUILDINGS:
        roof = f"M{x - SMALL:.1f} {y + SMALL:.1f} v-8 l{SMALL:g} -7 l{SMALL:g} 7 v8 z"
        flag = f'<path d="M{x:.1f} {y - SMALL:.1f} v-8 h7 v4 h-7" {paper.LINE} stroke-width="1.2"/>' if kind == "school" else ""
        letter = paper.text(x - 3.5, y + 5, "L", size=9) if kind == "livestock" else ""
        return f'<path d="{roof}" fill="white" stroke="black" stroke-width="1.6"/>{flag}{letter}'
    if not lone:
        return ""
    square = f'x="{x - 5:.1f}" y="{y - 5:.1f}" width="10" height="10"'
    return f'<rect {square} fill="white" stroke="black" stroke-width="1.6"/>'


def warning(x: float, y: float) -> str:
    """Return a triangle with an exclamation mark."""
    sign = f'<path d="M{x:.1f} {y - 9:.1f} l9 16 h-18 z" fill="white" stroke="black" stroke-width="1.5"/>'
    bar = f'<path d="M{x:.1f} {y - 3:.1f} v5" {paper.LINE} stroke-width="2"/>'
    return f'{sign}{bar}<circle cx="{x:.1f}" cy="{y + 4.5:.1f}" r="1.2" {paper.SOLID}/>'


def _lines(shape: BaseGeometry) -> list[LineString]:
    return [part for part in shapely.get_parts(shape).tolist() if isinstance(part, LineString)]


def _path(lines: Sequence[LineString], style: str, *, stroke: str = "black") -> str:
    ways = "".join("M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in line.coords) for line in lines)
    return f'<path d="{ways}" fill="none" stroke="{stroke}" {style}/>' if ways else ""


def _along(shape: BaseGeometry) -> tuple[float, float]:
    longest = max(_lines(shape), key=lambda line: line.length, default=None)
    spot: Point = longest.interpolate(0.5, normalized=True) if longest is not None else shape.representative_point()
    return spot.x, spot.y


def _spots(shape: BaseGeometry) -> Iterator[tuple[float, float]]:
    for line in _lines(shape):
        for step in range(int(line.length // 8) + 1):
            spot = line.interpolate(step * 8.0)
            yield spot.x, spot.y
