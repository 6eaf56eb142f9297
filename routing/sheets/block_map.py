"""The map of one orchard, for the sheet and the page: blocks, tracks, drops numbered, gates, hazards, north, scale. No tiles."""

from collections.abc import Mapping, Sequence

import shapely

from routing.drops.ground import buffer_of
from routing.inputs.contract import Block, Drop, Gate
from routing.inputs.land import BUFFER_FIGURES, LandFeature
from routing.inputs.operation import Operation
from routing.sheets import chart as paper
from routing.sheets.chart import Box, Chart, Point, fit_chart, room_around
from routing.sheets.land_marks import FEET_PER_MILE, LandMark, direction_words, kept_clear_rings, land_marks, on_chart
from routing.sheets.map_figure import outline_polygons, outline_rings

WIDE, HIGH = 640.0, 480.0
FAR_MILES = 0.5
"""Land farther than this from every block, gate and drop is told in words, not drawn."""
MOST_BEYOND = 4
LINE_HIGH = 15.0


def block_map(operation: Operation, contract_name: str, *, hives: Mapping[str, int] | None = None) -> str:
    """Return the map of one orchard as SVG; empty when neither a drop nor an outline is known.

    Parameters
    ----------
    operation
        With the contract's gates, blocks, drops and land.
    contract_name
        Of the contract.
    hives
        At each drop, by its name; left out, the most that it may hold.

    Returns
    -------
    str
        Black on white. A diamond is a drop with its number and hives, black when hives are set down there; bars
        between posts are a gate; a white way is a track; dots rim the ground that hives keep clear of.
    """
    blocks = [block for block in operation.blocks if block.contract == contract_name and block.outline]
    drops = [drop for drop in operation.drops if drop.contract == contract_name]
    gates = [gate for gate in operation.gates if gate.contract == contract_name]
    features = [feature for feature in operation.land_features if feature.contract == contract_name]
    if not blocks and not drops:
        return ""
    chart = _chart(blocks, drops, gates, features)
    marks, beyond = land_marks(chart, features)
    rims = [kept_clear_rings(chart, one, buffer_of(operation, one)) for one in features if one.kind in BUFFER_FIGURES]
    counts = dict(hives) if hives is not None else {drop.name: drop.most_hives for drop in drops}
    parts = [mark.drawn for mark in marks if not _is_track(mark)]
    parts += [_outline(chart, block) for block in blocks]
    parts += [mark.drawn for mark in marks if _is_track(mark)] + rims
    told = _beyond(chart, beyond)
    parts += _named(chart, blocks=blocks, drops=drops, gates=gates, marks=marks, told=told, hives=counts)
    parts += [paper.text(10, chart.height - 42 - LINE_HIGH * row, line, size=12) for row, line in enumerate(told)]
    parts += [paper.north_arrow(chart.width - 22, 58), paper.scale_bar(chart, unit="ft", per_mile=FEET_PER_MILE)]
    return paper.svg(chart, parts, title=f"{contract_name} from above: blocks, tracks, gates, drops and hazards")


def _is_track(mark: LandMark) -> bool:
    return 'stroke="white"' in mark.drawn


def _chart(blocks: Sequence[Block], drops: Sequence[Drop], gates: Sequence[Gate], features: Sequence[LandFeature]) -> Chart:
    points: list[Point] = [(gate.latitude_deg, gate.longitude_deg) for gate in gates]
    points += [(drop.latitude_deg, drop.longitude_deg) for drop in drops]
    points += [point for block in blocks for ring in outline_rings(block.outline) for point in ring]
    middle = fit_chart(points, width=WIDE, height=HIGH, margin=54, least_mi=0.08)
    near = _near(middle, features)
    return fit_chart([*points, *near], width=WIDE, height=HIGH, margin=54, least_mi=0.08)


def _near(chart: Chart, features: Sequence[LandFeature]) -> list[Point]:
    """Return points of the features that lie so near that the map is widened to show them."""
    frame = shapely.box(0, 0, chart.width, chart.height).buffer(FAR_MILES * chart.scale / 4.0)
    found: list[Point] = []
    for feature in features:
        shape = shapely.from_wkt(feature.shape)
        if feature.kind != "competing bloom" and frame.covers(on_chart(chart, shape)):
            found += [(latitude, longitude) for longitude, latitude in shapely.get_coordinates(shape)]
    return found


