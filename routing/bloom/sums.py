"""Chill and heat of a season, day by day, with the days to come spread as days are."""

import datetime as dt
import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from routing.bloom.weather import SeasonHours, warmer
from routing.formulas.chill import celsius, chill_portions, chilling_hours, utah_units
from routing.formulas.heat import degree_days_of_mean, degree_hours_of

NODES = (-math.sqrt(3.0), 0.0, math.sqrt(3.0))
WEIGHTS = (1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0)
"""Three points that stand for a normal spread up to its fifth moment (Gauss-Hermite): a usual day is no average day,
and heat, which is nothing below its base, is more on the mean of days than on a day of mean temperature."""


@dataclass(frozen=True)
class HeatRule:
    """What brings a crop to bloom."""

    measure: Literal["degree hours", "degree days"]
    """Growing degree hours (4, 25, 36 deg C) or growing degree days of the mean of low and high."""
    base_f: float = 39.2
    """Of degree days. [deg F]"""
    portions: float | None = None
    """Chill portions before heat counts; None: heat counts from a date."""
    from_month_day: tuple[int, int] = (1, 1)

    @property
    def unit(self) -> str:
        """Unit of the sums, in words."""
        if self.measure == "degree hours":
            return "growing degree hours (4, 25, 36 deg C)"
        return f"growing degree days over {self.base_f:g} deg F"


def heat_from_date(latitude_deg: float, month_day: tuple[int, int] = (1, 1)) -> tuple[int, int]:
    """Return month and day from which heat counts: those of the north, south of the equator half a year later."""
    month, day = month_day
    return (month, day) if latitude_deg >= 0.0 else ((month + 5) % 12 + 1, day)


@dataclass(frozen=True)
class Path:
    """One course of a season, at the end of each day."""

    start: dt.date
    portions: NDArray[np.float64]
    heat: NDArray[np.float64]
    """From the day on which heat begins to count; 0 before it."""
    heat_from: int | None
    """Day on which heat begins to count, from 0; None when the chill falls short."""

    def middle(self, heat: float) -> float | None:
        """Return the day number at which ``heat`` is reached, None when it never is.

        The day on which it is reached, less the part of that day that is left.
        """
        index = int(np.searchsorted(self.heat, heat - 1e-9))
        if self.heat_from is None or index >= len(self.heat):
            return None
        before = float(self.heat[index - 1]) if index else 0.0
        grown = float(self.heat[index]) - before
        part = (heat - before) / grown if grown > 0.0 else 1.0
        return self.start.toordinal() + index - 1 + part

    def heat_at(self, middle: float) -> float:
        """Return the heat at a day number; the inverse of ``middle``."""
        at = np.arange(len(self.heat)) + self.start.toordinal()
        return float(np.interp(middle, at, self.heat))


def path_of(season: SeasonHours, rule: HeatRule, *, day_sd_f: float, shift_f: float = 0.0) -> Path:
    """Return the course of chill and heat through a season.

    Parameters
    ----------
    season
        Seen so far, usual from then on.
    rule
        Which heat, and from when.
    day_sd_f
        Spread of single days about the usual ones. [deg F]
    shift_f
        By how much all days to come are warmer than usual. [deg F]
    """
    courses = [warmer(season, shift_f + node * day_sd_f) for node in NODES]
    portions = sum(w * daily_portions(one) for w, one in zip(WEIGHTS, courses, strict=True))
    each = sum(w * daily_heat(one, rule) for w, one in zip(WEIGHTS, courses, strict=True))
    assert isinstance(portions, np.ndarray)
    assert isinstance(each, np.ndarray)
    first = heat_from(season.start, portions, rule)
    counted = np.where(np.arange(len(each)) >= (len(each) if first is None else first), each, 0.0)
    return Path(season.start, portions, np.cumsum(counted), first)


def heat_from(start: dt.date, portions: NDArray[np.float64], rule: HeatRule) -> int | None:
    """Return the day, from 0, on which heat begins to count: the day after the chill is enough, or a date."""
    if rule.portions is not None:
        reached = np.flatnonzero(portions >= rule.portions - 1e-9)
        return int(reached[0]) + 1 if len(reached) else None
    month, day = rule.from_month_day
    date = dt.date(start.year, month, day)
    return ((date if date >= start else dt.date(start.year + 1, month, day)) - start).days


def daily_portions(season: SeasonHours) -> NDArray[np.float64]:
    """Return the chill portions at the end of each day."""
    return chill_portions(season.hours_f.ravel())[23::24]


def daily_heat(season: SeasonHours, rule: HeatRule) -> NDArray[np.float64]:
    """Return the heat of each day."""
    if rule.measure == "degree hours":
        grown: NDArray[np.float64] = degree_hours_of(celsius(season.hours_f)).sum(axis=1)
        return grown
    lows, highs = season.hours_f.min(axis=1), season.hours_f.max(axis=1)
    return np.array([degree_days_of_mean(low, high, base=rule.base_f) for low, high in zip(lows, highs, strict=True)])


def chill_so_far(season: SeasonHours) -> tuple[float, float, float]:
    """Return chilling hours, Utah units and chill portions up to the last day seen; zeros when none was."""
    seen = season.hours_f[: season.seen_days].ravel()
    if not len(seen):
        return 0.0, 0.0, 0.0
    return float(chilling_hours(seen)[-1]), float(utah_units(seen)[-1]), float(chill_portions(seen)[-1])
