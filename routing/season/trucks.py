"""What the trucks can move: for each run of nights and each size of truck, the hives that they carry at most."""

from collections.abc import Iterator
from dataclasses import dataclass

from routing.inputs.yard import VEHICLE_CLASSES
from routing.season.kinds import Span, date
from routing.season.network import Arc, Network


@dataclass(frozen=True)
class Room:
    """A run of nights, a size of truck, and the moves that only trucks up to that size can make inside that run."""

    nights: Span
    size: str
    hives: float
    arcs: tuple[int, ...]
    """Numbers of the network's arcs."""


def truck_rooms(network: Network) -> Iterator[Room]:
    """Yield every run of nights, from the first night of some move to the last night of another, that may be too full."""
    moves = {index: arc for index, arc in enumerate(network.arcs) if arc.within is not None}
    for rank, size in enumerate(VEHICLE_CLASSES):
        held = {index: arc for index, arc in moves.items() if _largest(network, arc) <= rank}
        spans = {arc.within for arc in held.values() if arc.within is not None}
        carried = _by_night(network, rank)
        for first in sorted({span[0] for span in spans}):
            for last in sorted({span[1] for span in spans if span[1] >= first}):
                inside = tuple(i for i, arc in held.items() if arc.within and first <= arc.within[0] and arc.within[1] <= last)
                room = sum(carried.get(night, 0.0) for night in range(first, last + 1))
                if inside and _wanted(network, inside) > room:
                    yield Room((first, last), size, room, inside)


def _largest(network: Network, arc: Arc) -> int:
    sites = network.carriage.sites
    return min(VEHICLE_CLASSES.index(sites[name].access) for name in (arc.tail.place, arc.head.place))


def _by_night(network: Network, rank: int) -> dict[int, float]:
    """Return the hives that trucks up to a size move on each night."""
    operation, carriage = network.operation, network.carriage
    nights = range((operation.last_night - operation.first_night).days + 1)
    able = [one for one in operation.trucks if VEHICLE_CLASSES.index(one.vehicle_class) <= rank]
    each = {one.name: carriage.hives_a_night(one) for one in able}
    return {
        night: sum(each[one.name] for one in able if carriage.truck_is_there(one, date(operation, night))) for night in nights
    }


def _wanted(network: Network, inside: tuple[int, ...]) -> float:
    """Return the most hives that could move inside the run: what its orchards take, in and out."""
    ends = set()
    for index in inside:
        arc = network.arcs[index]
        ends |= {(name, name == arc.head.place) for name in (arc.tail.place, arc.head.place) if name in network.stands}
    return float(sum(network.stands[name].contract.colonies + network.stands[name].over for name, _ in ends))
