"""Legs of a night as the hours-of-service rules see them: minutes, bees on board, air miles.

An air mile is a nautical mile: 150 of them are 172.6 statute miles.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.formulas.geodesy import geodesic_miles
from routing.limits import limit
from routing.units import METRES_PER_MILE, METRES_PER_NAUTICAL_MILE

Ends = tuple[float, float]
"""Air miles from a place at the start and at the end of a leg."""


class Leg(NamedTuple):
    """One way from stop to stop, with the time on duty at its end."""

    drive_min: float
    stop_min: float
    """On duty at the end of the leg before the next begins; for the last leg, before going off duty."""
    bees_on_board: bool
    sources_air_mi: tuple[Ends, ...] = ()
    """From each place that counts as source of this leg: loaded, the first place where the bees on board were
    loaded; empty, where bees were or will be loaded. Empty when not known: then no hour is left out."""
    destinations_air_mi: tuple[Ends, ...] = ()
    """Loaded, from the last place where the bees on board are set down."""

    def exempt_parts(self) -> tuple[Ends, ...]:
        """Return the parts of the leg, as shares of it from 0 to 1, that lie within a 150 mile circle."""
        about_source = limit("agricultural_air_miles").value
        about_destination = limit("agricultural_destination_air_miles").value
        parts = [_inside(ends, about_source) for ends in self.sources_air_mi]
        if self.bees_on_board:
            parts += [_inside(ends, about_destination) for ends in self.destinations_air_mi]
        return tuple(part for part in parts if part is not None)


def air_miles(statute_mi: float) -> float:
    """Return air (nautical) miles. [mi] -> [air mi]

    >>> round(air_miles(172.6))
    150
    """
    return statute_mi * METRES_PER_MILE / METRES_PER_NAUTICAL_MILE


def night_legs(
    points: Sequence[tuple[float, float]],
    bees_on_board: Sequence[bool],
    *,
    drive_min: Sequence[float],
    stop_min: Sequence[float],
) -> tuple[Leg, ...]:
    """Return the legs of a night from its stops.

    Parameters
    ----------
    points
        Latitude and longitude of the stops in order, the base first and last; one more than legs. [deg]
    bees_on_board
        Whether bees ride on the leg, one per leg.
    drive_min
        Driving minutes of each leg. [min]
    stop_min
        Minutes on duty at the end of each leg. [min]

    Returns
    -------
    tuple of Leg
        A loaded stretch begins where the deck was empty: that stop is its source, even if more is loaded
        later [1]_; where the deck is empty again is its destination. An empty leg counts from the source of
        the stretch before it and of the one after.

    Raises
    ------
    ValueError
        If the numbers of stops and legs do not agree, or as `geodesic_miles`.

    References
    ----------
    .. [1] FMCSA, regulatory guidance on 49 CFR 395.1, question 37.

    Examples
    --------
    >>> legs = night_legs([(44.0, -90.0), (44.5, -90.0), (44.0, -90.0)], [True, False],
    ...     drive_min=[50.0, 50.0], stop_min=[30.0, 0.0])
    >>> [round(miles) for miles in legs[1].sources_air_mi[0]]
    [30, 0]
    """
    count = len(bees_on_board)
    if not len(points) - 1 == len(drive_min) == len(stop_min) == count:
        raise ValueError(
            f"{len(points)} stops, {count} legs with or without bees, {len(drive_min)} driving times and "
            f"{len(stop_min)} times at stops: there is one stop more than legs, and one of each for a leg."
        )
    table = geodesic_miles(points)

    def ends(places: Sequence[int], leg: int) -> tuple[Ends, ...]:
        return tuple((air_miles(table[place][leg]), air_miles(table[place][leg + 1])) for place in places)

    return tuple(
        Leg(drive_min[leg], stop_min[leg], bees_on_board[leg], ends(_sources(bees_on_board, leg), leg),
            ends(_destinations(bees_on_board, leg), leg))
        for leg in range(count)
    )


def _sources(bees: Sequence[bool], leg: int) -> tuple[int, ...]:
    """Return the stops that are sources of ``leg``."""
    starts = [at for at in range(len(bees)) if bees[at] and (at == 0 or not bees[at - 1])]
    before = [at for at in starts if at <= leg][-1:]
    after = [] if bees[leg] else [at for at in starts if at > leg][:1]
    return tuple(before + after)


def _destinations(bees: Sequence[bool], leg: int) -> tuple[int, ...]:
    if not bees[leg]:
        return ()
    return (next((at for at in range(leg, len(bees)) if not bees[at]), len(bees)),)


def _inside(ends: Ends, radius: float) -> Ends | None:
    """Return the part of the leg, in shares of it, where the line of distances is within ``radius``."""
    start, end = ends
    if start > radius and end > radius:
        return None
    if start <= radius and end <= radius:
        return (0.0, 1.0)
    crossing = (radius - start) / (end - start)
    return (0.0, crossing) if start <= radius else (crossing, 1.0)
