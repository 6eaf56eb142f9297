"""Measure the ways of an operation, for each kind of truck it has, and put them among its tables."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from api.roads.errors import RoadsError
from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.inputs.rows import MOST_ROWS
from routing.roads.believe import believed, compared
from routing.roads.check import road_findings
from routing.roads.join import OnTheWay, with_roads
from routing.roads.measured import Measured
from routing.roads.meeting_check import measuring_findings
from routing.roads.on_way import passings
from routing.roads.roads import road_table
from routing.roads.sign import Sign, says
from routing.roads.told import sign_findings
from routing.roads.vehicle import RoadVehicle, road_vehicles

Say = Callable[[str], None]


class Source(Protocol):
    """Whoever measures: tiles on this machine, or a server."""

    def measure(self, vehicle: RoadVehicle, places: Sequence[Place]) -> Measured:
        """Return the ways of a vehicle between all ordered pairs of places."""
        ...


@dataclass(frozen=True)
class Roadwork:
    """An operation with measured ways, and what is to be known of them."""

    operation: Operation
    met: tuple[OnTheWay, ...]
    findings: tuple[Finding, ...]


def measure_roads(
    operation: Operation, source: Source, *, signs: Sequence[Sign] = (), against: Source | None = None, say: Say = lambda _: None
) -> Roadwork:
    """Return the operation with the ways of its trucks measured.

    Parameters
    ----------
    operation
        Its own rows of distances stay, and count before measured ones.
    source
        What measures.
    signs
        Signs of the map that ``source`` measures on.
    against
        A second source that the first is compared with; none of its figures is used.
    say
        Called with what is being done.

    Raises
    ------
    RoadsError
        If there is no truck or no second place, the source cannot answer, or the table would be too long.
    """
    stops = tuple(places(operation).values())
    vehicles = road_vehicles(operation)
    if not vehicles or len(stops) < 2:
        found_words = f"{len(operation.trucks)} trucks and {len(stops)} places"
        raise RoadsError(f"{operation.name}: found {found_words}, allowed: at least a truck and two places.")
    met, findings = [], []
    for vehicle in vehicles:
        say(f"Measuring {len(stops) * (len(stops) - 1):,} ways for {vehicle.name}.")
        measured, doubted = believed(operation, source.measure(vehicle, stops))
        one = _on_the_way(measured, signs)
        met.append(one)
        findings += [*doubted, *measuring_findings(operation, one)]
        if against is not None:
            findings += compared(measured, against.measure(vehicle, stops))
    found = with_roads(operation, met)
    if len(found.distances) > MOST_ROWS:
        raise RoadsError(f"{operation.name}: found {len(found.distances):,} ways, allowed: {MOST_ROWS:,} rows of distances.")
    findings += [one for one in road_findings(found, road_table(found)) if one.status != "ok"]
    findings += sign_findings(found, found.road_signs)
    return Roadwork(found, tuple(met), tuple(dict.fromkeys(findings)))


def _on_the_way(measured: Measured, signs: Sequence[Sign]) -> OnTheWay:
    keeping_out = [one for one in signs if says(one, measured.vehicle) == "keeps out"]
    return OnTheWay(measured, passed=passings(signs, measured.ways), avoided=passings(keeping_out, measured.freely))
