"""The judge of a siting: every figure anew from the operation, by other means than those that sited it.

Distances are geodesics on the ellipsoid; buffers are measured in the orchard's UTM zone; whether a track leads
to a drop is decided by areas about the tracks that touch each other, not by the network.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

import geopandas as gpd
import numpy as np
import shapely
from pyproj import Geod
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from routing.drops.drop import Share, SitedDrop, Siting
from routing.drops.ground import buffer_of, contract_named
from routing.drops.rules import SitingRules
from routing.finding import Finding, at_least, at_most, not_checked
from routing.inputs.constants import own_limit
from routing.inputs.land import BUFFER_FIGURES
from routing.inputs.operation import Operation
from routing.limits import Limit, rows

FEET_PER_METRE = 1.0 / 0.3048
ON_TRACK_FT = 5.0
ROUNDED_FT = 1.0
"""Coordinates are written to a centimetre; pieces of ground are compared at their middles."""
ROUNDED_HIVES = 0.01

_EARTH = Geod(ellps="WGS84")


def check_siting(operation: Operation, siting: Siting, rules: SitingRules) -> tuple[Finding, ...]:
    """Return the judge's findings on a siting, made by the program or by hand.

    Parameters
    ----------
    operation
        The land as given.
    siting
        Drops, hives, and which ground draws on which drop.
    rules
        What it must keep.
    """
    return (
        *_hives(operation, siting, rules),
        *_apart(siting, rules),
        *_keep_off(operation, siting),
        _on_tracks(operation, siting),
        *_evenness(operation, siting),
        *_advice(operation, siting),
    )


def _hives(operation: Operation, siting: Siting, rules: SitingRules) -> Iterator[Finding]:
    contract = contract_named(operation, siting.contract)
    practice = {"force": "practice", "unit": "hives", "source": "the contract and the figures of the operation"}
    down = float(sum(drop.hives for drop in siting.drops))
    yield at_least("hives set down", siting.contract, measured=down, limit=float(contract.colonies), **practice)
    yield at_most("hives set down, no more than that", siting.contract, measured=down, limit=float(contract.colonies), **practice)
    least, most = (_row(operation, name) for name in ("drop_least_hives", "drop_most_hives"))
    fewest, fullest = min(drop.hives for drop in siting.drops), max(drop.hives for drop in siting.drops)
    yield at_least("fewest hives at a drop", siting.contract, measured=fewest, limit=rules.least_hives, **_about(least))
    yield at_most("most hives at a drop", siting.contract, measured=fullest, limit=rules.most_hives, **_about(most))
    broken = sum(drop.hives % rules.unit_hives != 0 for drop in siting.drops)
    allowed = 1.0 if siting.hives % rules.unit_hives else 0.0
    note = f"a unit holds {rules.unit_hives}"
    yield at_most("drops with a unit that is not full", siting.contract, measured=broken, limit=allowed, note=note, **practice)


def _apart(siting: Siting, rules: SitingRules) -> Iterator[Finding]:
    pairs = [
        _feet(one, other) for place, one in enumerate(siting.drops) for other in siting.drops[place + 1 :]
    ]
    if pairs:
        # The grid and the ellipsoid agree to the inch; a centimetre is lost in writing coordinates.
        about = {"unit": "ft", "force": "practice", "source": "drop_spacing_ft"}
        yield at_least(
            "nearest two drops", siting.contract, measured=min(pairs) + 0.1, limit=rules.spacing_ft, **about
        )


def _keep_off(operation: Operation, siting: Siting) -> Iterator[Finding]:
    drops = _metric(siting, [_point(drop) for drop in siting.drops])
    for feature in operation.land_features:
        if feature.contract != siting.contract or feature.kind not in BUFFER_FIGURES:
            continue
        (shape,) = _metric(siting, [shapely.from_wkt(feature.shape)])
        away = min(_between(siting, shape, drop) for drop in drops)
        buffer = buffer_of(operation, feature)
        about = _about(_row(operation, BUFFER_FIGURES[feature.kind]))
        if feature.buffer_ft is not None:
            about |= {"force": "own figure", "source": "buffer_ft of the feature"}
        yield at_least(
            f"nearest drop to {feature.kind} '{feature.name}'", siting.contract, measured=away + 0.1, limit=buffer, **about
        )


def _on_tracks(operation: Operation, siting: Siting) -> Finding:
    lines = [
        shapely.from_wkt(one.shape) for one in operation.land_features if one.contract == siting.contract and one.kind == "track"
    ]
    what = "drops that a track leads to from the gate"
    if not lines:
        note = "no tracks are given: whether a forklift reaches the drops is not known"
        return not_checked(what, siting.contract, force="practice", source="the map given", note=note)
    join_m, gate_m = (_row(operation, name).value / FEET_PER_METRE for name in ("track_join_ft", "gate_join_ft"))
    tracks = _metric(siting, lines)
    gates = [Point(gate.longitude_deg, gate.latitude_deg) for gate in operation.gates if gate.contract == siting.contract]
    # Two tracks meet when the areas half the joining distance about them do.
    areas = shapely.get_parts(shapely.union_all([track.buffer(join_m / 2.0) for track in tracks]))
    near_gates = shapely.union_all([gate.buffer(gate_m) for gate in _metric(siting, gates)])
    joined = shapely.union_all([area for area in areas if area.intersects(near_gates)])
    along = shapely.union_all(tracks)
    drops = _metric(siting, [_point(drop) for drop in siting.drops])
    reached = sum(
        drop.distance(along) * FEET_PER_METRE <= ON_TRACK_FT and bool(joined.intersects(drop)) for drop in drops
    )
    about = {"unit": "drops", "force": "practice", "source": "the tracks of the map given"}
    return at_least(what, siting.contract, measured=float(reached), limit=float(len(drops)), **about)


def _evenness(operation: Operation, siting: Siting) -> Iterator[Finding]:
    drops = {drop.name: drop for drop in siting.drops}
    apart = np.array([_feet(share, drops[share.drop]) for share in siting.shares])
    hives = np.array([share.hives for share in siting.shares])
    mean = float((apart * hives).sum() / hives.sum())
    deviation = float(np.sqrt((hives * (apart - mean) ** 2).sum() / hives.sum()))
    told = siting.evenness
    worst = float(apart.max())
    figures = (("mean", told.mean_ft, mean), ("worst", told.worst_ft, worst), ("deviation", told.deviation_ft, deviation))
    off = max(abs(one - other) for _, one, other in figures)
    about = {"unit": "ft", "force": "standard", "source": "geodesics on the WGS 84 ellipsoid, from the shares of hives"}
    note = ", ".join(f"{name} {found:.0f}" for name, _, found in figures)
    yield at_most(
        "distance of acres to hives, told against measured anew",
        siting.contract,
        measured=off,
        limit=ROUNDED_FT,
        note=note,
        **about,
    )
    yield at_most(
        "hives that an acre draws, told against its share", siting.contract, measured=_uneven(siting), limit=ROUNDED_HIVES,
        unit="hives", force="practice", source="the same number of hives an acre",
    )  # fmt: skip
    held: dict[str, float] = defaultdict(float)
    for share in siting.shares:
        held[share.drop] += share.hives
    wrong = max(abs(held[drop.name] - drop.hives) for drop in siting.drops)
    yield at_most(
        "hives at a drop, told against what is drawn", siting.contract, measured=wrong, limit=ROUNDED_HIVES, unit="hives",
        force="practice", source="the sum of the shares",
    )  # fmt: skip


def _uneven(siting: Siting) -> float:
    """Return by how many hives a piece of ground has more or fewer than its acres' share, at most."""
    drawn: dict[tuple[str, float, float, float], float] = defaultdict(float)
    for share in siting.shares:
        drawn[share.block, share.latitude_deg, share.longitude_deg, share.acres] += share.hives
    acres = sum(key[3] for key in drawn)
    return max(abs(hives - siting.hives * key[3] / acres) for key, hives in drawn.items())