def _outline(chart: Chart, block: Block) -> str:
    rings = [ring for shape in outline_polygons(block.outline or "") for ring in (shape.exterior, *shape.interiors)]
    drawn = []
    for ring in rings:
        corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in (chart.at((north, east)) for east, north, *_ in ring.coords))
        drawn.append(f'<polygon points="{corners}" fill="none" stroke="black" stroke-width="1.6" stroke-dasharray="7 3"/>')
    return "".join(drawn)


def _named(
    chart: Chart, *, blocks: Sequence[Block], drops: Sequence[Drop], gates: Sequence[Gate], marks: Sequence[LandMark],
    told: Sequence[str], hives: Mapping[str, int],
) -> list[str]:  # fmt: skip
    """Return the gates and drops drawn, and every name at a spot where it covers little."""
    spots = [(chart.at((gate.latitude_deg, gate.longitude_deg)), _gate) for gate in gates]
    names = [f"other gate: {gate.name}" if number else f"GATE {gate.name}" for number, gate in enumerate(gates)]
    for drop in drops:
        held = hives.get(drop.name, 0)
        spots.append((chart.at((drop.latitude_deg, drop.longitude_deg)), _full if held else _empty))
        names.append(f"{drop.name}: {held}" if held else drop.name)
    taken = [room_around(*at, 10) for at, _ in spots]
    taken += [room_around(*mark.at, 9) for mark in marks if not _is_track(mark)]
    taken += [Box(chart.width - 40, 0, chart.width, 66), Box(0, chart.height - 34, chart.width / 3 + 40, chart.height)]
    if told:
        wide = 10 + 6.4 * max(len(line) for line in told)
        taken.append(Box(0, chart.height - 40 - LINE_HIGH * len(told), wide, chart.height - 34))
    lines = [room_around(*spot, 4) for mark in marks for spot in mark.spots]
    drawn = [draw(*at) for at, draw in spots]
    wanted = [(at, name, 13.0) for (at, _), name in zip(spots, names, strict=True)]
    wanted += [(mark.at, mark.name, 11.0) for mark in marks]
    for at, name, reach in wanted:
        label, room = paper.label(chart, taken, at, content=name, reach=reach, lines=lines)
        taken.append(room)
        drawn.append(label)
    return drawn + [_block_name(chart, block, taken + lines) for block in blocks]


def _block_name(chart: Chart, block: Block, taken: Sequence[Box]) -> str:
    """Return the block's name and acres in the widest free part of the block."""
    whole = max((on_chart(chart, one) for one in outline_polygons(block.outline or "")), key=lambda one: one.area)
    free = whole.difference(shapely.union_all([shapely.box(one.left, one.top, one.right, one.bottom) for one in taken]))
    parts = [one for one in shapely.get_parts(free) if one.area > 0.0] or [whole]
    spot = shapely.maximum_inscribed_circle(max(parts, key=lambda one: one.area), tolerance=1.0).coords[0]
    return paper.text(spot[0], spot[1] + 4, f"{block.name}, {block.acres:g} ac", size=12, style='text-anchor="middle"')


def _gate(x: float, y: float) -> str:
    posts = f"M{x - 8:.1f} {y - 8:.1f} v16 M{x + 8:.1f} {y - 8:.1f} v16"
    bars = f"M{x - 8:.1f} {y - 4:.1f} h16 M{x - 8:.1f} {y + 4:.1f} h16"
    return f'<path d="{posts}" {paper.LINE} stroke-width="4"/><path d="{bars}" {paper.LINE} stroke-width="1.5"/>'


def _full(x: float, y: float) -> str:
    return _diamond(x, y, "black")


def _empty(x: float, y: float) -> str:
    return _diamond(x, y, "white")


def _diamond(x: float, y: float, fill: str) -> str:
    return f'<path d="M{x:.1f} {y - 9:.1f} l9 9 l-9 9 l-9 -9 z" fill="{fill}" stroke="black" stroke-width="2"/>'


def _beyond(chart: Chart, features: Sequence[LandFeature]) -> list[str]:
    lines = [f"beyond the map: {one.kind} {one.name}, {direction_words(chart, one)}" for one in features]
    more = len(lines) - MOST_BEYOND
    return [*lines[:MOST_BEYOND], f"and {more} more beyond the map"] if more > 0 else lines
