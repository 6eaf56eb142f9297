"""How cost, gap, time and memory grow with the size of an operation: four small charts as one SVG, plain strings."""

import math
from collections.abc import Sequence
from html import escape

from tests.benchmarks._record import Record
from tests.benchmarks._tours_operation import SIZES

PANELS = (
    ("over", "median cost over the cheapest plan [%]", 100.0, False),
    ("gap", "median proven gap [%]", 100.0, False),
    ("first_s", "median seconds to the first whole plan", 1.0, True),
    ("peak_mib", "median peak memory [MiB]", 1.0, True),
)
"""Column, heading, factor, logarithmic."""
WIDE, HIGH, LEFT, TOP, GAP = 330.0, 220.0, 60.0, 70.0, 90.0
DASHES = ("", "7 4", "2 3", "10 3 2 3")
Point = tuple[float, float]


def growth(rows: Sequence[Record]) -> str:
    """Return the SVG. Planners differ by the dash of their line and the shape of their mark, not by colour alone."""
    medians = [row for row in rows if row["seed"] == "median"]
    planners = list(dict.fromkeys(str(row["planner"]) for row in medians))
    width, height = 2 * (LEFT + WIDE) + GAP, TOP + 2 * (HIGH + GAP)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
        'font-family="sans-serif" font-size="12">',
        f'<rect width="{width:.0f}" height="{height:.0f}" fill="white"/>', *_legend(planners),
    ]  # fmt: skip
    for place, (column, heading, factor, logarithmic) in enumerate(PANELS):
        lines = {planner: _points(medians, planner, (column, factor)) for planner in planners}
        corner = (LEFT + place % 2 * (WIDE + GAP), TOP + place // 2 * (HIGH + GAP))
        parts += _panel(heading, lines, corner, logarithmic=logarithmic)
    return "\n".join([*parts, "</svg>", ""])


def _points(medians: Sequence[Record], planner: str, what: tuple[str, float]) -> list[Point]:
    column, factor = what
    return [
        (float(SIZES[str(row["size"])].colonies), factor * float(value)) for row in medians
        if row["planner"] == planner and (value := row.get(column)) is not None
    ]  # fmt: skip


def _legend(planners: Sequence[str]) -> list[str]:
    found = []
    for place, planner in enumerate(planners):
        x = LEFT + 150.0 * place
        found.append(f'<path d="M{x:.0f} 24h40" stroke="black" fill="none" stroke-dasharray="{DASHES[place % 4]}"/>')
        found.append(_mark(place, (x + 20.0, 24.0)))
        found.append(f'<text x="{x + 48:.0f}" y="28">{escape(planner)}</text>')
    return found


def _mark(place: int, at: Point) -> str:
    x, y = at
    shapes = (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="black"/>',
        f'<rect x="{x - 4:.1f}" y="{y - 4:.1f}" width="8" height="8" fill="white" stroke="black"/>',
        f'<path d="M{x:.1f} {y - 5:.1f}l5 9h-10z" fill="white" stroke="black"/>',
        f'<path d="M{x:.1f} {y - 5:.1f}l5 5-5 5-5-5z" fill="#888" stroke="black"/>',
    )
    return shapes[place % 4]


def _panel(heading: str, lines: dict[str, list[Point]], corner: Point, *, logarithmic: bool) -> list[str]:
    left, top = corner
    sizes = [float(one.colonies) for one in SIZES.values()]
    values = [value for points in lines.values() for _, value in points]
    low, high = _span(values, logarithmic=logarithmic)

    def at(point: Point) -> Point:
        across = (math.log(point[0]) - math.log(sizes[0])) / (math.log(sizes[-1]) - math.log(sizes[0]))
        ends = [math.log(max(one, low)) if logarithmic else one for one in (point[1], low, high)]
        up = (ends[0] - ends[1]) / (ends[2] - ends[1])
        return left + 14.0 + across * (WIDE - 28.0), top + HIGH - up * HIGH

    parts = [
        f'<text x="{left:.0f}" y="{top - 10:.0f}" font-weight="bold">{escape(heading)}</text>',
        f'<rect x="{left:.0f}" y="{top:.0f}" width="{WIDE:.0f}" height="{HIGH:.0f}" fill="none" stroke="#555"/>',
    ]
    for name, one in SIZES.items():
        x = at((float(one.colonies), high))[0]
        parts.append(f'<text x="{x:.1f}" y="{top + HIGH + 16:.0f}" text-anchor="middle">{name}: {one.colonies:,}</text>')
    for tick in _ticks(low, high, logarithmic=logarithmic):
        y = at((sizes[0], tick))[1]
        parts.append(f'<path d="M{left:.0f} {y:.1f}h{WIDE:.0f}" stroke="#ddd"/>')
        parts.append(f'<text x="{left - 6:.0f}" y="{y + 4:.1f}" text-anchor="end">{tick:,.4g}</text>')
    for place, points in enumerate(lines.values()):
        spots = [at(point) for point in points]
        if len(spots) > 1:
            path = "L".join(f"{x:.1f} {y:.1f}" for x, y in spots)
            parts.append(f'<path d="M{path}" stroke="black" fill="none" stroke-dasharray="{DASHES[place % 4]}"/>')
        parts += [_mark(place, spot) for spot in spots]
    if not values:
        parts.append(f'<text x="{left + WIDE / 2:.0f}" y="{top + HIGH / 2:.0f}" text-anchor="middle">nothing measured</text>')
    parts.append(f'<text x="{left + WIDE / 2:.0f}" y="{top + HIGH + 34:.0f}" text-anchor="middle">colonies</text>')
    return parts


def _span(values: Sequence[float], *, logarithmic: bool) -> tuple[float, float]:
    if logarithmic:
        low, high = max(min(values, default=1.0), 0.01), max(max(values, default=10.0), 0.1)
        return 10.0 ** math.floor(math.log10(low)), 10.0 ** math.ceil(math.log10(high) + 1e-9)
    return 0.0, max(max(values, default=0.0) * 1.05, 1.0)


def _ticks(low: float, high: float, *, logarithmic: bool) -> list[float]:
    if logarithmic:
        return [10.0**power for power in range(round(math.log10(low)), round(math.log10(high)) + 1)]
    step = 10.0 ** math.floor(math.log10(high / 4.0))
    step *= next(many for many in (1, 2, 5, 10) if high / (step * many) <= 6.0)
    return [step * number for number in range(int(high / step) + 1)]
