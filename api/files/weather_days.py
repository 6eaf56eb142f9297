"""Days from the readings of a weather file: hours averaged, short gaps filled, whole days kept.

Rule for what is missing: up to ``most_hours_filled`` hours lie on a straight line between the hours beside them; a day
that lacks more is left out, and the door refuses more days in a row than ``most_days_filled``.
"""

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from zoneinfo import ZoneInfo

from api.files.weather_cells import Reading
from api.files.weather_clock import TwiceError, on_standard_time
from api.files.weather_faults import WeatherFaults
from routing.inputs.faults import Origin
from routing.inputs.rows import Row
from routing.limits import limit

HOURS = 24
LISTED = 6
"""Days left out that a note names."""


def daily_rows(group: Sequence[Reading], place: str, file: str) -> list[Row]:
    """Return one row for each reading of a file by the day."""
    return [_row(one, place, file, hours="") for one in group]


def hourly_rows(
    group: Sequence[Reading], place: str, zone: ZoneInfo | None, *, told: WeatherFaults, notes: list[str]
) -> list[Row]:
    """Return one row for each whole day of a file by the hour; what was filled or left out goes to ``notes``."""
    try:
        moments = on_standard_time([one.moment for one in group], zone)
    except TwiceError as error:
        twice = group[error.index]
        allowed = "each hour once; twice only where the clocks are put back"
        told.add("hour twice", twice.row, found=f"{twice.shown} twice", allowed=allowed)
        return []
    hours: dict[dt.datetime, list[float]] = defaultdict(list)
    first: dict[dt.date, Reading] = {}
    for one, moment in zip(group, moments, strict=True):
        if one.temperature_f is not None and not math.isnan(one.temperature_f):
            whole = moment.replace(minute=0, second=0, microsecond=0) if moment.minute or moment.second else moment
            hours[whole].append(one.temperature_f)
            first.setdefault(moment.date(), one)
    filled = _filled({moment: sum(found) / len(found) for moment, found in hours.items()}, place, notes)
    return _whole_days(filled, first, place, file=told.file, notes=notes)


def _filled(means: Mapping[dt.datetime, float], place: str, notes: list[str]) -> dict[dt.datetime, float]:
    """Return the hours with short gaps on a straight line."""
    most, hour = int(limit("most_hours_filled").value), dt.timedelta(hours=1)
    found, count = dict(means), 0
    for before, after in pairwise(sorted(means)):
        gap = round((after - before) / hour) - 1
        if 0 < gap <= most:
            count += gap
            step = (means[after] - means[before]) / (gap + 1)
            found |= {before + number * hour: means[before] + number * step for number in range(1, gap + 1)}
    if count:
        hours = f"{count} hour{'s' if count > 1 else ''}"
        notes.append(f"{_named(place)}{hours} on a straight line between those beside (up to {most} in a row)")
    return found


def _whole_days(
    hours: Mapping[dt.datetime, float], first: Mapping[dt.date, Reading], place: str, *, file: str, notes: list[str]
) -> list[Row]:
    days: dict[dt.date, dict[int, float]] = defaultdict(dict)
    for moment, temperature in hours.items():
        days[moment.date()][moment.hour] = temperature
    found = []
    for day in sorted(days):
        if len(days[day]) == HOURS and day in first:
            temperatures = [round(days[day][hour], 1) for hour in range(HOURS)]
            text = " ".join(f"{one:.1f}" for one in temperatures)
            found.append(_row(first[day], place, file, hours=text, day=day, low_high=(min(temperatures), max(temperatures))))
    kept = {row.values["on"] for row in found}
    left_out = [str(day) for day in sorted(days) if day.isoformat() not in kept]
    if left_out:
        more = f" and {len(left_out) - LISTED} more" if len(left_out) > LISTED else ""
        notes.append(f"{_named(place)}left out, since too many of their hours are missing: {', '.join(left_out[:LISTED])}{more}")
    return found


def _named(place: str) -> str:
    return f"{place}: " if place else ""


def _row(
    one: Reading, place: str, file: str, *, hours: str, day: dt.date | None = None,
    low_high: tuple[float, float] | None = None,
) -> Row:  # fmt: skip
    low, high = low_high or (one.low_f, one.high_f)
    day_text = (day or one.day).isoformat()
    values = {"place": place, "on": day_text, "low_f": low, "high_f": high, "hours_f": hours, "kind": one.kind}
    return Row(values, Origin(file=file, row=one.row), loose=True)
