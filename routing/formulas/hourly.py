"""Hourly temperatures from daily lows and highs: a sine by day, a logarithm by night."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

PEAK_LAG_H = 4.0
"""The sine is as long as the day and these hours, so that it is warmest after noon and still warm at sunset."""
HOURS = 24


@dataclass(frozen=True, slots=True)
class Day:
    """One day: its low, its high, and when the sun rises and sets on the clock that the hours are to have."""

    low: float
    high: float
    sunrise_h: float
    """[h after midnight]"""
    sunset_h: float


def hours_of_days(days: Sequence[Day]) -> list[float]:
    """Return the temperature at each full hour of days that follow one another.

    Parameters
    ----------
    days
        In order, none left out; lows at or below highs; temperatures on any scale.

    Returns
    -------
    list of float
        24 for each day, at 0, 1 ... 23 h.

    Raises
    ------
    ValueError
        If a low is above its high, or a day does not have 0 <= sunrise < sunset <= 24.

    Notes
    -----
    From sunrise to sunset ``low + (high - low) sin(pi t / (L + 4))``, ``t`` hours after sunrise, ``L`` the length of
    the day; from sunset on ``Ts - (Ts - next low) ln(t) / ln(24 - L)``, ``t`` hours after sunset, ``Ts`` the
    temperature at sunset [1]_ (equations from memory). In the first hour after sunset, where the logarithm would
    climb above ``Ts``, it is held there; it never goes below the next low. The hours before the first sunrise take
    the first day for the one before it.

    References
    ----------
    .. [1] D. E. Linvill, "Calculating chilling hours and chill units from daily maximum and minimum temperature
       observations", HortScience 25 (1990), 14-16.

    Examples
    --------
    >>> from routing.formulas.hourly import Day, hours_of_days
    >>> hours = hours_of_days([Day(40.0, 60.0, 6.0, 18.0)])
    >>> hours[6], hours[14], round(hours[18], 2)
    (40.0, 60.0, 54.14)
    """
    for day in days:
        _check(day)
    found: list[float] = []
    for index, day in enumerate(days):
        before = days[index - 1] if index else day
        after = days[index + 1] if index + 1 < len(days) else day
        found.extend(_at(hour, before, day, after) for hour in range(HOURS))
    return found


def _check(day: Day) -> None:
    if day.low > day.high:
        raise ValueError(f"The low of a day, {day.low:g}, is above its high, {day.high:g}.")
    if not 0.0 <= day.sunrise_h < day.sunset_h <= HOURS:
        raise ValueError(f"A day has its sunrise at {day.sunrise_h:g} h and its sunset at {day.sunset_h:g} h.")


def _at(hour: int, before: Day, day: Day, after: Day) -> float:
    if hour < day.sunrise_h:
        return _by_night(hour + HOURS - before.sunset_h, before, day.low)
    if hour <= day.sunset_h:
        return _by_day(hour, day)
    return _by_night(hour - day.sunset_h, day, after.low)


def _by_day(hour: float, day: Day) -> float:
    length_h = day.sunset_h - day.sunrise_h
    return day.low + (day.high - day.low) * math.sin(math.pi * (hour - day.sunrise_h) / (length_h + PEAK_LAG_H))


def _by_night(since_sunset_h: float, day: Day, next_low: float) -> float:
    at_sunset = _by_day(day.sunset_h, day)
    night_h = max(HOURS - (day.sunset_h - day.sunrise_h), 1.5)
    share = math.log(max(since_sunset_h, 1.0)) / math.log(night_h)
    return at_sunset - (at_sunset - next_low) * min(share, 1.0)
