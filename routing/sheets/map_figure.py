"""Figures of the ground: the night's route; one orchard with its gates, blocks and stakes. No map tiles."""

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely import Polygon, from_wkt
from shapely.geometry.base import BaseGeometry

from routing.inputs.contract import Gate
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.nights.tour import Stop, TruckNight
from routing.sheets import chart as paper
from routing.sheets.chart import Box, Chart, Point, fit_chart, room_around
from routing.sheets.land_marks import land_marks, warning
from routing.sheets.sheet_record import StakeLine

FEET_PER_MILE = 5280.0
_REACH = 13.0


def route_svg(operation: Operation, truck_night: TruckNight) -> str:
    """Return the route of one truck-night as SVG: numbered stops joined by straight lines, not by roads.

    Circles are yards, squares are orchards, a double circle is the base; a triangle with ``!`` marks a
    place whose hazards the sheet tells.
    """
    known = places(operation)
    spots: dict[str, list[Stop]] = {}
    for stop in truck_night.stops:
        spots.setdefault(stop.place, []).append(stop)
    points = {name: (known[name].latitude_deg, known[name].longitude_deg) for name in spots}
    chart = fit_chart(list(points.values()), width=520, height=360, margin=58, least_mi=1.0)
    taken = [room_around(*chart.at(point), _REACH) for point in points.values()]
    taken += [room_around(box.right + 1, box.top - 1, 10) for box in tuple(taken)]
    # Corners of the north arrow and of the scale bar.
    taken += [
        Box(chart.width - 40, 0, chart.width, 64),
        Box(0, chart.height - 34, chart.width / 3 + 60, chart.height),
    ]
    way = [points[stop.place] for stop in truck_night.stops]
    lines = [room_around(*spot, 4) for spot in _along(chart, way)]
    parts = [_legs(chart, way)]
    for name, stops in spots.items():
        parts.append(_spot(chart.at(points[name]), stops, danger=bool(_hazards(operation, name))))
    for name, point in points.items():
        drawn, box = paper.label(chart, taken, chart.at(point), content=name, reach=_REACH + 5, lines=lines)
        taken.append(box)
        parts.append(drawn)
    parts += [paper.north_arrow(chart.width - 22, 56), paper.scale_bar(chart, unit="mi", per_mile=1.0)]
    return paper.svg(
        chart, parts, title=f"Route of {truck_night.id}; lines join the stops and are not the roads"
    )


def _hazards(operation: Operation, name: str) -> str:
    told = {row.name: row.hazards for row in operation.yards} | {
        row.name: row.hazards for row in operation.contracts
    }
    return told.get(name, "")


def _legs(chart: Chart, points: Sequence[Point]) -> str:
    drawn = []
    for begin, end in pairwise(points):
        (x1, y1), (x2, y2) = chart.at(begin), chart.at(end)
        length = math.hypot(x2 - x1, y2 - y1)
        if length > 2 * _REACH:
            drawn.append(_leg(x1, y1, x2=x2, y2=y2, length=length))
    return "".join(drawn)


def _along(chart: Chart, points: Sequence[Point]) -> list[tuple[float, float]]:
    # Spots on the way that a label should leave free; the arrow is half way.
    spots = []
    for begin, end in pairwise(points):
        (x1, y1), (x2, y2) = chart.at(begin), chart.at(end)
        length = math.hypot(x2 - x1, y2 - y1) or 1.0
        bend = min(16.0, length / 8) * 2
        count = max(2, round(length / 7))
        for share in (index / count for index in range(1, count)):
            aside = bend * share * (1 - share) / length
            spots.append(
                (x1 + (x2 - x1) * share - (y2 - y1) * aside, y1 + (y2 - y1) * share + (x2 - x1) * aside)
            )
    return spots


def _leg(x1: float, y1: float, *, x2: float, y2: float, length: float) -> str:
    # A leg bends a little to its right, so that the way out and the way back both show.
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    bend = min(16.0, length / 8)
    cx, cy = (x1 + x2) / 2 - uy * bend, (y1 + y2) / 2 + ux * bend
    line = (
        f'<path d="M{x1:.1f} {y1:.1f} Q{cx:.1f} {cy:.1f} {x2:.1f} {y2:.1f}" {paper.LINE} stroke-width="2"/>'
    )
    mx, my = (x1 + x2) / 4 + cx / 2, (y1 + y2) / 4 + cy / 2
    tip = f"{mx + 8 * ux:.1f} {my + 8 * uy:.1f}"
    left = f"{mx - 5 * ux - 6 * uy:.1f} {my - 5 * uy + 6 * ux:.1f}"
    right = f"{mx - 5 * ux + 6 * uy:.1f} {my - 5 * uy - 6 * ux:.1f}"
    return f'{line}<path d="M{tip} L{left} L{right} z" {paper.SOLID}/>'


def _spot(at: tuple[float, float], stops: Sequence[Stop], *, danger: bool) -> str:
    x, y = at
    style = 'fill="white" stroke="black" stroke-width="2.5"'
    base = any(stop.kind == "base" for stop in stops)
    if stops[0].kind == "orchard":
        shape = f'<rect x="{x - 12:.1f}" y="{y - 12:.1f}" width="24" height="24" {style}/>'
    else:
        shape = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{15 if base else 13}" {style}/>'
        if base:
            shape += f'<circle cx="{x:.1f}" cy="{y:.1f}" r="11.5" {paper.LINE} stroke-width="1"/>'
    numbers = ",".join(str(stop.number) for stop in stops if stop.number or len(stops) == 1)
    size = 14 if len(numbers) <= 2 else 10 if len(numbers) <= 4 else 8
    bold = 'text-anchor="middle" font-weight="bold"'
    shape += paper.text(x, y + size * 0.36, numbers, size=size, style=bold)
    return shape + (warning(x + 14, y - 14) if danger else "")


