"""How many hives of a group are alive on a day: losses of winter and summer, by the day."""

import datetime as dt
import math
from statistics import NormalDist

from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.inspection import latest_inspection

WINTER_FIRST, SUMMER_FIRST = 10, 4
"""Months in which the survey's winter and summer begin (1 October, 1 April; from memory)."""


class HivesLeft(Record):
    """Hives of one group on a day."""

    on: dt.date
    expected: float
    sd: float
    """Of single losses by chance and of one year to another. [hives]"""
    at_least: int
    """With the confidence ``strength_confidence``."""
    counted: int
    """What a plan counts on: the hives told, less ``loss_counted_share`` of the expected loss, in whole hives."""
    share_lost: float
    since: dt.date
    """Day on which the hives were counted last."""


def hives_on(operation: Operation, group: HiveGroup, day: dt.date) -> HivesLeft:
    """Return the hives of a group that are alive on a day.

    Parameters
    ----------
    operation
        Gives the last count of hives, ``loss_winter_share``, ``loss_summer_share``, ``loss_year_sd_share``
        and ``loss_counted_share``.
    group
        A group of the operation.
    day
        Any day; before the last count nothing is lost yet.

    Returns
    -------
    HivesLeft
        Each hive dies on its own with a chance that grows day by day to a season's share; from year to year
        that share has a spread of its own.

    Notes
    -----
    Alive after d of a season's D days: ``(1 - share)^(d / D)``. Variance: that of a binomial, and
    ``(hives x sd of the share)^2`` for the year.
    """
    seen = latest_inspection(operation, group, day)
    since = seen.on or group.inspected_on
    lived, parts = _alive(operation, since, day)
    expected = seen.hives * lived
    year_sd = constant(operation, "loss_year_sd_share") * parts
    sd = math.sqrt(seen.hives * lived * (1.0 - lived) + (seen.hives * year_sd) ** 2)
    bound = expected - NormalDist().inv_cdf(constant(operation, "strength_confidence")) * sd
    share = constant(operation, "loss_counted_share")
    return HivesLeft(
        on=day, expected=expected, sd=sd, at_least=max(0, math.floor(min(bound, seen.hives) + 1e-9)),
        counted=math.floor(seen.hives - share * (seen.hives - expected) + 1e-9), share_lost=1.0 - lived, since=since,
    )  # fmt: skip


def _alive(operation: Operation, since: dt.date, until: dt.date) -> tuple[float, float]:
    """Return the share alive, and the seasons gone through: 0.5 is half of one."""
    lived, parts, day = 1.0, 0.0, since
    while day < until:
        winter = not SUMMER_FIRST <= day.month < WINTER_FIRST
        begin, end = _season(day, winter=winter)
        upto = min(end, until)
        part = (upto - day).days / (end - begin).days
        lived *= (1.0 - constant(operation, "loss_winter_share" if winter else "loss_summer_share")) ** part
        parts += part
        day = upto
    return lived, parts


def _season(day: dt.date, *, winter: bool) -> tuple[dt.date, dt.date]:
    if not winter:
        return dt.date(day.year, SUMMER_FIRST, 1), dt.date(day.year, WINTER_FIRST, 1)
    year = day.year if day.month >= WINTER_FIRST else day.year - 1
    return dt.date(year, WINTER_FIRST, 1), dt.date(year + 1, SUMMER_FIRST, 1)
