"""Tracks as a network: what the truck can reach from its gate, and how far it is along them."""

from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra
from shapely.geometry import LineString, Point
from shapely.ops import nearest_points, substring

from routing.drops.problem import Floats

GRAIN_FT = 0.01
"""Ends of lines nearer than this are one."""


@dataclass(frozen=True)
class Piece:
    """A stretch of track from one meeting of tracks to the next."""

    name: str
    line: LineString
    begin: int
    end: int
    reached: bool
    """Can it be driven to from the gate?"""


@dataclass(frozen=True)
class Stand:
    """A point on a stretch of track."""

    piece: int
    along_ft: float


class TrackNet:
    """The tracks of one orchard joined to its gate."""

    def __init__(self, pieces: tuple[Piece, ...], ways: Floats, gate: int, gate_way_ft: float) -> None:
        self.pieces = pieces
        self._ways = ways
        self._gate = gate
        self.gate_way_ft = gate_way_ft
        """From the gate to the nearest track."""

    def from_gate_ft(self, stand: Stand) -> float:
        """Return the way from the gate to a stand; infinite when no track leads there."""
        return self.gate_way_ft + float(min(self._ways[self._gate, node] + ft for node, ft in self._ends(stand)))

    def between_ft(self, one: Stand, other: Stand) -> float:
        """Return the way along the tracks between two stands."""
        ways = [self._ways[a, b] + fa + fb for a, fa in self._ends(one) for b, fb in self._ends(other)]
        if one.piece == other.piece:
            ways.append(abs(one.along_ft - other.along_ft))
        return float(min(ways))

    def point(self, stand: Stand) -> Point:
        """Return where a stand is on the grid."""
        return self.pieces[stand.piece].line.interpolate(stand.along_ft)

    def _ends(self, stand: Stand) -> tuple[tuple[int, float], tuple[int, float]]:
        piece = self.pieces[stand.piece]
        return (piece.begin, stand.along_ft), (piece.end, piece.line.length - stand.along_ft)


def track_net(
    tracks: tuple[tuple[str, LineString], ...], gate: Point, *, join_ft: float
) -> TrackNet:
    """Return the network of tracks.

    Parameters
    ----------
    tracks
        Name and line of each, at least one. [ft]
    gate
        Where the truck comes in; the nearest track is driven from it, however far it is.
    join_ft
        Ends this near to another track meet it.
    """
    lines = _joined(tracks, join_ft)
    noded = shapely.get_parts(shapely.node(shapely.union_all(lines)))
    names = _names(noded, tracks)
    start = min(noded, key=lambda line: line.distance(gate))
    on_track, _ = nearest_points(start, gate)
    pieces, nodes = _pieces(noded, names, on_track)
    ways = _shortest(pieces, len(nodes))
    gate_node = nodes[_key(on_track)]
    reached = tuple(
        Piece(one.name, one.line, one.begin, one.end, bool(np.isfinite(ways[gate_node, one.begin]))) for one in pieces
    )
    return TrackNet(reached, ways, gate_node, float(start.distance(gate)))


def _joined(tracks: tuple[tuple[str, LineString], ...], join_ft: float) -> list[LineString]:
    """Return the lines, with a link from each end to another track that it nearly meets."""
    lines = [line for _, line in tracks]
    links = []
    for place, line in enumerate(lines):
        others = lines[:place] + lines[place + 1 :]
        for end in (Point(line.coords[0]), Point(line.coords[-1])):
            near = _nearest(others, end)
            if near is not None and 0.0 < near.distance(end) <= join_ft:
                links.append(LineString([end, nearest_points(near, end)[0]]))
    # A link ends on a track only to within rounding: the track gets a corner there.
    corners = shapely.MultiPoint([Point(link.coords[-1]) for link in links])
    snapped = [shapely.snap(line, corners, GRAIN_FT) for line in lines] if links else lines
    return [*snapped, *links]


def _names(noded: "np.ndarray[tuple[int], np.dtype[np.object_]]", tracks: tuple[tuple[str, LineString], ...]) -> list[str]:
    lines = {id(line): name for name, line in tracks}
    middles = [line.interpolate(0.5, normalized=True) for line in noded]
    return [lines[id(_nearest([line for _, line in tracks], at))] for at in middles]


def _nearest(lines: list[LineString], point: Point) -> LineString | None:
    return min(lines, key=lambda line: line.distance(point), default=None)


def _pieces(
    noded: "np.ndarray[tuple[int], np.dtype[np.object_]]", names: list[str], gate: Point
) -> tuple[list[Piece], dict[tuple[int, int], int]]:
    nodes: dict[tuple[int, int], int] = {}
    pieces = []
    for line, name in zip(noded, names, strict=True):
        for part in _cut(line, gate):
            ends = [nodes.setdefault(_key(Point(part.coords[at])), len(nodes)) for at in (0, -1)]
            pieces.append(Piece(name, part, ends[0], ends[1], False))
    nodes.setdefault(_key(gate), len(nodes))
    return pieces, nodes


def _cut(line: LineString, at: Point) -> list[LineString]:
    """Return the line in two where the gate's way meets it, or whole."""
    along = line.project(at)
    if line.distance(at) > GRAIN_FT or along < GRAIN_FT or along > line.length - GRAIN_FT:
        return [line]
    cut = (substring(line, 0.0, along), substring(line, along, line.length))
    return [part for part in cut if isinstance(part, LineString)]


def _key(point: Point) -> tuple[int, int]:
    return round(point.x / GRAIN_FT / 10), round(point.y / GRAIN_FT / 10)


def _shortest(pieces: list[Piece], count: int) -> Floats:
    shortest: dict[tuple[int, int], float] = {}
    for piece in pieces:
        pair = (min(piece.begin, piece.end), max(piece.begin, piece.end))
        shortest[pair] = min(shortest.get(pair, np.inf), piece.line.length)
    rows, columns = zip(*shortest, strict=True)
    graph = csr_array((list(shortest.values()), (rows, columns)), shape=(count, count))
    ways: Floats = dijkstra(graph, directed=False)
    return ways
