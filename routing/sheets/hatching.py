"""Hatching that tells drops apart without colour: drawn line by line, so that all renderers show it alike."""

import math

STEP = 5.0
KINDS = 7
"""Different hatchings; after the last they begin again, the number beside them goes on."""


def hatched(x: float, y: float, *, width: float, height: float, kind: int) -> str:
    """Return a hatched rectangle with its outline; kinds 1 to 7, 1 is plain white, later ones begin again."""
    lines = _LINES[(kind - 1) % KINDS](width, height)
    path = "".join(f"M{x + x1:.1f} {y + y1:.1f}L{x + x2:.1f} {y + y2:.1f}" for x1, y1, x2, y2 in lines)
    size = f'width="{width:.1f}" height="{height:.1f}"'
    box = f'<rect x="{x:.1f}" y="{y:.1f}" {size} fill="white" stroke="black"/>'
    return box + (f'<path d="{path}" fill="none" stroke="black" stroke-width="0.6"/>' if path else "")


Line = tuple[float, float, float, float]


def _plain(_width: float, _height: float) -> list[Line]:
    return []


def _rising(width: float, height: float) -> list[Line]:
    """Return lines that rise to the right, cut at the edges."""
    lines = []
    for step in range(1, math.ceil((width + height) / STEP)):
        at = step * STEP
        lines.append((max(0.0, at - height), min(at, height), min(at, width), max(0.0, at - width)))
    return lines


def _falling(width: float, height: float) -> list[Line]:
    return [(x1, height - y1, x2, height - y2) for x1, y1, x2, y2 in _rising(width, height)]


def _level(width: float, height: float) -> list[Line]:
    return [(0.0, step * STEP, width, step * STEP) for step in range(1, math.ceil(height / STEP))]


def _upright(width: float, height: float) -> list[Line]:
    return [(step * STEP, 0.0, step * STEP, height) for step in range(1, math.ceil(width / STEP))]


def _crossed(width: float, height: float) -> list[Line]:
    return _rising(width, height) + _falling(width, height)


def _squared(width: float, height: float) -> list[Line]:
    return _level(width, height) + _upright(width, height)


_LINES = (_plain, _rising, _level, _crossed, _upright, _falling, _squared)
