"""Which places a truck cannot get to and back from: told by name, with what keeps it out."""

from collections.abc import Iterable, Iterator, Sequence

from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.inputs.ways import ClosedPlace
from routing.inputs.yard import VEHICLE_CLASSES
from routing.roads.measured import Measured
from routing.roads.on_way import Passing

MOST_WORDS = 500
"""Letters that a reason may have, as the table allows."""


def lets_in(place: Place, measured: Measured) -> bool:
    """Tell whether a place's access lets in the kind of vehicle that was measured."""
    return VEHICLE_CLASSES.index(measured.vehicle.vehicle_class) <= VEHICLE_CLASSES.index(place.access)


def closed_places(operation: Operation, measured: Measured, blocking: Sequence[Passing]) -> tuple[ClosedPlace, ...]:
    """Return the places that the trucks of one vehicle cannot get to from their base, or not back from.

    Parameters
    ----------
    operation
        The operation; a place whose access lets in no such vehicle is not told.
    measured
        What a source of ways answered for the vehicle.
    blocking
        Signs that keep the vehicle out, on the ways it would take without posted limits.

    Returns
    -------
    tuple[ClosedPlace, ...]
        One a truck and place. Nothing for a truck whose base meets no road: of that nothing is known.
    """
    sites = [one for one in places(operation).values() if lets_in(one, measured)]
    on_road = set(measured.on_road())
    trucks = [one for one in operation.trucks if one.name in measured.vehicle.trucks and one.base in on_road]
    found = []
    for truck in trucks:
        for site in sites:
            if site.name != truck.base and site.name in on_road:
                why = _why(measured, truck.base, site.name, blocking)
                if why:
                    found.append(ClosedPlace(truck=truck.name, place=site.name, why=why[:MOST_WORDS]))
    return tuple(found)


def _why(measured: Measured, base: str, place: str, blocking: Sequence[Passing]) -> str:
    """Return why a place cannot be got to and back from; empty when it can."""
    there, back = (base, place) in measured.ways, (place, base) in measured.ways
    if there and back:
        return ""
    missing = [pair for pair, known in (((base, place), there), ((place, base), back)) if not known]
    which = "no way there or back"
    if len(missing) == 1:
        which = "a way there, but none back" if there else "a way back, but none there"
    return f"{measured.basis}: {which} from {base}{''.join(_because(measured, missing, blocking))}"


def _because(measured: Measured, missing: Sequence[tuple[str, str]], blocking: Sequence[Passing]) -> Iterator[str]:
    signs = dict.fromkeys(one.sign for one in blocking if set(one.ways) & set(missing))
    if signs:
        yield "; in the way: " + "; ".join(f"{one.text} on {one.road or 'a road without a name'}" for one in signs)
    elif measured.freely and all(pair in measured.freely for pair in missing):
        yield "; a vehicle without posted limits gets through"
    elif measured.freely:
        yield "; not for any truck: a one-way or private road, or the map ends before the road does"


def closed_for(operation: Operation, truck: str) -> frozenset[str]:
    """Return the places that the operation says a truck cannot get to."""
    return frozenset(one.place for one in operation.closed_places if one.truck == truck)


def named_once(rows: Iterable[ClosedPlace], kept: Iterable[ClosedPlace]) -> tuple[ClosedPlace, ...]:
    """Return the user's own rows, then the measured ones about which they have none."""
    own = tuple(kept)
    known = {(one.truck, one.place) for one in own}
    return (*own, *(one for one in rows if (one.truck, one.place) not in known))
