"""Quantiles of Student's t distribution, without a statistics library."""

import math
from functools import lru_cache

HALVINGS = 60
"""The angle is then known to 2e-18, finer than a double can say."""


def t_share(t: float, degrees_of_freedom: int) -> float:
    """Return the share of Student's distribution that lies at or below ``t``.

    Parameters
    ----------
    t
        Any number.
    degrees_of_freedom
        >= 1.

    Returns
    -------
    float
        Between 0 and 1.

    Raises
    ------
    ValueError
        If ``degrees_of_freedom`` is below 1.

    Notes
    -----
    For whole degrees of freedom the share between -t and t is a finite sum in the angle
    ``atan(t / sqrt(df))`` [1]_, so nothing is approximated.

    References
    ----------
    .. [1] Abramowitz and Stegun, "Handbook of Mathematical Functions", National Bureau of Standards (1964),
       26.7.3 and 26.7.4 (from memory; tested against published values of t).
    """
    _check(degrees_of_freedom)
    return 0.5 + 0.5 * _between(math.atan(t / math.sqrt(degrees_of_freedom)), degrees_of_freedom)


@lru_cache(maxsize=4096)
def t_quantile(share: float, degrees_of_freedom: int) -> float:
    """Return the t at or below which ``share`` of Student's distribution lies.

    Parameters
    ----------
    share
        Between 0 and 1, both excluded.
    degrees_of_freedom
        >= 1.

    Returns
    -------
    float
        For instance 1.8946 for 0.95 and 7 degrees of freedom.

    Raises
    ------
    ValueError
        If ``share`` or ``degrees_of_freedom`` is out of range.

    Examples
    --------
    >>> round(t_quantile(0.95, 7), 4)
    1.8946
    """
    _check(degrees_of_freedom)
    if not 0.0 < share < 1.0:
        raise ValueError(f"The share {share} must lie between 0 and 1.")
    low, high = -math.pi / 2.0, math.pi / 2.0
    for _ in range(HALVINGS):
        angle = (low + high) / 2.0
        if 0.5 + 0.5 * _between(angle, degrees_of_freedom) < share:
            low = angle
        else:
            high = angle
    return math.tan((low + high) / 2.0) * math.sqrt(degrees_of_freedom)


def _between(angle: float, degrees_of_freedom: int) -> float:
    """Return the share between -t and t for ``angle = atan(t / sqrt(df))``; negative below 0."""
    cosine_squared = math.cos(angle) ** 2
    odd = degrees_of_freedom % 2 == 1
    term = math.sin(angle) * (math.cos(angle) if odd else 1.0)
    total = term if degrees_of_freedom > 1 else 0.0
    for k in range(2 if odd else 1, degrees_of_freedom - 2, 2):
        term *= cosine_squared * k / (k + 1.0)
        total += term
    return 2.0 / math.pi * (angle + total) if odd else total


def _check(degrees_of_freedom: int) -> None:
    if degrees_of_freedom < 1:
        raise ValueError(f"Degrees of freedom are {degrees_of_freedom}; there must be at least 1.")
