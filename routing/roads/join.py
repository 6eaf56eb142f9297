"""From measured ways to rows of the operation: distances, closed places, signs on the way.

One row holds for every truck: the most miles and the most minutes that any truck needs that gets there, so that no
plan counts on a way that only a smaller truck can take. A truck with a shorter or quicker way has a row of its own.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from routing.inputs.operation import Distance, Operation
from routing.inputs.places import places
from routing.inputs.ways import ClosedPlace, RoadSign
from routing.roads.closed import closed_places, lets_in, named_once
from routing.roads.measured import Measured, Pair, Way, is_measured
from routing.roads.on_way import Passing
from routing.roads.sign import says

SAME_MILES, SAME_MINUTES = 0.05, 0.25
"""Two ways no farther apart than this are one row. [mi], [min]"""
MANY_WAYS = 12
"""A sign on more ways than this has one row that names none."""


@dataclass(frozen=True)
class OnTheWay:
    """What one vehicle was measured to meet: signs on its ways, and signs that keep it off shorter ones."""

    measured: Measured
    passed: tuple[Passing, ...]
    avoided: tuple[Passing, ...]


def with_roads(operation: Operation, met: Sequence[OnTheWay]) -> Operation:
    """Return the operation with measured ways among its distances, closed places and signs.

    Rows that the user wrote stay as they are and count before measured ones; rows of an earlier measurement go.
    """
    own = tuple(row for row in operation.distances if not is_measured(row.basis))
    own_closed = tuple(row for row in operation.closed_places if not is_measured(row.why))
    closed = named_once((row for one in met for row in closed_places(operation, one.measured, one.avoided)), own_closed)
    ways = distance_rows(operation, [one.measured for one in met], closed)
    measured_rows = tuple(left for row in ways for left in _untold(row, _told(own, "") | _told(own, row.trucks)))
    signs = tuple(row for one in met for row in sign_rows(one))
    return operation.model_copy(
        update={"distances": (*own, *measured_rows), "closed_places": closed, "road_signs": signs}
    )


def _told(own: Sequence[Distance], trucks: str) -> set[Pair]:
    """Return the pairs for which the user has a row for just these trucks; empty: for every truck."""
    rows = [row for row in own if row.trucks.strip() == trucks]
    return {(row.origin, row.destination) for row in rows} | {(row.destination, row.origin) for row in rows if row.both_ways}


def _untold(row: Distance, told: set[Pair]) -> Iterator[Distance]:
    """Yield what a measured row says of directions that the user's own rows leave out."""
    there, back = (row.origin, row.destination), (row.destination, row.origin)
    if there not in told:
        yield row.model_copy(update={"both_ways": row.both_ways and back not in told})
    elif row.both_ways and back not in told:
        yield row.model_copy(update={"origin": back[0], "destination": back[1], "both_ways": False})


def distance_rows(
    operation: Operation, measured: Sequence[Measured], closed: Sequence[ClosedPlace] = ()
) -> tuple[Distance, ...]:
    """Return the rows of all measured ways: one for every truck, then those of trucks that differ.

    A pair that no truck can drive has no row.
    """
    reached = [(one, _reached(one, operation, closed)) for one in measured]
    names = list(places(operation))
    rows: list[Distance] = []
    for number, origin in enumerate(names):
        for destination in names[number + 1 :]:
            able = [one for one, there in reached if origin in there and destination in there] or list(measured)
            rows += _rows_of((origin, destination), able)
    return tuple(rows)


def _reached(one: Measured, operation: Operation, closed: Sequence[ClosedPlace]) -> set[str]:
    """Return the places that some truck of the vehicle gets to."""
    out = {(row.truck, row.place) for row in closed}
    return {
        name for name, site in places(operation).items()
        if lets_in(site, one) and any((truck, name) not in out for truck in one.vehicle.trucks)
    }  # fmt: skip


def _rows_of(pair: Pair, able: Sequence[Measured]) -> Iterator[Distance]:
    there, back = pair, (pair[1], pair[0])
    for trucks, chosen in (("", able), *((", ".join(one.vehicle.trucks), (one,)) for one in able)):
        out, home = _worst(there, chosen), _worst(back, chosen)
        if trucks and _alike(out, _worst(there, able)) and _alike(home, _worst(back, able)):
            continue  # the row for every truck holds for these too
        basis = _basis(chosen, pair)
        if out and home and _alike(out, home):
            larger = Way(max(out.miles, home.miles), max(out.minutes, home.minutes))
            yield _row(there, larger, trucks, basis=basis, both_ways=True)
        else:
            for way, ends in ((out, there), (home, back)):
                if way:
                    yield _row(ends, way, trucks, basis=basis, both_ways=False)


def _worst(pair: Pair, chosen: Sequence[Measured]) -> Way | None:
    ways = [one.ways[pair] for one in chosen if pair in one.ways]
    return Way(max(one.miles for one in ways), max(one.minutes for one in ways)) if ways else None


def _alike(one: Way | None, other: Way | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one.miles - other.miles) <= SAME_MILES and abs(one.minutes - other.minutes) <= SAME_MINUTES


def _basis(chosen: Sequence[Measured], pair: Pair) -> str:
    """Return where the figures come from and which trucks were measured for them."""
    back = (pair[1], pair[0])
    going = [one for one in chosen if pair in one.ways or back in one.ways]
    words = " and ".join(dict.fromkeys(one.basis for one in going))
    trucks = ", ".join(name for one in going for name in one.vehicle.trucks)
    alike = all(_alike(one.ways.get(way), going[0].ways.get(way)) for one in going for way in (pair, back))
    many = sum(len(one.vehicle.trucks) for one in going) > 1
    return f"{words}; {('alike for' if alike else 'the most of') if many else 'for'} {trucks}"[:200]


def _row(pair: Pair, way: Way, trucks: str, *, basis: str, both_ways: bool) -> Distance:
    # Rounded up: a way must not come out shorter than the straight line, nor quicker than it is.
    return Distance(
        origin=pair[0], destination=pair[1], miles=_up(way.miles, 100), minutes=_up(way.minutes, 10), both_ways=both_ways,
        trucks=trucks, basis=basis,
    )  # fmt: skip


def _up(value: float, parts: int) -> float:
    return math.ceil(value * parts - 1e-9) / parts


def sign_rows(met: OnTheWay) -> tuple[RoadSign, ...]:
    """Return the signs that a driver of the vehicle must look at: those on its ways that were not checked in full.

    A sign that the engine obeyed is not among them, nor one that by our own reading lets the vehicle through.
    """
    vehicle, rows = met.measured.vehicle, []
    for one in met.passed:
        verdict = says(one.sign, vehicle)
        if verdict != "lets through" and not (one.sign.heard and verdict == "not known"):
            many = len(one.ways) > MANY_WAYS
            for origin, destination in (("", ""),) if many else one.ways:
                rows.append(RoadSign(
                    origin=origin, destination=destination, trucks=", ".join(vehicle.trucks)[:400], kind=one.sign.kind,
                    text=one.sign.text[:200], road=one.sign.road[:120], latitude_deg=round(one.sign.at[0], 6),
                    longitude_deg=round(one.sign.at[1], 6), kept_out=verdict == "keeps out",
                ))  # fmt: skip
    return tuple(rows)
