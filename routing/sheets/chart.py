"""Ground to paper: a flat chart of a few miles, true in aspect at its middle latitude, drawn as SVG parts.

Black on white only: shape and number carry the meaning, never colour.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from routing.sheets.words import printable

Point = tuple[float, float]
"""Latitude and longitude, WGS 84. [deg, deg]"""

# Length of a degree of latitude on the mean sphere of radius 6,371.0088 km (IUGG 1980, from memory).
MILES_PER_DEGREE = 6371.0088 / 1.609344 * math.pi / 180
FONT = "Atkinson Hyperlegible, Verdana, Arial, sans-serif"
SOLID = 'fill="black" stroke="none"'
LINE = 'fill="none" stroke="black"'


@dataclass(frozen=True)
class Chart:
    """A sheet of ``width`` x ``height`` drawing units with the ground laid on it."""

    width: float
    height: float
    middle: Point
    scale: float
    """Drawing units to a mile."""

    def at(self, point: Point) -> tuple[float, float]:
        """Return where ``point`` falls on the paper, x to the right and y down."""
        east_mi = (point[1] - self.middle[1]) * MILES_PER_DEGREE * math.cos(math.radians(self.middle[0]))
        north_mi = (point[0] - self.middle[0]) * MILES_PER_DEGREE
        return self.width / 2 + east_mi * self.scale, self.height / 2 - north_mi * self.scale


def fit_chart(
    points: Sequence[Point], *, width: float, height: float, margin: float, least_mi: float
) -> Chart:
    """Return the chart on which all ``points`` fit inside the margins, with one scale for both directions.

    Parameters
    ----------
    points
        At least one. [deg]
    width, height, margin
        Of the paper. [drawing units]
    least_mi
        Least ground across the chart, so that points close together are not blown up. > 0. [mi]
    """
    south, north = min(p[0] for p in points), max(p[0] for p in points)
    west, east = min(p[1] for p in points), max(p[1] for p in points)
    middle = ((south + north) / 2, (west + east) / 2)
    across_mi = max((east - west) * MILES_PER_DEGREE * math.cos(math.radians(middle[0])), least_mi)
    up_mi = max((north - south) * MILES_PER_DEGREE, least_mi * height / width)
    scale = min((width - 2 * margin) / across_mi, (height - 2 * margin) / up_mi)
    return Chart(width=width, height=height, middle=middle, scale=scale)


def svg(chart: Chart, parts: Sequence[str], *, title: str) -> str:
    """Return the whole figure with a frame and a title for those who cannot see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {chart.width:g} {chart.height:g}" '
        f'width="{chart.width:g}" height="{chart.height:g}" role="img">'
        f"<title>{words(title)}</title>"
        f'<rect x="0.5" y="0.5" width="{chart.width - 1:g}" height="{chart.height - 1:g}" '
        f'fill="white" stroke="black"/>'
        f"{''.join(parts)}</svg>"
    )


def words(text: str) -> str:
    """Return ``text`` safe inside SVG."""
    return escape(printable(text))


def text(x: float, y: float, content: str, *, size: float = 13, style: str = "") -> str:
    """Return one line of text on a white rim, so that it reads over lines. ``y`` is its baseline."""
    place = f'x="{x:.1f}" y="{y:.1f}" font-family="{FONT}" font-size="{size:g}" {style}'
    body = words(content)
    # Two layers, since not every renderer knows paint-order.
    rim = 'fill="white" stroke="white" stroke-width="3" stroke-linejoin="round" aria-hidden="true"'
    return f'<text {place} {rim}>{body}</text><text {place} fill="black">{body}</text>'


def north_arrow(x: float, y: float) -> str:
    """Return an arrow up with its N, its foot at ``x``, ``y``."""
    arrow = f'<path d="M{x:g} {y - 34:g} l-7 16 h5 v18 h4 v-18 h5 z" {SOLID}/>'
    return arrow + text(x - 4.5, y - 38, "N", size=14, style='font-weight="bold"')