def _advice(operation: Operation, siting: Siting) -> Iterator[Finding]:
    reach, group = _row(operation, "acre_reach_ft"), _row(operation, "group_advice_hives")
    yield at_most(
        "farthest acre from its hives", siting.contract, measured=siting.evenness.worst_ft, limit=reach.value, **_about(reach)
    )
    fullest = max(drop.hives for drop in siting.drops)
    yield at_most("largest group of hives", siting.contract, measured=fullest, limit=group.value, **_about(group))
    yield from _stocking(operation, siting)
    for feature in operation.land_features:
        if feature.contract == siting.contract and feature.kind == "spray neighbour":
            spray = _row(operation, "spray_reach_mi")
            (shape,) = _metric(siting, [shapely.from_wkt(feature.shape)])
            miles = min(_between(siting, shape, drop) for drop in _metric(siting, [_point(one) for one in siting.drops])) / 5280.0
            note = "no drop is out of reach: agree with the neighbour on when they spray, whatever the buffer"
            about = {**_about(spray), "note": note if miles < spray.value else ""}
            yield at_least(f"hives to sprayed '{feature.name}'", siting.contract, measured=miles, limit=spray.value, **about)


def _stocking(operation: Operation, siting: Siting) -> Iterator[Finding]:
    crop = contract_named(operation, siting.contract).crop
    name = stocking_row(crop)
    low, high = (_row(operation, f"{name}_{end}") for end in ("low", "high"))
    dense = siting.hives / siting.acres
    yield at_least(f"hives an acre, {crop}", siting.contract, measured=dense, limit=low.value, **_about(low))
    if name != "stocking_any_crop":
        yield at_most(f"hives an acre, {crop}", siting.contract, measured=dense, limit=high.value, **_about(high))


