"""The curve along which a colony grows or declines between two days."""

import datetime as dt

from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.strength.population import Population, bees_after

DAYS_A_WEEK = 7.0


def curve_frames(operation: Operation, frames: float, *, since: dt.date, until: dt.date) -> float:
    """Return the frames of bees that a colony gains along the curve between two days.

    Parameters
    ----------
    operation
        Gives ``growth_model_share`` and the figures of both curves.
    frames
        Strength on ``since``; the curve by month does not depend on it. [frames]
    since, until
        Days; the later one may come first.

    Returns
    -------
    float
        Negative where the colony declines; with its sign turned when ``until`` comes before ``since``. The
        room of the boxes is not looked at. [frames]

    Notes
    -----
    By month: growth is linear once the brood nest is set [1]_, at each month's own rate. By population: a
    model of hive bees and foragers [2]_, at ``bees_per_frame``; of the past it can tell only by turning the
    growth from today's size about.

    References
    ----------
    .. [1] R. Oliver, "Understanding colony buildup and decline, part 4: the linear growth phase", American
       Bee Journal (May 2015).
    .. [2] D. S. Khoury, M. R. Myerscough, A. B. Barron, PLoS ONE 6(4), e18491 (2011).
    """
    share = constant(operation, "growth_model_share")
    total = 0.0
    if share < 1.0:
        total += (1.0 - share) * _by_month(operation, since, until)
    if share > 0.0:
        total += share * _by_population(operation, frames, (until - since).days)
    return total


def population(operation: Operation) -> Population:
    """Return the parameters of the population model, the user's own where there are such."""
    return Population(**{name: constant(operation, f"population_{name}") for name in Population.model_fields})


def _by_population(operation: Operation, frames: float, days: int) -> float:
    per_frame = constant(operation, "bees_per_frame")
    bees = max(0.0, frames) * per_frame
    grown = (bees_after(population(operation), bees, days=abs(days)) - bees) / per_frame
    return grown if days >= 0 else -grown


def _by_month(operation: Operation, since: dt.date, until: dt.date) -> float:
    """Return the sum over days; the growth of a day counts on the next."""
    if until < since:
        return -_by_month(operation, until, since)
    total, day = 0.0, since
    while day < until:
        month_end = (day.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
        upto = min(month_end, until)
        total += constant(operation, f"growth_month_{day.month:02d}") * (upto - day).days / DAYS_A_WEEK
        day = upto
    return total
