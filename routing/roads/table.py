"""Ways that the user knows, or that were measured: the rows of the table of distances."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from routing.inputs.cross_check_rigging import named
from routing.inputs.operation import Distance
from routing.inputs.places import Place
from routing.roads.leg import Leg

OWN = "your own table"


@dataclass(frozen=True, slots=True)
class TabledRoads:
    """A provider that knows the ways in the table of distances and no others.

    A row written for a direction counts before a row of the other direction that says "both ways", and a row for
    the truck asked about before one for every truck. Where two rows are written for one direction, the later one
    counts. Asked about every truck, a way that only rows of single trucks know is the longest of theirs.
    """

    rows: tuple[Distance, ...]
    truck: str = ""
    """The truck asked about; empty: a way that holds for every truck."""

    def legs(self, places: Sequence[Place]) -> Mapping[tuple[str, str], Leg]:
        """Return the legs of the rows whose two places are among ``places``."""
        names = {place.name for place in places}
        known = [
            row
            for row in self.rows
            if {row.origin, row.destination} <= names and row.origin != row.destination
        ]
        of_all = [row for row in known if not row.trucks.strip()]
        of_some = [row for row in known if row.trucks.strip()]
        if self.truck:
            return {**_directed(of_all), **_directed([row for row in of_some if self.truck in named(row.trucks)])}
        return {**_directed(sorted(of_some, key=lambda row: (row.minutes, row.miles))), **_directed(of_all)}


def _directed(rows: Sequence[Distance]) -> dict[tuple[str, str], Leg]:
    way_back = {
        (row.destination, row.origin): Leg(row.miles, row.minutes, row.basis or f"{OWN}, the way back")
        for row in rows
        if row.both_ways
    }
    return {**way_back, **{(row.origin, row.destination): Leg(row.miles, row.minutes, row.basis or OWN) for row in rows}}
