"""The ways of an operation as a list: miles, minutes and basis of every pair, with what is to be known of them."""

from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.inputs.ways import ClosedPlace, RoadSign
from routing.record import Record, column
from routing.roads.check import road_findings
from routing.roads.roads import Roads, road_table
from routing.roads.told import sign_findings


class WayRow(Record):
    """One way, from one place to another."""

    origin: str = column("yard or contract", example="Home yard")
    destination: str = column("yard or contract", example="Lower pears")
    miles: float = column("road miles", unit="mi", example=18.4)
    minutes: float = column("driving time of an ordinary vehicle", unit="min", example=29.0)
    basis: str = column("where the figures come from: own table, road graph or server, estimate", example="your own table")


class Ways(Record):
    """Every way of an operation, and what was found about them."""

    truck: str = column("truck that the ways are for; empty: the ways that hold for every truck", example="")
    ways: tuple[WayRow, ...] = column("every ordered pair of places, in the order of the tables")
    closed_places: tuple[ClosedPlace, ...] = column("places that a truck cannot get to and back from")
    road_signs: tuple[RoadSign, ...] = column("signs on measured ways that were not checked in full")
    findings: tuple[Finding, ...] = column("checks of the ways; one that could not be made is 'unknown', never ok")


def ways_of(operation: Operation, *, truck: str = "") -> Ways:
    """Return the ways of an operation as they are planned with, or those of one truck.

    Parameters
    ----------
    operation
        An operation that passed the door.
    truck
        Name of a truck; empty: the ways that hold for every truck.
    """
    roads = road_table(operation, truck=truck)
    closed = tuple(row for row in operation.closed_places if truck in ("", row.truck))
    findings = (*road_findings(operation, roads), *sign_findings(operation, operation.road_signs))
    return Ways(truck=truck, ways=_rows(roads), closed_places=closed, road_signs=operation.road_signs, findings=findings)


def _rows(roads: Roads) -> tuple[WayRow, ...]:
    return tuple(
        WayRow(origin=a, destination=b, miles=roads.miles(a, b), minutes=roads.minutes(a, b), basis=roads.basis(a, b))
        for a in roads.place_names for b in roads.place_names if a != b
    )  # fmt: skip
