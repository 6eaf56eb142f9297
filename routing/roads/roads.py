"""The road table: miles and minutes between all places of an operation.

Whoever knows a way best is believed: the user's own table first, then any provider that the caller
brings (a road graph), then the estimate, which knows every way roughly.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.roads.estimate import estimated_roads
from routing.roads.leg import Leg, RoadProvider
from routing.roads.table import TabledRoads

__all__ = ["Leg", "RoadProvider", "Roads", "join_roads", "road_table"]

STANDS_STILL = Leg(miles=0.0, minutes=0.0, basis="the same place")


@dataclass(frozen=True)
class Roads:
    """Miles and minutes between every ordered pair of ``place_names``."""

    place_names: tuple[str, ...]
    matrix_miles: tuple[tuple[float, ...], ...]
    """Row: origin, column: destination, both in the order of ``place_names``. [mi]"""
    matrix_minutes: tuple[tuple[float, ...], ...]
    """Same shape; an ordinary vehicle's time. Divide by a truck's speed factor. [min]"""
    matrix_basis: tuple[tuple[str, ...], ...]
    """Same shape; where each pair of figures comes from."""

    @cached_property
    def _row(self) -> dict[str, int]:
        return {name: row for row, name in enumerate(self.place_names)}

    def index(self, name: str) -> int:
        """Return the row of a place; raise ``LookupError`` when there is none of that name."""
        try:
            return self._row[name]
        except KeyError:
            raise LookupError(f"The road table has no place called {name!r}.") from None

    def miles(self, origin: str, destination: str) -> float:
        """Return road miles from ``origin`` to ``destination``. [mi]"""
        return self.matrix_miles[self.index(origin)][self.index(destination)]

    def minutes(self, origin: str, destination: str) -> float:
        """Return an ordinary vehicle's driving minutes from ``origin`` to ``destination``. [min]"""
        return self.matrix_minutes[self.index(origin)][self.index(destination)]

    def basis(self, origin: str, destination: str) -> str:
        """Return in words where the figures of this way come from."""
        return self.matrix_basis[self.index(origin)][self.index(destination)]


def join_roads(stops: Sequence[Place], providers: Sequence[RoadProvider]) -> Roads:
    """Return the table in which each way comes from the first provider that knows it.

    Parameters
    ----------
    stops
        The places, names unique.
    providers
        Most trusted first; together they must know every way.

    Raises
    ------
    LookupError
        If no provider knows some way.
    """
    known: dict[tuple[str, str], Leg] = {}
    for provider in reversed(providers):
        known.update(provider.legs(stops))
    names = tuple(stop.name for stop in stops)
    for origin in names:
        for destination in names:
            if origin != destination and (origin, destination) not in known:
                raise LookupError(f"No way is known from {origin!r} to {destination!r}.")
    grid = [[STANDS_STILL if a == b else known[a, b] for b in names] for a in names]
    return Roads(
        place_names=names,
        matrix_miles=tuple(tuple(leg.miles for leg in row) for row in grid),
        matrix_minutes=tuple(tuple(leg.minutes for leg in row) for row in grid),
        matrix_basis=tuple(tuple(leg.basis for leg in row) for row in grid),
    )


def road_table(operation: Operation, *, truck: str = "", providers: Sequence[RoadProvider] = ()) -> Roads:
    """Return miles and minutes between all yards and orchards of an operation.

    Parameters
    ----------
    operation
        Its own distances override everything else.
    truck
        Truck whose own rows count before those for every truck; empty: the ways that hold for every truck.
    providers
        Other sources of ways, most trusted first, believed after the user's table and before the estimate.

    Returns
    -------
    Roads
        Every ordered pair of places, each with its basis.
    """
    every = (TabledRoads(operation.distances, truck), *providers, estimated_roads(operation))
    return join_roads(tuple(places(operation).values()), every)
