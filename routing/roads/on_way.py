"""Which signs stand on which ways: the line of a way against the lines of the roads that bear a sign."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from routing.roads.line import Points, points_of_text
from routing.roads.measured import Pair, Way
from routing.roads.sign import Sign

NEAR_M = 0.5
"""A way and a road of the same map share their points, to the rounding of six decimals of a degree."""
ALONG_M = 2.0
"""A way that begins or ends within a stretch of road goes along it at least so far."""
DEGREE_M = 111_320.0
AT_ONCE = 500
"""Ways drawn together: thousands of long ones would fill the memory."""


@dataclass(frozen=True)
class Passing:
    """A sign and the ways that pass it."""

    sign: Sign
    ways: tuple[Pair, ...]


def passings(signs: Sequence[Sign], ways: Mapping[Pair, Way]) -> tuple[Passing, ...]:
    """Return the signs that stand on a way, each with the ways that pass it, in the order of ``signs``.

    Parameters
    ----------
    signs
        Signs of the map that the ways were found on.
    ways
        The ways; one without a line passes nothing.

    Notes
    -----
    A stretch of a signed road, from one point of the map to the next, is on a way when both its ends and its middle
    lie on the way's line: a way that crosses over or under it touches it in one point only. A way begins and ends
    within a stretch; it is on that one when it goes on along it. A gate is a single point. Lengths are taken on a
    plane whose longitudes are shrunk by the cosine of the middle latitude.
    """
    pairs = [pair for pair, way in ways.items() if way.shape]
    if not signs or not pairs:
        return ()
    shrink = math.cos(math.radians(sum(sign.at[0] for sign in signs) / len(signs)))
    pieces, owner = _pieces(signs, shrink)
    tree = shapely.STRtree(shapely.line_interpolate_point(pieces, 0.5, normalized=True))
    whole = shapely.STRtree(pieces)
    on: dict[int, set[int]] = defaultdict(set)
    for begin in range(0, len(pairs), AT_ONCE):
        lines = [_plane(points_of_text(ways[pair].shape), shrink) for pair in pairs[begin : begin + AT_ONCE]]
        drawn = _drawn(lines)
        for way, piece in (*_whole_pieces(tree, pieces, drawn), *_pieces_at_ends(whole, pieces, drawn)):
            on[int(owner[piece])].add(begin + int(way))
    return tuple(Passing(signs[index], tuple(pairs[one] for one in sorted(on[index]))) for index in sorted(on))


def _pieces(signs: Sequence[Sign], shrink: float) -> tuple[Any, Any]:
    """Return every stretch of every signed road, and the number of the sign that each belongs to."""
    pieces: list[Any] = []
    owner: list[int] = []
    for number, sign in enumerate(signs):
        points = _plane(np.array(sign.line), shrink)
        ends = np.stack((points[:-1], points[1:]), axis=1) if len(points) > 1 else np.stack((points, points), axis=1)
        pieces.append(shapely.linestrings(ends))
        owner += [number] * len(ends)
    return np.concatenate(pieces), np.array(owner)


def _drawn(lines: Sequence[Points]) -> Any:
    # A way within one point of the road is drawn as a line of no length.
    whole = [np.repeat(line, 2, axis=0) if len(line) == 1 else line for line in lines]
    return shapely.linestrings(np.concatenate(whole), indices=np.repeat(np.arange(len(whole)), [len(one) for one in whole]))


def _whole_pieces(middles: shapely.STRtree, pieces: Any, ways: Any) -> Iterator[tuple[int, int]]:
    """Yield way and stretch where the way goes along all of the stretch."""
    way, piece = middles.query(ways, predicate="dwithin", distance=NEAR_M)
    ends = (shapely.get_point(pieces[piece], place) for place in (0, -1))
    both = np.logical_and(*(shapely.dwithin(end, ways[way], NEAR_M) for end in ends))
    yield from zip(way[both], piece[both], strict=True)


def _pieces_at_ends(tree: shapely.STRtree, pieces: Any, ways: Any) -> Iterator[tuple[int, int]]:
    """Yield way and stretch where the way begins or ends within the stretch and goes along it."""
    lengths = shapely.length(ways)
    for from_m, further_m in ((0.0 * lengths, np.minimum(ALONG_M, lengths)), (lengths, np.maximum(lengths - ALONG_M, 0.0))):
        first, second = (shapely.line_interpolate_point(ways, at_m) for at_m in (from_m, further_m))
        way, piece = tree.query(first, predicate="dwithin", distance=NEAR_M)
        long_enough = np.minimum(lengths[way], shapely.length(pieces[piece])) >= ALONG_M
        along = shapely.dwithin(second[way], pieces[piece], NEAR_M) & long_enough
        yield from zip(way[along], piece[along], strict=True)


def _plane(points: Points, shrink: float) -> Points:
    """Return points east and north. [m]"""
    return np.column_stack((points[:, 1] * DEGREE_M * shrink, points[:, 0] * DEGREE_M))
