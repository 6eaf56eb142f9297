"""What a map says to trucks: every sign on a road, a gate or a ferry line, with its place; read once, kept with the tiles."""

import gzip
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from api.roads.engine import need
from api.roads.errors import RoadsError
from routing.roads.line import points_of_text, text_of_line
from routing.roads.sign import Point, Sign, is_heard, sign_kind

if TYPE_CHECKING:
    from osmium.osm import Node, Way

SIGNS = "signs.json.gz"
ROADS = (
    "motorway", "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "living_street", "service", "track",
    "motorway_link", "trunk_link", "primary_link", "secondary_link", "tertiary_link", "road", "busway",
)  # fmt: skip
MOST_SAMPLES = 2000
"""Roads of which a point is kept, to know where the map lies."""


@dataclass(frozen=True)
class Scan:
    """What was read of a map."""

    signs: tuple[Sign, ...]
    roads: int
    """Roads that a vehicle may use, as the map parts them."""
    points: tuple[Point, ...]
    """Points on some of these roads, spread over the file."""

    @property
    def box(self) -> tuple[float, float, float, float]:
        """South, west, north, east of the points. [deg]"""
        north, east = zip(*self.points, strict=True)
        return min(north), min(east), max(north), max(east)


@dataclass(frozen=True)
class _Tagged:
    key: str
    value: str
    road: str
    nodes: tuple[int, ...]
    place: Point | None


def scan_map(file: Path) -> Scan:
    """Return the signs of a map and where it lies.

    Raises
    ------
    RoadsError
        If the file cannot be read as an OpenStreetMap extract, or holds no road.
    """
    need("osmium", "osmium")
    try:
        tagged, roads, samples = _tagged(file)
        at = _places(file, {node for one in tagged for node in one.nodes} | set(samples))
    except RuntimeError as error:
        allowed = "an OpenStreetMap extract, .osm.pbf"
        raise RoadsError(f"{file.name}: found a file that cannot be read as a map ({error}), allowed: {allowed}.") from error
    points = tuple(at[node] for node in samples if node in at)
    if not points:
        raise RoadsError(f"{file.name}: found no road in it, allowed: an extract that holds the roads of your region.")
    return Scan(tuple(_signs(tagged, at)), roads, points)


def _tagged(file: Path) -> tuple[list[_Tagged], int, list[int]]:
    found: list[_Tagged] = []
    roads, samples, step = 0, list[int](), 1
    for one in ways_of(file, "highway", "route"):
        tags = {tag.k: tag.v for tag in one.tags}
        ferry = tags.get("route") == "ferry"
        if tags.get("highway") not in ROADS and not ferry:
            continue
        if not ferry:
            roads += 1
            if roads % step == 0 and len(one.nodes):
                samples += [one.nodes[0].ref, one.nodes[len(one.nodes) // 2].ref, one.nodes[-1].ref]
            if len(samples) >= MOST_SAMPLES:
                samples, step = samples[::2], step * 2
        told = [(key, value) for key, value in tags.items() if sign_kind(key, value)]
        if told:
            nodes = tuple(node.ref for node in one.nodes)
            found += [_Tagged(key, value, tags.get("name") or tags.get("ref") or "", nodes, None) for key, value in told]
    return found + list(_bars(file)), roads, samples


def _bars(file: Path) -> Iterator[_Tagged]:
    """Yield the limits that stand on a point: a bar over the road, a gate, a weight limit at one end."""
    import osmium

    keys = osmium.filter.KeyFilter("barrier", "maxheight", "maxweight", "maxwidth", "maxlength", "maxaxleload", "hgv")
    for one in _nodes(file, keys):
        tags = {tag.k: tag.v for tag in one.tags}
        place = (one.location.lat, one.location.lon)
        for key, value in tags.items():
            if sign_kind(key, value) not in (None, "ferry"):
                yield _Tagged(key, value, tags.get("name", ""), (), place)
        if tags.get("barrier") == "height_restrictor" and "maxheight" not in tags:
            yield _Tagged("maxheight", "not told", tags.get("name", ""), (), place)


def _places(file: Path, nodes: set[int]) -> dict[int, Point]:
    import osmium

    if not nodes:
        return {}
    wanted = osmium.filter.IdFilter(sorted(nodes))
    return {one.id: (one.location.lat, one.location.lon) for one in _nodes(file, wanted) if one.location.valid()}


def ways_of(file: Path, *keys: str) -> "Iterator[Way]":
    """Yield the ways of a map that have one of the keys."""
    import osmium

    for one in osmium.FileProcessor(str(file), osmium.osm.WAY).with_filter(osmium.filter.KeyFilter(*keys)):
        if isinstance(one, osmium.osm.Way):
            yield one


def _nodes(file: Path, wanted: object) -> "Iterator[Node]":
    import osmium

    for one in osmium.FileProcessor(str(file), osmium.osm.NODE).with_filter(wanted):
        if isinstance(one, osmium.osm.Node):
            yield one


def _signs(tagged: list[_Tagged], at: dict[int, Point]) -> Iterator[Sign]:
    for one in tagged:
        line = (one.place,) if one.place else tuple(at[node] for node in one.nodes if node in at)
        kind = sign_kind(one.key, one.value)
        if line and kind:
            # What stands on a point of a road the engine does not hear at all.
            heard = is_heard(one.key, one.value) and one.place is None
            yield Sign(kind=kind, key=one.key, value=one.value, heard=heard, road=one.road, line=line)


def write_signs(signs: tuple[Sign, ...], folder: Path) -> None:
    """Keep the signs of a map beside its tiles."""
    rows = [[one.kind, one.key, one.value, one.heard, one.road, text_of_line(one.line)] for one in signs]
    (folder / SIGNS).write_bytes(gzip.compress(json.dumps(rows).encode(), mtime=0))


def read_signs(folder: Path) -> tuple[Sign, ...]:
    """Return the signs kept beside the tiles."""
    rows = json.loads(gzip.decompress((folder / SIGNS).read_bytes()))
    return tuple(
        Sign(kind=kind, key=key, value=value, heard=heard, road=road,
             line=tuple((float(a), float(b)) for a, b in points_of_text(line)))
        for kind, key, value, heard, road, line in rows
    )  # fmt: skip
