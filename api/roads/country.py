"""Which country a map lies in, and a boundary of it where the map has none that closes.

The engine reads ``20 st`` as short tons only inside the boundary of the United States; elsewhere, and where an extract
cut the boundary off, it takes the 20 for metric tonnes, a tenth too much.
"""

from collections.abc import Sequence
from pathlib import Path

from api.roads.engine import need
from api.roads.errors import RoadsError
from routing.roads.sign import Point

UNITED_STATES = "US"
_UNITED_STATES = (
    (24.3, -125.1, 49.5, -66.8), (18.8, -160.6, 22.4, -154.7), (51.0, -180.0, 71.6, -129.9), (17.8, -67.4, 18.6, -65.1)
)  # fmt: skip
"""South, west, north, east: the lower 48, Hawaii, Alaska, Puerto Rico; generous, so that parts of neighbours lie inside."""
MARGIN_DEG = 0.5
FIRST_ID = 900_000_000_001
"""Beyond any number that a map gives: two files are read as one, and numbers that meet would be one point."""


def country_of(points: Sequence[Point], told: str | None, file_name: str) -> str:
    """Return the country of a map: the one told, else the United States when every point lies there.

    Raises
    ------
    RoadsError
        If no country is told and the map lies elsewhere, or the code is none.
    """
    if told is not None:
        if not (len(told) == 2 and told.isascii() and told.isalpha()):
            raise RoadsError(f"The country {told!r} is none, allowed: two letters as in ISO 3166-1, such as US or CA.")
        return told.upper()
    if all(any(_within(point, box) for box in _UNITED_STATES) for point in points):
        return UNITED_STATES
    outside = next(point for point in points if not any(_within(point, box) for box in _UNITED_STATES))
    raise RoadsError(
        f"{file_name}: found a road at latitude {outside[0]:.3f}, longitude {outside[1]:.3f}, outside the United States; "
        "name its country, by which weights on signs are read: --country and two letters, such as --country CA."
    )


def _within(point: Point, box: tuple[float, float, float, float]) -> bool:
    south, west, north, east = box
    return south <= point[0] <= north and west <= point[1] <= east


def write_boundary(country: str, box: tuple[float, float, float, float], file: Path) -> None:
    """Write a map of nothing but a boundary: a rectangle around ``box`` that is called ``country``."""
    need("osmium", "osmium")
    import osmium
    from osmium.osm import mutable

    south, west, north, east = box
    west, east = max(west - MARGIN_DEG, -179.9), min(east + MARGIN_DEG, 179.9)
    south, north = max(south - MARGIN_DEG, -89.0), min(north + MARGIN_DEG, 89.0)
    corners = ((west, south), (east, south), (east, north), (west, north))
    tags = {"type": "boundary", "boundary": "administrative", "admin_level": "2", "name": country, "ISO3166-1:alpha2": country,
            "ISO3166-1": country}  # fmt: skip
    file.unlink(missing_ok=True)
    with osmium.SimpleWriter(str(file)) as writer:
        ring = [FIRST_ID, FIRST_ID + 1, FIRST_ID + 2, FIRST_ID + 3]
        for number, place in zip(ring, corners, strict=True):
            writer.add_node(mutable.Node(id=number, location=place, version=1))
        writer.add_way(mutable.Way(id=FIRST_ID, nodes=[*ring, FIRST_ID], version=1))
        writer.add_relation(mutable.Relation(id=FIRST_ID, members=[("w", FIRST_ID, "outer")], tags=tags, version=1))
