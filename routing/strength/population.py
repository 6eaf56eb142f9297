"""How many bees a colony has after some days: a published model of laying, recruiting and deaths.

    dH/dt = L N / (w + N) - H (alpha - sigma F / N)        hive bees
    dF/dt = H (alpha - sigma F / N) - m F                  foragers, N = H + F
"""

import math

from routing.record import Record

STEP_DAYS = 0.25
"""Halving it moves a month's growth by less than one bee."""


class Population(Record):
    """Parameters of the model."""

    laying_per_day: float
    """L. > 0. [eggs/day]"""
    half_laying_bees: float
    """w. > 0. [bees]"""
    recruit_per_day: float
    """alpha. > 0. [1/day]"""
    recruit_back_per_day: float
    """sigma. > 0. [1/day]"""
    forager_death_per_day: float
    """m. > 0. [1/day]"""


def foraging_share(population: Population) -> float:
    """Return the share of foragers at which recruiting and deaths of foragers balance.

    Notes
    -----
    With f = F/N the second equation at rest is ``(1 - f)(alpha - sigma f) = m f``, a square in f; the smaller
    root lies between 0 and 1.
    """
    a, s, m = (population.recruit_per_day, population.recruit_back_per_day, population.forager_death_per_day)
    b = a + s + m
    return (b - math.sqrt(b * b - 4.0 * s * a)) / (2.0 * s)


def steady_bees(population: Population) -> float:
    """Return the bees at which the colony neither grows nor declines; 0 where it fails. [bees]

    Notes
    -----
    ``L N / (w + N) = m f N`` gives ``N = L / (m f) - w``: nothing is left when m f exceeds L / w [1]_.

    References
    ----------
    .. [1] D. S. Khoury, M. R. Myerscough, A. B. Barron, "A quantitative model of honey bee colony population
       dynamics", PLoS ONE 6(4), e18491 (2011).
    """
    dying = population.forager_death_per_day * foraging_share(population)
    return max(0.0, population.laying_per_day / dying - population.half_laying_bees)


def bees_after(population: Population, bees: float, *, days: int) -> float:
    """Return the bees of a colony after some days, foragers at their balanced share at the start.

    Parameters
    ----------
    population
        Parameters.
    bees
        Bees today. >= 0.
    days
        >= 0.

    Returns
    -------
    float
        Bees, hive bees and foragers together; by the classical Runge-Kutta rule in steps of a quarter day.
    """
    share = foraging_share(population)
    state = (bees * (1.0 - share), bees * share)
    for _ in range(round(days / STEP_DAYS)):
        state = _step(population, state)
    return sum(state)


_State = tuple[float, float]


def _step(population: Population, at: _State) -> _State:
    k1 = _rates(population, at)
    k2 = _rates(population, _moved(at, k1, STEP_DAYS / 2.0))
    k3 = _rates(population, _moved(at, k2, STEP_DAYS / 2.0))
    k4 = _rates(population, _moved(at, k3, STEP_DAYS))
    mean = tuple((a + 2.0 * b + 2.0 * c + d) / 6.0 for a, b, c, d in zip(k1, k2, k3, k4, strict=True))
    return _moved(at, (mean[0], mean[1]), STEP_DAYS)


def _moved(at: _State, rate: _State, days: float) -> _State:
    return at[0] + rate[0] * days, at[1] + rate[1] * days


def _rates(population: Population, at: _State) -> _State:
    hive, foragers = at
    total = hive + foragers
    if total <= 0.0:
        return 0.0, 0.0
    born = population.laying_per_day * total / (population.half_laying_bees + total)
    recruited = hive * (population.recruit_per_day - population.recruit_back_per_day * foragers / total)
    return born - recruited, recruited - population.forager_death_per_day * foragers
