"""Ways from a road server, by the OSRM or the Valhalla HTTP interface.

References
----------
OSRM HTTP API, "Table service" and "Nearest service", https://project-osrm.org/docs/v5.24.0/api/
Valhalla API reference, https://valhalla.github.io/valhalla/api/
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from api.roads.errors import RoadsError
from api.roads.matrix import FARTHEST_ROAD_M, FREE_COSTING, is_figure, meetings, truck_costing, ways
from api.roads.server import Server
from api.roads.vehicle_options import truck_options
from routing.inputs.places import Place
from routing.roads.measured import (
    FT_PER_MILE,
    NO_LIMITS,
    SERVER,
    Measured,
    Meeting,
    OffRoad,
    Pair,
    Way,
    feet_between,
    gate_to_gate,
)
from routing.roads.vehicle import RoadVehicle
from routing.units import miles_from_metres

Interface = Literal["osrm", "valhalla"]
TILE = 50
"""Places at each side of one OSRM table: servers refuse more than about 100 in all."""
SHORT_TON_LB = 2000.0


@dataclass(frozen=True)
class ServerGraph:
    """A source of ways: a road server."""

    server: Server
    interface: Interface

    def measure(self, vehicle: RoadVehicle, places: Sequence[Place]) -> Measured:
        """Return the ways of a vehicle between all ordered pairs of places that meet a road.

        Raises
        ------
        RoadsError
            If the server cannot be reached, answers badly, or answers for a part of the places only.
        """
        try:
            by = _by_valhalla if self.interface == "valhalla" else _by_osrm
            return by(self.server, vehicle, places)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
            spoken = f"The road server {self.server.host} does not answer in the {self.interface} interface"
            raise RoadsError(f"{spoken}: {type(error).__name__} {error}.") from error


def _by_valhalla(server: Server, vehicle: RoadVehicle, places: Sequence[Place]) -> Measured:
    # Nobody has tested how that server reads signs: in short tons as tonnes the truck is held against the lower reading.
    costing = truck_costing(truck_options(vehicle, tonne_lb=SHORT_TON_LB))
    met = meetings(server, places, costing)
    on_road = [one for one in places if isinstance(met[one.name], Meeting)]
    return Measured(
        vehicle=vehicle, basis=f"{SERVER} {server.host}, for a truck", meetings=met, ways=ways(server, on_road, costing),
        freely=ways(server, on_road, FREE_COSTING), limits_obeyed=True,
    )  # fmt: skip


def _by_osrm(server: Server, vehicle: RoadVehicle, places: Sequence[Place]) -> Measured:
    met = {one.name: _nearest(server, one) for one in places}
    on_road = [one for one in places if isinstance(met[one.name], Meeting)]
    found: dict[Pair, Way] = {}
    for begin in range(0, len(on_road), TILE):
        for start in range(0, len(on_road), TILE):
            found |= _table(server, on_road[begin : begin + TILE], on_road[start : start + TILE])
    return Measured(vehicle=vehicle, basis=f"{SERVER} {server.host}, {NO_LIMITS}", meetings=met, ways=found)


def _nearest(server: Server, place: Place) -> Meeting | OffRoad:
    answer = server.get(f"nearest/v1/driving/{_point(place)}?number=1")
    if answer["code"] == "NoSegment":
        return OffRoad("no road near")
    _must_be_ok(server, answer, "nearest road")
    longitude, latitude = (float(one) for one in answer["waypoints"][0]["location"])
    feet = feet_between(place, latitude, longitude)
    if feet > miles_from_metres(FARTHEST_ROAD_M) * FT_PER_MILE:
        return OffRoad("no road near")
    return Meeting(feet, latitude, longitude, road=str(answer["waypoints"][0].get("name") or ""))


def _must_be_ok(server: Server, answer: Any, what: str) -> None:
    if answer["code"] != "Ok":
        words = str(answer.get("message") or answer["code"]).rstrip(".")
        raise RoadsError(f"The road server {server.host} has no {what}: {words}.")


def _point(place: Place) -> str:
    return f"{place.longitude_deg:.6f},{place.latitude_deg:.6f}"


def _table(server: Server, origins: Sequence[Place], destinations: Sequence[Place]) -> dict[Pair, Way]:
    points = ";".join(_point(one) for one in (*origins, *destinations))
    first = ";".join(str(number) for number in range(len(origins)))
    second = ";".join(str(len(origins) + number) for number in range(len(destinations)))
    path = f"table/v1/driving/{points}?sources={first}&destinations={second}&annotations=duration,distance"
    answer = server.get(path)
    _must_be_ok(server, answer, "table")
    found: dict[Pair, Way] = {}
    seconds, metres = (_grid(server, answer, name, (len(origins), len(destinations))) for name in ("durations", "distances"))
    for row, origin in enumerate(origins):
        for column, destination in enumerate(destinations):
            if origin.name != destination.name and metres[row][column] is not None and seconds[row][column] is not None:
                ends = (_feet(origin, answer["sources"][row]), _feet(destination, answer["destinations"][column]))
                found[origin.name, destination.name] = gate_to_gate(metres[row][column], seconds[row][column], ends)
    return found


def _feet(place: Place, waypoint: Any) -> float:
    longitude, latitude = waypoint["location"]
    return feet_between(place, float(latitude), float(longitude))


def _grid(server: Server, answer: Any, name: str, shape: tuple[int, int]) -> list[list[Any]]:
    """Return a table of the answer; raise ``RoadsError`` when it is not whole, or holds what is no figure."""
    grid = answer.get(name)
    if not isinstance(grid, list) or len(grid) != shape[0] or any(len(row) != shape[1] for row in grid):
        asked = f"asked for {shape[0]} rows of {shape[1]}"
        raise RoadsError(f"The road server {server.host} sent no whole table of {name}: {asked}.")
    for row in grid:
        for value in row:
            if value is not None and not is_figure(value):
                raise RoadsError(f"The road server {server.host} sent {value!r} among the {name}, allowed: 0 or more.")
    return grid
