"""Ways estimated from the straight line: geodesic miles times circuity, speed by distance band."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from routing.formulas.geodesy import geodesic_miles
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.places import Place
from routing.roads.leg import Leg

SHORT_UNTIL_MI = 8.0
MIDDLE_UNTIL_MI = 40.0
"""Ends of the speed bands, as the rows speed_short_mph, speed_middle_mph and speed_long_mph define them."""


@dataclass(frozen=True, slots=True)
class BandSpeeds:
    """Speed on the first 8 miles of a way, on the miles from 8 to 40, and beyond. [mph]"""

    short_mph: float
    middle_mph: float
    long_mph: float

    def __post_init__(self) -> None:
        for name in ("short_mph", "middle_mph", "long_mph"):
            speed = getattr(self, name)
            if not speed > 0.0:
                raise ValueError(f"The constant speed_{name} is {speed}; it must be above 0 mph.")


def driving_minutes(road_miles: float, speeds: BandSpeeds) -> float:
    """Return the minutes of a way, each part of it at the speed of its band.

    Parameters
    ----------
    road_miles
        Length of the way by road. >= 0. [mi]
    speeds
        Speed of each band. [mph]

    Returns
    -------
    float
        Minutes; continuous and never falling with length, since a longer way only adds parts. [min]

    Raises
    ------
    ValueError
        If ``road_miles`` is negative.

    Examples
    --------
    >>> round(driving_minutes(50.0, BandSpeeds(30.0, 42.0, 52.0)), 2)  # 8/30 h + 32/42 h + 10/52 h
    73.25
    """
    if road_miles < 0.0:
        raise ValueError(f"A way cannot be {road_miles} miles long.")
    short = min(road_miles, SHORT_UNTIL_MI)
    middle = min(max(road_miles - SHORT_UNTIL_MI, 0.0), MIDDLE_UNTIL_MI - SHORT_UNTIL_MI)
    beyond = max(road_miles - MIDDLE_UNTIL_MI, 0.0)
    return 60.0 * (short / speeds.short_mph + middle / speeds.middle_mph + beyond / speeds.long_mph)


@dataclass(frozen=True, slots=True)
class EstimatedRoads:
    """A provider that knows every way, roughly.

    Notes
    -----
    Road miles are the geodesic on WGS 84 times a circuity factor [1]_. Rivers, ridges and missing
    bridges are not seen: the user's own miles are better wherever there are any.

    References
    ----------
    .. [1] Ballou, Rahardja, Sakai, "Selected country circuity factors for road travel distance
       estimation", Transportation Research Part A 36 (2002) 843-848 (from memory).
    """

    circuity_factor: float
    speeds: BandSpeeds

    def __post_init__(self) -> None:
        if not self.circuity_factor >= 1.0:
            raise ValueError(
                f"The constant circuity_factor is {self.circuity_factor}; it must be 1 or more, "
                "since no road is shorter than the straight line."
            )

    def legs(self, places: Sequence[Place]) -> Mapping[tuple[str, str], Leg]:
        """Return a leg for every ordered pair of different places."""
        straight_miles = geodesic_miles([(place.latitude_deg, place.longitude_deg) for place in places])
        basis = f"estimated: straight line times {self.circuity_factor:g}"
        return {
            (origin.name, destination.name): self._leg(straight_miles[i][j], basis)
            for i, origin in enumerate(places)
            for j, destination in enumerate(places)
            if i != j
        }

    def _leg(self, straight_miles: float, basis: str) -> Leg:
        road_miles = straight_miles * self.circuity_factor
        return Leg(miles=road_miles, minutes=driving_minutes(road_miles, self.speeds), basis=basis)


def estimated_roads(operation: Operation) -> EstimatedRoads:
    """Return the estimate with the operation's own constants, or their cited defaults."""
    return EstimatedRoads(
        circuity_factor=constant(operation, "circuity_factor"),
        speeds=BandSpeeds(
            short_mph=constant(operation, "speed_short_mph"),
            middle_mph=constant(operation, "speed_middle_mph"),
            long_mph=constant(operation, "speed_long_mph"),
        ),
    )
