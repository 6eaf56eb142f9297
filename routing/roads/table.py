"""Ways that the user knows: the rows of the table of distances."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from routing.inputs.operation import Distance
from routing.inputs.places import Place
from routing.roads.leg import Leg


@dataclass(frozen=True, slots=True)
class TabledRoads:
    """A provider that knows the ways in the user's table and no others.

    A row written for a direction counts before a row of the other direction that says "both ways".
    Where two rows are written for one direction, the later one counts.
    """

    rows: tuple[Distance, ...]

    def legs(self, places: Sequence[Place]) -> Mapping[tuple[str, str], Leg]:
        """Return the legs of the rows whose two places are among ``places``."""
        names = {place.name for place in places}
        known = [
            row
            for row in self.rows
            if {row.origin, row.destination} <= names and row.origin != row.destination
        ]
        way_back = {
            (row.destination, row.origin): Leg(row.miles, row.minutes, "your own table, the way back")
            for row in known
            if row.both_ways
        }
        way_out = {
            (row.origin, row.destination): Leg(row.miles, row.minutes, "your own table") for row in known
        }
        return {**way_back, **way_out}
