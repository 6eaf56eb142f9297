"""Hourly temperatures from daily lows and highs: a sine by day, a logarithm by night."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

PEAK_LAG_H = 4.0
"""The sine is as long as the day and these hours, so that it is warmest after noon and still warm at sunset."""
HOURS = 24
SHORTEST_NIGHT_H = 1.5
"""Far north in June: the logarithm needs more than an hour of night."""
Hourly = NDArray[np.float64]
_FIELDS = ("low", "high", "sunrise_h", "sunset_h")


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
    temperature at sunset [1]_ (equations as others quote them). In the first hour after sunset, where the logarithm would
    climb above ``Ts``, it is held there; it never goes below the next low. (Others add an hour within both logarithms:
    on a real year that was further off, in hours and in heat.) The hours before the first sunrise take
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
    if not days:
        return []
    low, high, rise, fall = (np.array([getattr(day, name) for day in days])[:, None] for name in _FIELDS)
    hour = np.arange(HOURS, dtype=np.float64)[None, :]
    length = fall - rise
    at_sunset = low + (high - low) * np.sin(np.pi * length / (length + PEAK_LAG_H))
    by_day = low + (high - low) * np.sin(np.pi * (hour - rise) / (length + PEAK_LAG_H))
    night_h = np.maximum(HOURS - length, SHORTEST_NIGHT_H)
    evening = _by_night(hour - fall, at_sunset, _next(low), night_h)
    morning = _by_night(hour + HOURS - _last(fall), _last(at_sunset), low, _last(night_h))
    found: list[float] = np.where(hour < rise, morning, np.where(hour <= fall, by_day, evening)).ravel().tolist()
    return found


def _check(day: Day) -> None:
    if day.low > day.high:
        raise ValueError(f"The low of a day, {day.low:g}, is above its high, {day.high:g}.")
    if not 0.0 <= day.sunrise_h < day.sunset_h <= HOURS:
        raise ValueError(f"A day has its sunrise at {day.sunrise_h:g} h and its sunset at {day.sunset_h:g} h.")


def _by_night(since_sunset_h: Hourly, at_sunset: Hourly, next_low: Hourly, night_h: Hourly) -> Hourly:
    share = np.log(np.maximum(since_sunset_h, 1.0)) / np.log(night_h)
    return at_sunset - (at_sunset - next_low) * np.minimum(share, 1.0)


def _next(values: Hourly) -> Hourly:
    """Return each day's value a day on; the last day's stands for the one after it."""
    return np.concatenate((values[1:], values[-1:]))


def _last(values: Hourly) -> Hourly:
    """Return each day's value a day before; the first day's stands for the one before it."""
    return np.concatenate((values[:1], values[:-1]))
