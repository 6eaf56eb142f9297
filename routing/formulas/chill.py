"""Winter chill by the hour: chilling hours, Utah chill units, portions of the Dynamic Model.

The published constants are metric, so the curves are; the sums take degrees Fahrenheit, as the rest of the house.
"""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

Hours = Sequence[float] | NDArray[np.float64]
"""One temperature an hour, in order of time, none left out."""

CHILLING_LEAST_F, CHILLING_MOST_F = 32.0, 45.0
"""The trade's whole degrees; in metric tables 0 and 7.2 deg C."""
UTAH_EDGES_C: Final = (1.4, 2.4, 9.1, 12.4, 15.9, 18.0)
"""Each band reaches from above one edge up to and including the next."""
UTAH_UNITS: Final = (0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0)

E0, E1, A0, A1 = 4153.5, 12888.8, 139500.0, 2.567e18
"""Activation energies over the gas constant [K] and rates [1/h] of making and breaking the intermediate product."""
SLOPE, TF_K, KELVIN = 1.6, 277.0, 273.0
"""Steepness and middle of the step that fixes a portion; the model's own zero of Celsius is 273, not 273.15. [K]"""


def celsius(temperatures_f: Hours) -> NDArray[np.float64]:
    """Return degrees Celsius of many temperatures. [deg F] -> [deg C]"""
    return (np.asarray(temperatures_f, dtype=np.float64) - 32.0) * (5.0 / 9.0)


def chilling_hours(temperatures_f: Hours) -> NDArray[np.float64]:
    """Return the chilling hours after each hour.

    Parameters
    ----------
    temperatures_f
        One an hour. [deg F]

    Returns
    -------
    array
        Same length; hours from 32 to 45 deg F (0 to 7.2 deg C) so far, both included. Never falls. [h]

    Notes
    -----
    The oldest measure of chill [1]_: simple, and poor where winters are warm.

    References
    ----------
    .. [1] J. H. Weinberger, "Chilling requirements of peach varieties", Proc. Am. Soc. Hort. Sci. 56 (1950), 122-128.

    Examples
    --------
    >>> chilling_hours([31.0, 40.0, 45.0, 50.0]).tolist()
    [0.0, 1.0, 2.0, 2.0]
    """
    at = np.asarray(temperatures_f, dtype=np.float64)
    counts = (at >= CHILLING_LEAST_F) & (at <= CHILLING_MOST_F)
    return np.cumsum(counts.astype(np.float64))


def utah_unit(temperature_c: float) -> float:
    """Return the Utah chill unit of one hour. [deg C] -> [chill units]

    Notes
    -----
    Up to 1.4 deg C 0, to 2.4 0.5, to 9.1 1, to 12.4 0.5, to 15.9 0, to 18.0 -0.5, above -1 [1]_. A version in whole
    degrees Fahrenheit has other edges (34, 36, 48, 54, 60, 65): this is the metric one.

    References
    ----------
    .. [1] E. A. Richardson, S. D. Seeley, D. R. Walker, "A model for estimating the completion of rest for 'Redhaven'
       and 'Elberta' peach trees", HortScience 9 (1974), 331-332.

    Examples
    --------
    >>> [utah_unit(one) for one in (1.4, 2.4, 9.1, 12.4, 15.9, 18.0, 18.1)]
    [0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0]
    """
    return UTAH_UNITS[sum(temperature_c > edge for edge in UTAH_EDGES_C)]


def utah_units(temperatures_f: Hours) -> NDArray[np.float64]:
    """Return the Utah chill units after each hour; warm hours take away. [deg F, one an hour] -> [chill units]

    See ``utah_unit`` for the bands and their source.
    """
    # A hair is taken off: an edge given in degrees F must not fall on its other side by rounding.
    bands = np.searchsorted(np.asarray(UTAH_EDGES_C), celsius(temperatures_f) - 1e-9, side="left")
    return np.cumsum(np.asarray(UTAH_UNITS)[bands])


def chill_portions(temperatures_f: Hours) -> NDArray[np.float64]:
    """Return the chill portions of the Dynamic Model after each hour.

    Parameters
    ----------
    temperatures_f
        One an hour, from the start of the cold season on. [deg F]

    Returns
    -------
    array
        Same length; portions fixed so far. Never falls. [chill portions]

    Notes
    -----
    Cold builds an intermediate product, warmth breaks it down; when it is whole, a share of it that depends on the
    temperature is fixed for good as a portion, and only what is left goes on [1]_ [2]_. The step through one hour is
    exact for a constant temperature: ``x' = xs - (xs - x) exp(-k1)``. The first hour only starts the count, as in the
    spreadsheet that is handed on with the model, so that figures compare with others digit for digit.

    References
    ----------
    .. [1] S. Fishman, A. Erez, G. A. Couvillon, "The temperature dependence of dormancy breaking in plants",
       Journal of Theoretical Biology 124 (1987), 473-483 and 126 (1987), 309-321.
    .. [2] A. Erez, S. Fishman, G. C. Linsley-Noakes, P. Allan, "The dynamic model for rest completion in peach
       buds", Acta Horticulturae 276 (1990), 165-174.

    Examples
    --------
    >>> float(chill_portions([42.8] * 720)[-1].round(4))
    24.4326
    """
    kelvin = celsius(temperatures_f) + KELVIN
    whole = A0 / A1 * np.exp((E1 - E0) / kelvin)
    left = np.exp(-A1 * np.exp(-E1 / kelvin))
    ratio = np.exp(SLOPE * TF_K * (kelvin - TF_K) / kelvin)
    fixed = ratio / (1.0 + ratio)
    portions = np.empty(len(kelvin))
    product = total = 0.0
    for hour, (most, share_left, share_fixed) in enumerate(zip(whole.tolist(), left.tolist(), fixed.tolist(), strict=True)):
        product = most - (most - product) * share_left if hour else 0.0
        if product >= 1.0:
            total += product * share_fixed
            portions[hour] = total
            product *= 1.0 - share_fixed
        else:
            portions[hour] = total
    return portions


def rest_ends(portions: Hours, needed: float) -> int | None:
    """Return the first hour at which ``needed`` portions are reached; None when they never are.

    Examples
    --------
    >>> rest_ends([0.0, 0.9, 1.8], 1.0), rest_ends([0.0, 0.9], 1.0), rest_ends([0.0], 0.0)
    (2, None, 0)
    """
    reached = np.flatnonzero(np.asarray(portions) >= needed - math.ulp(needed))
    return int(reached[0]) if len(reached) else None
