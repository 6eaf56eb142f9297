"""What a plan's truck-nights meet on measured ways: places closed to the truck, signs on the legs that it drives."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from routing.finding import Finding
from routing.inputs.cross_check_rigging import named
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.inputs.ways import RoadSign
from routing.nights.tour import TruckNight
from routing.roads.closed import closed_for
from routing.roads.measured import is_measured
from routing.roads.table import TabledRoads
from routing.roads.told import sign_findings


def driven_findings(operation: Operation, truck_nights: Iterable[TruckNight]) -> tuple[Finding, ...]:
    """Return a finding for each stop at a place closed to its truck, and for each sign on a leg that is driven.

    Parameters
    ----------
    operation
        Its tables of closed places and of signs.
    truck_nights
        What is driven.
    """
    nights = tuple(truck_nights)
    driven = {
        (night.truck, before.place, after.place)
        for night in nights for before, after in pairwise(night.stops) if before.place != after.place
    }  # fmt: skip
    met = [row for row in operation.road_signs if _is_met(row, driven)]
    return (*_closed(operation, nights), *sign_findings(operation, met))


def _is_met(row: RoadSign, driven: set[tuple[str, str, str]]) -> bool:
    trucks = named(row.trucks)
    return any(
        (not trucks or truck in trucks) and (not row.origin or (row.origin, row.destination) == (origin, destination))
        for truck, origin, destination in driven
    )


def signs_on_leg(operation: Operation, truck: str, leg: tuple[str, str]) -> tuple[RoadSign, ...]:
    """Return the signs that a driver of ``truck`` must look at on the way from the first place of ``leg`` to the second."""
    return tuple(row for row in operation.road_signs if _is_met(row, {(truck, *leg)}))


def is_measured_way(operation: Operation, leg: tuple[str, str]) -> bool:
    """Tell whether the figures of a way come from a road graph or server, by the rows that hold for every truck."""
    known = TabledRoads(operation.distances).legs([one for one in places(operation).values() if one.name in leg])
    return leg in known and is_measured(known[leg].basis)


def _closed(operation: Operation, nights: tuple[TruckNight, ...]) -> Iterator[Finding]:
    why = {(row.truck, row.place): row.why for row in operation.closed_places}
    for night in nights:
        closed = closed_for(operation, night.truck)
        for stop in night.stops:
            if stop.place in closed:
                subject = f"{night.id}, stop {stop.number} {stop.place}"
                yield Finding(check="place closed to the truck", subject=subject, status="broken", force="own figure",
                              source="your table of closed places", note=why[night.truck, stop.place])  # fmt: skip
