"""Places where a drop may stand: beside a track that the gate leads to, off the ground that hives keep away from."""

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon

from routing.drops.drop import LeftOut, SitingError
from routing.drops.ground import Ground
from routing.drops.problem import Floats
from routing.drops.tracks import Stand, TrackNet, track_net

CLOSEST_FT = 25.0
"""Places nearer to each other than this are one place."""
NEAR_BLOCK_FT = 330.0
"""Tracks farther from every block than this lead there, they are not in the orchard."""
SUN_FROM_DEG = (80.0, 145.0)
"""East to south-east, where the morning sun comes from in bloom."""
MOST_TRACKS = 400
"""Of one orchard; each is compared with each, to find where they meet."""
NO_TRACK = "on a track that does not join the gate"


@dataclass(frozen=True)
class Candidate:
    """A place where a drop may stand."""

    point: Point
    track: str
    stand: Stand | None
    """Where on the tracks; None when none are known and it stands on the edge of a block."""
    morning_sun: bool


@dataclass(frozen=True)
class Places:
    """All candidates of an orchard, and what was ruled out."""

    candidates: tuple[Candidate, ...]
    net: TrackNet | None
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]

    @property
    def points(self) -> Floats:
        """[candidates x 2], feet."""
        return np.array([(one.point.x, one.point.y) for one in self.candidates])


def places_of(ground: Ground, *, gate_join_ft: float, track_join_ft: float, shade_reach_ft: float, most: int) -> Places:
    """Return the candidates of an orchard, at most about ``most``, evenly spaced along its tracks.

    Raises
    ------
    SitingError
        If no track begins near a gate, or no place is left.
    """
    net, notes = _network(ground, gate_join_ft=gate_join_ft, track_join_ft=track_join_ft)
    lines = _lines(ground, net)
    near = shapely.union_all([field.outline for field in ground.fields]).buffer(NEAR_BLOCK_FT)
    length = sum(line.intersection(near).length for _, line, _ in lines)
    step = max(CLOSEST_FT, length / max(1, most - len(lines)))
    ruled_out: Counter[str] = Counter()
    found = []
    for name, line, piece in lines:
        for along in _steps(line.length, step):
            point = line.interpolate(along)
            why = _ruled_out(ground, point, near=near, reached=piece is None or net is None or net.pieces[piece].reached)
            if why is None:
                sun = _has_morning_sun(point, ground, shade_reach_ft)
                found.append(Candidate(point, name, None if piece is None else Stand(piece, along), sun))
            elif why:
                ruled_out[why] += 1
    kept = _one_each(found)
    left_out = tuple(LeftOut(reason=why, points=count) for why, count in ruled_out.most_common())
    if not kept:
        reasons = "; ".join(f"{one.points} {one.reason}" for one in left_out) or "no track comes near a block"
        raise SitingError(
            f"{ground.contract.name}: no place is left where a drop may stand: {reasons}."
            " Draw more tracks, or give a feature its own buffer_ft."
        )
    return Places(tuple(kept), net, left_out, notes)


def _network(ground: Ground, *, gate_join_ft: float, track_join_ft: float) -> tuple[TrackNet | None, tuple[str, ...]]:
    if not ground.tracks:
        note = (
            "No tracks are given: drops stand on the edges of the blocks, and whether a forklift reaches them is not known."
            " Draw the tracks (kind 'track') and site again."
        )
        return None, (note,)
    if len(ground.tracks) > MOST_TRACKS:
        given = f"{ground.contract.name}: {len(ground.tracks):,} tracks are given"
        raise SitingError(f"{given}, at most {MOST_TRACKS} can be looked at.")
    gate = min(ground.gates, key=lambda one: min(line.distance(one) for _, line in ground.tracks))
    net = track_net(ground.tracks, ground.gates[0], join_ft=track_join_ft)
    if net.gate_way_ft <= gate_join_ft:
        return net, ()
    net = track_net(ground.tracks, gate, join_ft=track_join_ft)
    if net.gate_way_ft > gate_join_ft:
        raise SitingError(
            f"{ground.contract.name}: no track begins within {gate_join_ft:g} ft of a gate; the nearest is"
            f" {net.gate_way_ft:,.0f} ft away. Draw the track to the gate, or move the gate."
        )
    return net, ("No track joins the first gate: drops are reached from another gate than the truck's.",)


def _lines(ground: Ground, net: TrackNet | None) -> list[tuple[str, LineString, int | None]]:
    if net is not None:
        return [(piece.name, piece.line, place) for place, piece in enumerate(net.pieces)]
    return [("", LineString(field.outline.exterior.coords), None) for field in ground.fields]


def _steps(length_ft: float, step_ft: float) -> list[float]:
    """Return places along a line, evenly, both its ends among them."""
    count = max(1, math.ceil(length_ft / step_ft))
    return [length_ft * step / count for step in range(count + 1)]


def _ruled_out(ground: Ground, point: Point, *, near: Polygon, reached: bool) -> str | None:
    """Return why no drop may stand here; None when one may, empty when it is no part of the orchard."""
    if not near.covers(point):
        return ""
    if not reached:
        return NO_TRACK
    for one in ground.keep_off:
        if one.shape.distance(point) < one.buffer_ft or (one.buffer_ft == 0.0 and one.shape.intersects(point)):
            return one.words
    return None


def _has_morning_sun(point: Point, ground: Ground, reach_ft: float) -> bool:
    if not ground.shade or reach_ft <= 0.0:
        return True
    bearings = np.radians(np.linspace(*SUN_FROM_DEG, 8))
    rim = [(point.x + reach_ft * math.sin(one), point.y + reach_ft * math.cos(one)) for one in bearings]
    fan = Polygon([(point.x, point.y), *rim])
    return not any(fan.intersects(shape) for shape in ground.shade)


def _one_each(found: list[Candidate]) -> list[Candidate]:
    """Return the candidates without those that stand where another one does: ends of tracks that meet."""
    kept: list[Candidate] = []
    if not found:
        return kept
    tree = shapely.STRtree([one.point for one in found])
    gone: set[int] = set()
    for place, one in enumerate(found):
        if place not in gone:
            kept.append(one)
            gone |= {int(other) for other in tree.query(one.point, predicate="dwithin", distance=CLOSEST_FT / 2)}
    return kept