def stocking_row(crop: str) -> str:
    """Return the name of the rows on hives an acre of a crop, without ``_low`` or ``_high``."""
    words = crop.casefold().replace("-", " ").split()
    known = [name.removesuffix("_low") for name in rows() if name.startswith("stocking_") and name.endswith("_low")]
    fit = [name for name in known if all(word in words for word in name.removeprefix("stocking_").split("_"))]
    return max(fit, key=len, default="stocking_any_crop")


def _row(operation: Operation, name: str) -> Limit:
    return own_limit(operation.constants, name)


def _about(row: Limit) -> dict[str, str]:
    return {"unit": row.unit, "force": row.force, "source": row.source}


def _point(drop: SitedDrop) -> Point:
    return Point(drop.longitude_deg, drop.latitude_deg)


def _feet(one: SitedDrop | Share, other: SitedDrop) -> float:
    _, _, metres = _EARTH.inv(one.longitude_deg, one.latitude_deg, other.longitude_deg, other.latitude_deg)
    return float(metres) * FEET_PER_METRE


def _metric(siting: Siting, shapes: Sequence[BaseGeometry]) -> list[BaseGeometry]:
    """Return shapes in the orchard's UTM zone. [m]"""
    return list(gpd.GeoSeries(shapes, crs=4326).to_crs(_zone(siting)))


def _zone(siting: Siting) -> str:
    first = siting.drops[0]
    zone = int((first.longitude_deg + 180.0) // 6.0) + 1
    return f"EPSG:{(32600 if first.latitude_deg >= 0 else 32700) + zone}"


def _between(siting: Siting, one: BaseGeometry, other: BaseGeometry) -> float:
    """Return the way between two shapes of the zone, found on the grid, measured on the ellipsoid. [ft]"""
    ends = gpd.GeoSeries(list(nearest_points(one, other)), crs=_zone(siting)).to_crs(4326)
    _, _, metres = _EARTH.inv(ends.x.iloc[0], ends.y.iloc[0], ends.x.iloc[1], ends.y.iloc[1])
    return float(metres) * FEET_PER_METRE
