"""Places across rows: on the right side of the world, drops near their gate, distances that can be driven."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from routing.formulas.geodesy import geodesic_miles
from routing.inputs.contract import Drop, Gate
from routing.inputs.faults import Flaw, shown
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.inputs.yard import Yard
from routing.limits.shore import in_open_water

FARTHEST_SITE_MILES = 1500.0
FARTHEST_DROP_MILES = 5.0
FARTHEST_NORTH_DEG = 66.0
"""Polar circle, nearly: no orchard lies beyond it, and its summer has no night."""
SHORTEST_OF_STRAIGHT = 0.95
"""No road is shorter than the straight line; a little room is left for how places were pinned."""
FASTEST_MPH = 90.0
POINTS_COMPARED = 400


class _Site(NamedTuple):
    table: str
    row: int
    latitude_deg: float
    longitude_deg: float


def land_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield places and distances that cannot be."""
    tables: dict[str, Sequence[Yard | Gate | Drop]] = {
        "yards": operation.yards,
        "gates": operation.gates,
        "drops": operation.drops,
    }
    sites = [
        _Site(table, index, row.latitude_deg, row.longitude_deg)
        for table, rows in tables.items()
        for index, row in enumerate(rows)
    ]
    yield from _far_off(sites)
    yield from _drops(operation)
    yield from _distances(operation)


def _far_off(sites: list[_Site]) -> Iterator[Flaw]:
    inside = [site for site in sites if abs(site.latitude_deg) <= FARTHEST_NORTH_DEG]
    middle = _middle(inside or sites)
    for site in sites:
        if abs(site.latitude_deg) > FARTHEST_NORTH_DEG:
            allowed = f"between -{FARTHEST_NORTH_DEG:g} and {FARTHEST_NORTH_DEG:g}"
        elif middle and _miles(site, middle) > FARTHEST_SITE_MILES:
            allowed = f"a place within {FARTHEST_SITE_MILES:,.0f} miles of the other places"
        elif site.table != "drops" and in_open_water(site.latitude_deg, site.longitude_deg):
            # Drops and blocks lie within a few miles of their gate: it is told, they with it.
            allowed = "a place on land; this is open water"
        else:
            continue
        yield Flaw(
            table=site.table,
            index=site.row,
            column="latitude_deg",
            uses=("longitude_deg",),
            found=f"latitude {site.latitude_deg:g}, longitude {site.longitude_deg:g}",
            allowed=allowed + _slip(site, middle),
        )


def _middle(sites: list[_Site]) -> _Site | None:
    """Return the site with the least way to all others: one stray place does not draw it away."""
    if not sites:
        return None
    some = sites[:: len(sites) // POINTS_COMPARED + 1]
    ways = geodesic_miles([(site.latitude_deg, site.longitude_deg) for site in some])
    return min(zip(some, ways, strict=True), key=lambda item: sum(item[1]))[0]


def _miles(one: _Site | Gate, other: _Site | Gate) -> float:
    points = [(one.latitude_deg, one.longitude_deg), (other.latitude_deg, other.longitude_deg)]
    return geodesic_miles(points)[0][1]


def _slip(site: _Site, middle: _Site | None) -> str:
    """Return which slip of the hand would explain the place, if one does."""
    latitude, longitude = site.latitude_deg, site.longitude_deg
    slips = (
        ("latitude and longitude look swapped", longitude, latitude),
        ("the minus sign of the longitude looks lost", latitude, -longitude),
        ("the sign of the latitude looks wrong", -latitude, longitude),
    )
    for words, north, east in slips:
        mended = site._replace(latitude_deg=north, longitude_deg=east)
        near = middle is not None and middle != site and abs(north) <= FARTHEST_NORTH_DEG
        if near and middle and _miles(mended, middle) <= FARTHEST_SITE_MILES:
            return f"; {words}"
    return ""


def _drops(operation: Operation) -> Iterator[Flaw]:
    gates: dict[str, list[Gate]] = defaultdict(list)
    for gate in operation.gates:
        gates[gate.contract].append(gate)
    for index, drop in enumerate(operation.drops):
        site = _Site("drops", index, drop.latitude_deg, drop.longitude_deg)
        away = min((_miles(site, gate) for gate in gates[drop.contract]), default=0.0)
        # A place on the wrong side of the world is told once, by the check on all places.
        if FARTHEST_DROP_MILES < away <= FARTHEST_SITE_MILES:
            yield Flaw(
                table="drops",
                index=index,
                column="latitude_deg",
                found=f"a drop {away:.1f} miles from its gate",
                allowed=f"at most {FARTHEST_DROP_MILES:g} miles",
                uses=("longitude_deg", "contract", "gates"),
            )


def _distances(operation: Operation) -> Iterator[Flaw]:
    known = {name: (place.latitude_deg, place.longitude_deg) for name, place in places(operation).items()}
    for index, row in enumerate(operation.distances):
        if row.origin == row.destination:
            yield _distance_flaw(index, "destination", shown(row.destination), "another place", "origin")
            continue
        if row.origin in known and row.destination in known:
            straight = geodesic_miles([known[row.origin], known[row.destination]])[0][1]
            # A place on the wrong side of the world is told once, by the check on all places.
            if row.miles < straight * SHORTEST_OF_STRAIGHT and straight <= FARTHEST_SITE_MILES:
                allowed = f"at least the straight line between the two, {straight:.1f} mi"
                uses = ("origin", "destination", "yards", "gates")
                yield _distance_flaw(index, "miles", shown(row.miles), allowed, *uses)
        if row.miles > row.minutes / 60.0 * FASTEST_MPH:
            allowed = f"at least {row.miles / FASTEST_MPH * 60.0:.1f} for {row.miles:g} miles"
            yield _distance_flaw(index, "minutes", shown(row.minutes), allowed, "miles")


def _distance_flaw(index: int, column: str, found: str, allowed: str, *uses: str) -> Flaw:
    return Flaw(table="distances", index=index, column=column, found=found, allowed=allowed, uses=uses)
