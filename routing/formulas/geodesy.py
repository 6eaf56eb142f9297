"""Straight distances over the Earth, on the WGS 84 ellipsoid."""

from collections.abc import Sequence

import numpy as np
from pyproj import Geod

from routing.units import METRES_PER_MILE

_WGS84 = Geod(ellps="WGS84")


def geodesic_miles(points: Sequence[tuple[float, float]]) -> list[list[float]]:
    """Return the shortest distance over the ellipsoid between every two points.

    Parameters
    ----------
    points
        Latitude and longitude of each point, WGS 84, north and east positive. [deg]

    Returns
    -------
    list of list of float
        Row ``i``, column ``j``: from point ``i`` to point ``j``; symmetric, zero on the diagonal. [mi]

    Raises
    ------
    ValueError
        If a latitude or longitude is not a number or lies off the globe.

    Notes
    -----
    Karney's geodesic [1]_, better than a millimetre, by PROJ. Only the half above the diagonal is worked out.

    References
    ----------
    .. [1] C. F. F. Karney (2013), "Algorithms for geodesics", Journal of Geodesy 87, 43-55.
       https://doi.org/10.1007/s00190-012-0578-z

    Examples
    --------
    >>> [[round(mile, 3) for mile in row] for row in geodesic_miles([(44.0, -90.0), (45.0, -90.0)])]
    [[0.0, 69.048], [69.048, 0.0]]
    """
    place = _checked(points)
    count = len(place)
    table = np.zeros((count, count))
    origin, destination = np.triu_indices(count, k=1)
    if origin.size:
        _, _, metres = _WGS84.inv(
            place[origin, 1], place[origin, 0], place[destination, 1], place[destination, 0]
        )
        table[origin, destination] = np.asarray(metres) / METRES_PER_MILE
    rows: list[list[float]] = (table + table.T).tolist()
    return rows


def _checked(points: Sequence[tuple[float, float]]) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    place = np.asarray(points, dtype=np.float64).reshape(len(points), 2)
    wrong = ~((np.abs(place[:, 0]) <= 90.0) & (np.abs(place[:, 1]) <= 180.0))
    if wrong.any():
        first = int(np.flatnonzero(wrong)[0])
        raise ValueError(
            f"Point {first + 1}: latitude {place[first, 0]}, longitude {place[first, 1]}; "
            "latitude lies between -90 and 90, longitude between -180 and 180."
        )
    return place
