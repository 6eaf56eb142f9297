"""Spring heat: growing degree hours of the three-point curve, growing degree days by two methods.

The published constants of the hourly curve are metric, so the curve is; the sums take degrees Fahrenheit.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from routing.formulas.chill import Hours, celsius

BASE_C: Final = 4.0
BEST_C: Final = 25.0
MOST_C: Final = 36.0
"""Below the base and above the most nothing grows; at the best an hour counts ``BEST_C - BASE_C``."""


def degree_hours_of(temperature_c: Hours) -> NDArray[np.float64]:
    """Return the growing degree hours of each hour. [deg C, one an hour] -> [deg C h]

    Notes
    -----
    From 4 to 25 deg C ``(25 - 4) / 2 (1 + cos(pi + pi (T - 4) / 21))``, to 36 deg C
    ``(25 - 4) (1 + cos(pi / 2 + pi / 2 (T - 25) / 11))``, else 0 [1]_.

    References
    ----------
    .. [1] J. L. Anderson, E. A. Richardson, C. D. Kesner, "Validation of chill unit and flower bud phenology models
       for 'Montmorency' sour cherry", Acta Horticulturae 184 (1986), 71-78.

    Examples
    --------
    >>> degree_hours_of([4.0, 14.5, 25.0, 30.5, 36.0, 40.0]).round(4).tolist()
    [0.0, 10.5, 21.0, 6.1508, 0.0, 0.0]
    """
    at = np.asarray(temperature_c, dtype=np.float64)
    span = BEST_C - BASE_C
    rising = span / 2.0 * (1.0 + np.cos(np.pi + np.pi * (at - BASE_C) / span))
    falling = span * (1.0 + np.cos(np.pi / 2.0 * (1.0 + (at - BEST_C) / (MOST_C - BEST_C))))
    grown = np.where(at <= BEST_C, rising, falling)
    return np.where((at > BASE_C) & (at < MOST_C), grown, 0.0)


def growing_degree_hours(temperatures_f: Hours) -> NDArray[np.float64]:
    """Return the growing degree hours after each hour; never falls. [deg F, one an hour] -> [deg C h]

    See ``degree_hours_of`` for the curve and its source.

    Examples
    --------
    >>> growing_degree_hours([39.2, 58.1, 77.0]).round(1).tolist()
    [0.0, 10.5, 31.5]
    """
    return np.cumsum(degree_hours_of(celsius(temperatures_f)))


def degree_days_of_mean(low: float, high: float, *, base: float) -> float:
    """Return the growing degree days of one day: mean of low and high less the base, at least 0.

    Any scale, the same for all three; the result is in degree days of that scale. Method 1 of [1]_.

    References
    ----------
    .. [1] G. S. McMaster, W. W. Wilhelm, "Growing degree-days: one equation, two interpretations", Agricultural and
       Forest Meteorology 87 (1997), 291-300.

    Examples
    --------
    >>> degree_days_of_mean(3.0, 15.0, base=10.0)
    0.0
    """
    return max(0.0, (low + high) / 2.0 - base)


def degree_days_of_raised(low: float, high: float, *, base: float) -> float:
    """Return the growing degree days of one day, low and high raised to the base before the mean is taken.

    Method 2 of McMaster and Wilhelm (1997), as in ``degree_days_of_mean``; the two differ by up to 83 %.

    Examples
    --------
    >>> degree_days_of_raised(3.0, 15.0, base=10.0)
    2.5
    """
    return (max(low, base) + max(high, base)) / 2.0 - base
