"""The hours of one cold and warm season at one orchard: seen so far, usual from then on.

A season runs from the day from which chill is counted for a year; its hours are on standard time, 24 a day.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from routing.formulas.geodesy import geodesic_miles
from routing.formulas.hourly import HOURS, Day, hours_of_days
from routing.formulas.sun import NoNightError, sun_times
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.phenology import Weather
from routing.inputs.places import Place, places

DAYS = 365
LEAST_YEARS_USUAL = 3
"""Earlier years before the usual temperatures of a day are taken from them."""
WINDOW_DAYS = 7
"""Days to each side that the usual temperature of a day is averaged over."""
SUN_STEP_DAYS = 5
DARK_DAY = (6.0, 20.0)
"""Sunrise and sunset where the sun does not set or rise that day: far north, where nothing is pollinated. [h]"""


class NoWeatherError(ValueError):
    """The weather given cannot bear a forecast; the text is one clear clause."""


@dataclass(frozen=True)
class SeasonHours:
    """Hours of one season."""

    start: dt.date
    hours_f: NDArray[np.float64]
    """Shape (days, 24), standard time. [deg F]"""
    seen_days: int
    """Days from the start up to the last one seen; the rest are usual."""
    filled: tuple[str, ...] = ()
    """What was put where a temperature was missing, in words."""

    @property
    def as_of(self) -> dt.date:
        """The last day seen; the day before the start when there is none."""
        return self.start + dt.timedelta(days=self.seen_days - 1)


def season_start(operation: Operation, place: Place, day: dt.date) -> dt.date:
    """Return the first day of the season in which ``day`` lies, by ``chill_from_month``."""
    month = int(constant(operation, "chill_from_month"))
    if place.latitude_deg < 0.0:
        month = (month + 5) % 12 + 1
    start = dt.date(day.year, month, 1)
    return start if start <= day else dt.date(day.year - 1, month, 1)


def rows_for(operation: Operation, place: Place, kind: str) -> tuple[Weather, ...]:
    """Return the rows of one kind for a place: its own, else those for everywhere, else those of the nearest place."""
    return station(operation, place, kind)[0]


def station(operation: Operation, place: Place, kind: str) -> tuple[tuple[Weather, ...], str]:
    """Return the rows of one kind for a place, and in words whose they are when they are another place's.

    Its own rows come first, then those for everywhere, then those of the nearest place within ``weather_reach_mi``.
    """
    names = {row.place for row in operation.weather if row.kind == kind}
    name, told = place.name, ""
    if name not in names:
        name = ""
    if name not in names:
        name, told = _nearest(operation, place, names)
    return tuple(row for row in operation.weather if row.kind == kind and row.place == name), told


def _nearest(operation: Operation, place: Place, names: set[str]) -> tuple[str, str]:
    """Return the nearest place that has weather, and a word on it; no name where none is near enough."""
    others = [one for one in places(operation).values() if one.name in names]
    if not others:
        return "", ""
    points = [(one.latitude_deg, one.longitude_deg) for one in (place, *others)]
    miles, nearest = min((far, one.name) for far, one in zip(geodesic_miles(points)[0][1:], others, strict=True))
    if miles > constant(operation, "weather_reach_mi"):
        return "", ""
    return nearest, f"weather of {nearest}, {miles:.0f} miles away, since the orchard has none of its own"


def season_hours(operation: Operation, place: Place, start: dt.date) -> SeasonHours:
    """Return the hours of the season that begins on ``start``.

    Parameters
    ----------
    operation
        Gives the weather and ``most_days_filled``.
    place
        The orchard; its own rows are taken, else those for everywhere, else those of the nearest place.
    start
        First day of the season.

    Returns
    -------
    SeasonHours
        Up to the last day seen what was seen, with gaps of at most ``most_days_filled`` days filled on a straight
        line; before the first day seen and after the last the usual temperatures, as far as there are any.

    Raises
    ------
    NoWeatherError
        If a gap is longer, or there is neither anything seen nor anything usual.
    """
    rows, told = station(operation, place, "seen")
    seen = {(row.on - start).days: row for row in rows if 0 <= (row.on - start).days < DAYS}
    usual = usual_days(operation, place, start)
    if not seen and usual is None:
        raise NoWeatherError("there is neither weather seen in this season nor usual temperatures")
    last = max(seen, default=-1)
    end = DAYS if usual is not None else last + 1
    lows_highs = np.full((end, 2), np.nan)
    for index, row in seen.items():
        lows_highs[index] = (row.low_f, row.high_f)
    filled = [told] if told else []
    first = min(seen, default=0)
    most = constant(operation, "most_days_filled")
    _fill(lows_highs[first : last + 1], start + dt.timedelta(days=first), most=most, told=filled)
    missing = np.isnan(lows_highs[:, 0])
    if usual is not None:
        lows_highs[missing] = usual[:end][missing]
        if seen and first > 0:
            filled.append(f"usual temperatures before {start + dt.timedelta(days=first)}, since nothing was seen")
    elif missing.any():
        raise NoWeatherError(f"nothing was seen from {start} to {start + dt.timedelta(days=first - 1)}, and nothing is usual")
    hours = _hours(place, start, lows_highs)
    for index, row in seen.items():
        if row.hours_f:
            hours[index] = [float(one) for one in row.hours_f.split()]
    return SeasonHours(start, hours, last + 1, tuple(filled))


def usual_season(operation: Operation, place: Place, start: dt.date) -> SeasonHours | None:
    """Return a season of nothing but usual days; None when none are known."""
    usual = usual_days(operation, place, start)
    return None if usual is None else SeasonHours(start, _hours(place, start, usual), 0)


def usual_days(operation: Operation, place: Place, start: dt.date) -> NDArray[np.float64] | None:
    """Return the usual low and high of each day from ``start`` on, shape (365, 2); None when not known. [deg F]

    From the rows of usual days, straight lines between them; without such rows the mean of the days seen in earlier
    seasons, over 7 days to each side, from ``LEAST_YEARS_USUAL`` of them on.
    """
    rows = rows_for(operation, place, "normal")
    if rows:
        return _between_rows(rows, start)
    earlier = [row for row in rows_for(operation, place, "seen") if row.on < start]
    return _mean_of_years(earlier, start)


def _between_rows(rows: Iterable[Weather], start: dt.date) -> NDArray[np.float64]:
    known = sorted({_day_of_year(row.on): row for row in rows}.items())
    at = np.array([day for day, _ in known], dtype=np.float64)
    wanted = [_day_of_year(start + dt.timedelta(days=number)) for number in range(DAYS)]
    columns = [np.interp(wanted, at, [pick(row) for _, row in known], period=DAYS) for pick in (_low, _high)]
    return np.stack(columns, axis=1)


def _mean_of_years(rows: list[Weather], start: dt.date) -> NDArray[np.float64] | None:
    totals, counts = np.zeros((DAYS, 2)), np.zeros(DAYS)
    years: list[set[int]] = [set() for _ in range(DAYS)]
    for row in rows:
        for number in range(-WINDOW_DAYS, WINDOW_DAYS + 1):
            index = (_day_of_year(row.on) + number) % DAYS
            totals[index] += (row.low_f, row.high_f)
            counts[index] += 1
            years[index].add(row.on.year)
    if min(len(one) for one in years) < LEAST_YEARS_USUAL:
        return None
    wanted = [_day_of_year(start + dt.timedelta(days=number)) for number in range(DAYS)]
    mean: NDArray[np.float64] = (totals / counts[:, None])[wanted]
    return mean


def _low(row: Weather) -> float:
    return row.low_f


def _high(row: Weather) -> float:
    return row.high_f


def _day_of_year(day: dt.date) -> int:
    """Return the day of the year from 0; February 29 counts as the 28th."""
    plain = dt.date(2001, day.month, 28 if (day.month, day.day) == (2, 29) else day.day)
    return plain.timetuple().tm_yday - 1


def _fill(lows_highs: NDArray[np.float64], first: dt.date, *, most: float, told: list[str]) -> None:
    """Fill short gaps in place; raise ``NoWeatherError`` at a long one."""
    missing = np.isnan(lows_highs[:, 0])
    if not missing.any():
        return
    there = np.flatnonzero(~missing)
    for before, after in pairwise(there.tolist()):
        gap = after - before - 1
        if gap > most:
            raise NoWeatherError(
                f"no temperature from {first + dt.timedelta(days=before + 1)} to {first + dt.timedelta(days=after - 1)}"
                f" ({gap} days; at most {most:g} are filled)"
            )
        if gap:
            told.append(f"{gap} day{'s' if gap > 1 else ''} from {first + dt.timedelta(days=before + 1)} on a straight line")
    for column in (0, 1):
        lows_highs[missing, column] = np.interp(np.flatnonzero(missing), there, lows_highs[there, column])


def _hours(place: Place, start: dt.date, lows_highs: NDArray[np.float64]) -> NDArray[np.float64]:
    sun = _sun_of_year(round(place.latitude_deg, 1), round(place.longitude_deg, 1), place.time_zone)
    days = [
        Day(float(low), float(high), *sun[_day_of_year(start + dt.timedelta(days=number))])
        for number, (low, high) in enumerate(lows_highs)
    ]
    return np.asarray(hours_of_days(days)).reshape(len(days), HOURS)


@cache
def _sun_of_year(latitude_deg: float, longitude_deg: float, time_zone: str) -> tuple[tuple[float, float], ...]:
    """Return sunrise and sunset of each day of the year on standard time. [h after midnight]

    A tenth of a degree and every fifth day: sunrise moves at most 3 minutes a day, far less than an hour.
    """
    year = dt.date(2001, 1, 1)
    at = range(0, DAYS + SUN_STEP_DAYS, SUN_STEP_DAYS)
    found = [_sun(latitude_deg, longitude_deg, year + dt.timedelta(days=number), time_zone) for number in at]
    rise, fall = (np.interp(range(DAYS), at, [one[column] for one in found]) for column in (0, 1))
    return tuple(zip(rise.tolist(), fall.tolist(), strict=True))


def _sun(latitude_deg: float, longitude_deg: float, day: dt.date, time_zone: str) -> tuple[float, float]:
    try:
        before = sun_times(latitude_deg, longitude_deg, night=day - dt.timedelta(days=1), time_zone=time_zone)
        after = sun_times(latitude_deg, longitude_deg, night=day, time_zone=time_zone)
    except NoNightError:
        return DARK_DAY
    hours = [_standard_h(moment, day) for moment in (before.sunrise, after.sunset)]
    return max(hours[0], 0.0), min(hours[1], 24.0)


def _standard_h(moment: dt.datetime, day: dt.date) -> float:
    standard = moment.replace(tzinfo=None) - (moment.dst() or dt.timedelta())
    return (standard - dt.datetime.combine(day, dt.time())).total_seconds() / 3600.0


def warmer(season: SeasonHours, by_f: float) -> SeasonHours:
    """Return the season with the days that are not seen yet warmer by ``by_f``. [deg F]"""
    hours = season.hours_f.copy()
    hours[season.seen_days :] += by_f
    return replace(season, hours_f=hours)