def orchard_svg(operation: Operation, contract: str, stakes: Sequence[StakeLine]) -> str:
    """Return one orchard from above as SVG: blocks outlined, tracks, hazards, gates, stakes with the hives of this stop.

    Empty when nothing but the gate is known, since a lone point shows nothing.
    """
    gates = [gate for gate in operation.gates if gate.contract == contract]
    drops = [drop for drop in operation.drops if drop.contract == contract]
    rings = [
        ring
        for block in operation.blocks
        if block.contract == contract
        for ring in outline_rings(block.outline)
    ]
    if not drops and not rings:
        return ""
    points = [(gate.latitude_deg, gate.longitude_deg) for gate in gates]
    points += [(drop.latitude_deg, drop.longitude_deg) for drop in drops]
    points += [point for ring in rings for point in ring]
    chart = fit_chart(points, width=280, height=158, margin=30, least_mi=0.05)
    hives = {stake.name: stake.set_down or stake.fetched for stake in stakes}
    marks = [(drop.name, (drop.latitude_deg, drop.longitude_deg)) for drop in drops]
    land, _ = land_marks(chart, [one for one in operation.land_features if one.contract == contract])
    parts = [mark.drawn for mark in land] + [_ring(chart, ring) for ring in rings]
    lines = [room_around(*spot, 4) for ring in rings for spot in _outline_spots(chart, ring)]
    lines += [room_around(*spot, 3) for mark in land for spot in mark.spots] + [room_around(*mark.at, 9) for mark in land]
    parts += _stakes_and_gates(chart, marks, gates, hives=hives, lines=lines)
    parts.append(paper.text(8, 16, "stake: hives", size=12))
    parts += [
        paper.north_arrow(chart.width - 20, 56),
        paper.scale_bar(chart, unit="ft", per_mile=FEET_PER_MILE),
    ]
    return paper.svg(chart, parts, title=f"{contract} from above: gates, blocks and stakes")


def _stakes_and_gates(
    chart: Chart, marks: Sequence[tuple[str, Point]], gates: Sequence[Gate], *, hives: dict[str, int],
    lines: Sequence[Box],
) -> list[str]:
    spots = [chart.at((gate.latitude_deg, gate.longitude_deg)) for gate in gates] + [
        chart.at(point) for _, point in marks
    ]
    taken = [room_around(*spot, 9) for spot in spots]
    taken += [
        Box(0, 0, 84, 22),
        Box(chart.width - 38, 0, chart.width, 64),
        Box(0, chart.height - 34, chart.width / 3 + 40, chart.height),
    ]
    parts: list[str] = []
    # The truck's gate is named beside the figure.
    names = [f"other gate: {gate.name}" if index else "TRUCK gate" for index, gate in enumerate(gates)]
    names += [f"{name}: {hives[name]}" if hives.get(name) else name for name, _ in marks]
    for index, ((x, y), name) in enumerate(zip(spots, names, strict=True)):
        parts.append(
            _gate(x, y)
            if index < len(gates)
            else _stake(x, y, used=bool(hives.get(marks[index - len(gates)][0])))
        )
        drawn, box = paper.label(chart, taken, (x, y), content=name, reach=12, lines=lines)
        taken.append(box)
        parts.append(drawn)
    return parts


def _gate(x: float, y: float) -> str:
    left, right, top = x - 8, x + 8, y - 8
    posts = f"M{left:.1f} {top:.1f} v16 M{right:.1f} {top:.1f} v16"
    bars = f"M{left:.1f} {top + 4:.1f} h16 M{left:.1f} {top + 12:.1f} h16"
    return (
        f'<path d="{posts}" {paper.LINE} stroke-width="4"/><path d="{bars}" {paper.LINE} stroke-width="1.5"/>'
    )


def _stake(x: float, y: float, *, used: bool) -> str:
    fill = "black" if used else "white"
    return (
        f'<path d="M{x:.1f} {y - 8:.1f} l8 8 l-8 8 l-8 -8 z" fill="{fill}" stroke="black" stroke-width="2"/>'
    )


def _outline_spots(chart: Chart, ring: Sequence[Point]) -> list[tuple[float, float]]:
    # Spots along an outline, some 6 units apart, that a label should leave free.
    spots = []
    for begin, end in pairwise(ring):
        (x1, y1), (x2, y2) = chart.at(begin), chart.at(end)
        count = max(1, round(math.hypot(x2 - x1, y2 - y1) / 6))
        spots += [(x1 + (x2 - x1) * step / count, y1 + (y2 - y1) * step / count) for step in range(count)]
    return spots


def _ring(chart: Chart, ring: Sequence[Point]) -> str:
    corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in (chart.at(point) for point in ring))
    return (
        f'<polygon points="{corners}" fill="none" stroke="black" stroke-width="1.5" stroke-dasharray="6 3"/>'
    )


def outline_rings(outline: str | None) -> list[list[Point]]:
    """Return each ring, outer or hole, of a block's WKT outline as latitude and longitude."""
    return [] if not outline else [
        [(latitude, longitude) for longitude, latitude, *_ in ring.coords]
        for polygon in outline_polygons(outline)
        for ring in (polygon.exterior, *polygon.interiors)
    ]  # fmt: skip


def outline_polygons(outline: str) -> list[Polygon]:
    """Return the polygons of a block's WKT outline, longitude first as it was written."""
    shape: BaseGeometry = from_wkt(outline)
    parts = getattr(shape, "geoms", [shape])
    return [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