def scale_bar(chart: Chart, *, unit: str, per_mile: float) -> str:
    """Return a bar of a round length, at most a third of the chart wide, at its lower left."""
    longest = chart.width / 3 / chart.scale * per_mile
    power = 10 ** math.floor(math.log10(longest))
    length = max(step * power for step in (1, 2, 5) if step * power <= longest)
    across = length / per_mile * chart.scale
    x, y = 14.0, chart.height - 14
    way = f"M{x:g} {y - 6:g} v6 h{across:.1f} v-6 M{x + across / 2:.1f} {y:g} v-4"
    return f'<path d="{way}" {LINE} stroke-width="2"/>' + text(x + 4, y - 9, f"{length:g} {unit}", size=12)


@dataclass(frozen=True)
class Box:
    """Room taken on the paper."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Return whether the two share room."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def shared(self, other: "Box") -> float:
        """Return the area that the two share; 0 when they do not meet. [drawing units squared]"""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(0.0, across) * max(0.0, down)


def room_around(x: float, y: float, reach: float) -> Box:
    """Return the room of a mark that reaches ``reach`` each way."""
    return Box(x - reach, y - reach, x + reach, y + reach)


def label(
    chart: Chart, taken: Sequence[Box], at: tuple[float, float], *, content: str, reach: float,
    lines: Sequence[Box] = (),
) -> tuple[str, Box]:
    """Return a label beside a mark, at the first of many spots where it covers nothing.

    Parameters
    ----------
    taken
        Room that marks and earlier labels hold.
    at
        Middle of the mark.
    content
        Text of the label; shortened to 30 characters.
    reach
        Distance from the middle of the mark to the label. [drawing units]
    lines
        Room of lines, which a label leaves free when it can; a label may cover them, never marks and labels,
        unless no spot is left.
    """  # fmt: skip
    size = 13.0
    shown = content if len(content) <= 30 else content[:28].rstrip() + "..."
    wide, high = 0.56 * size * len(shown), size
    spots = [
        (_beside(at, side, reach=away * reach, wide=wide, high=high), away) for away in _AWAY for side in _SIDES
    ]
    inside = [
        spot
        for spot in spots
        if spot[0].left >= 2 and spot[0].right <= chart.width - 2
        and spot[0].top >= 2 and spot[0].bottom <= chart.height - 2
    ]  # fmt: skip
    best, away = min(
        inside or spots,
        key=lambda spot: (_covered(spot[0], taken), _covered(spot[0], lines) + _APART * (spot[1] - 1)),
    )
    drawn = text(best.left, best.bottom - 0.2 * high, shown, size=size)
    return (_leader(at, best, reach=reach) if away > 1.5 else "") + drawn, best


_APART = 150.0
"""What a label pays for standing apart from its mark, in area of lines covered: about one line crossed."""
_AWAY = (1.0, 1.5, 2.2, 3.0, 4.0)
_SIDES = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1))


def _covered(box: Box, others: Sequence[Box]) -> float:
    return sum(box.shared(other) for other in others)


def _leader(at: tuple[float, float], box: Box, *, reach: float) -> str:
    """Return a thin line from the rim of the mark to a label that stands away from it."""
    x, y = min(max(at[0], box.left), box.right), min(max(at[1], box.top), box.bottom)
    away = math.hypot(x - at[0], y - at[1]) or 1.0
    share = min(1.0, 0.7 * reach / away)
    start = f"{at[0] + (x - at[0]) * share:.1f} {at[1] + (y - at[1]) * share:.1f}"
    return f'<path d="M{start} L{x:.1f} {y:.1f}" {LINE} stroke-width="0.7"/>'


def _beside(at: tuple[float, float], side: tuple[int, int], *, reach: float, wide: float, high: float) -> Box:
    x = at[0] + side[0] * (reach + wide / 2)
    y = at[1] + side[1] * (reach + high / 2)
    return Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
