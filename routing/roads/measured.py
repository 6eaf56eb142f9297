"""Ways that a road graph measured for one vehicle, and where each place met the road."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from routing.formulas.geodesy import geodesic_miles
from routing.inputs.places import Place
from routing.limits import limit
from routing.roads.leg import Leg
from routing.roads.vehicle import RoadVehicle
from routing.units import METRES_PER_MILE

Pair = tuple[str, str]
"""Names of origin and destination."""
FT_PER_MILE = 5280.0
GRAPH, SERVER = "road graph", "road server"
"""How the basis of every measured way begins: tiles on this machine, or a server that the user named."""
NO_LIMITS = "no posted limits"
"""What stands in the basis of a source that knows none."""
LEAST_OF_STRAIGHT = 0.994
"""A road engine measures on a sphere: up to 0.56 % short of the ellipsoid (Karney 2013; 6,371 against 6,357 to 6,378 km)."""


def is_measured(text: str) -> bool:
    """Tell whether a basis, or the reason of a closed place, comes from measuring and not from the user."""
    return text.startswith((GRAPH, SERVER))


@dataclass(frozen=True, slots=True)
class Way:
    """One way by road, from gate to gate."""

    miles: float
    minutes: float
    shape: str = ""
    """Line of the road, as ``line.points_of_text`` reads it; empty when the source gives none."""
    lanes_ft: tuple[float, float] = (0.0, 0.0)
    """From origin and destination to where this way leaves and meets the map's roads, as the crow flies. [ft]"""


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where a place meets the nearest road that the vehicle may use."""

    feet: float
    """From the loading place to the road, as the crow flies. [ft]"""
    latitude_deg: float
    longitude_deg: float
    road: str = ""
    """Name of the road; empty when the map has none."""
    remarks: tuple[str, ...] = ()
    """What the map says of that road: a private road, a track, not paved."""


@dataclass(frozen=True, slots=True)
class OffRoad:
    """Why a place meets no road."""

    why: Literal["outside the map", "no road near"]


@dataclass(frozen=True)
class Measured:
    """The answer of one source of ways for one vehicle: also a ``RoadProvider``."""

    vehicle: RoadVehicle
    basis: str
    """Where the figures come from, in words: map and vehicle."""
    meetings: Mapping[str, Meeting | OffRoad]
    """Of every place, by name."""
    ways: Mapping[Pair, Way]
    """Of every ordered pair with a way; a pair of places on roads that is missing has none."""
    freely: Mapping[Pair, Way] = field(default_factory=dict)
    """The same for a vehicle that no posted limit keeps out; empty when the source cannot tell."""
    limits_obeyed: bool = False
    """Did the source hold posted limits against the vehicle?"""

    def on_road(self) -> tuple[str, ...]:
        """Return the names of the places that meet a road."""
        return tuple(name for name, one in self.meetings.items() if isinstance(one, Meeting))

    def legs(self, places: Sequence[Place]) -> Mapping[Pair, Leg]:
        """Return the ways between the places given, as every source of ways does."""
        names = {place.name for place in places}
        return {
            pair: Leg(way.miles, way.minutes, self.basis)
            for pair, way in self.ways.items()
            if pair[0] in names and pair[1] in names
        }


def feet_between(place: Place, latitude_deg: float, longitude_deg: float) -> float:
    """Return how far a point lies from a place, as the crow flies. [ft]"""
    return geodesic_miles([(place.latitude_deg, place.longitude_deg), (latitude_deg, longitude_deg)])[0][1] * FT_PER_MILE


def gate_to_gate(road_m: float, road_s: float, feet: tuple[float, float], shape: str = "") -> Way:
    """Return a way with the lanes at its two ends added: from the map's road to the loading places.

    Parameters
    ----------
    road_m, road_s
        Length and time between the two points on the road. [m], [s]
    feet
        From origin and destination to these points, as the crow flies. [ft]
    shape
        Line of the road.

    Returns
    -------
    Way
        Never shorter than the straight line between the places when the road is not shorter than that between its
        ends (triangle inequality).
    """
    lane_mi = sum(feet) / FT_PER_MILE
    lane_min = 60.0 * lane_mi / limit("off_road_mph").value
    return Way(road_m / METRES_PER_MILE + lane_mi, road_s / 60.0 + lane_min, shape, feet)
