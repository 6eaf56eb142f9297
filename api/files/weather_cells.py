"""One row of a weather file: its day, hour, temperatures and kind, with what is wrong in one sentence."""

import datetime as dt
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from api.files.weather_headings import TEMPERATURES, Heading, Unit, fahrenheit
from routing.inputs.cells import FIRST_YEAR, LAST_YEAR
from routing.inputs.faults import shown

LEAST_F, MOST_F = -60.0, 130.0
"""Colder and hotter than any orchard has been."""
USUAL_YEAR = 2000
"""Stands for every year in a row of usual temperatures that gives month and day alone; a leap year."""
_MISSING = ("", "na", "n/a", "nan", "null", "m", "-", "--")
_NUMBER = re.compile(r"[+-]?(\d{1,9}(\.\d{0,12})?|\.\d{1,12})", re.ASCII)
_MONTH_DAY = re.compile(r"(\d{2})-(\d{2})", re.ASCII)
_HOUR = re.compile(r"(\d{1,2})(?::(\d{2})(?::\d{2})?)?", re.ASCII)
_A_DATE = "a date such as 2027-01-05, or with its hour 2027-01-05 14:00; usual days: 01-05"
_AN_HOUR = "an hour from 0 to 24, or a time such as 14:00"


class BadCellError(ValueError):
    """A cell that cannot be read. ``kind`` groups rows with the same fault."""

    def __init__(self, kind: str, *, found: str, allowed: str) -> None:
        super().__init__(found)
        self.kind, self.found, self.allowed = kind, found, allowed


@dataclass(frozen=True)
class Reading:
    """One row as read."""

    row: int
    place: str
    moment: dt.datetime
    """Plain, or with the offset that the file gives."""
    kind: str
    temperature_f: float | None = None
    """Of an hour; NaN where it is missing; None in a file by the day. [deg F]"""
    low_f: float | None = None
    high_f: float | None = None

    @property
    def shown(self) -> str:
        """Day and hour as a fault tells them."""
        return self.moment.strftime("%Y-%m-%d" if self.temperature_f is None else "%Y-%m-%d %H:%M")

    @property
    def day(self) -> dt.date:
        """The day of the row."""
        return self.moment.date()


def reading_of(values: Sequence[str], heads: Sequence[Heading | None], *, row: int, decimal_comma: bool) -> tuple[Reading, ...]:
    """Return the reading of a row, none where a day's temperatures are missing; raise ``BadCellError``."""
    if len(values) != len(heads):
        allowed = f"{len(heads)}, as many as headings; a decimal comma needs semicolons between the values"
        raise BadCellError("length", found=f"{len(values)} values", allowed=allowed)
    cells = {head.meaning: (value.strip(), head.unit) for head, value in zip(heads, values, strict=True) if head is not None}
    moment, usual = _moment(cells["day"][0], cells["hour"][0] if "hour" in cells else None)
    kind = _kind(cells["kind"][0] if "kind" in cells else "", usual=usual)
    place = " ".join(cells["place"][0].split()) if "place" in cells else ""
    told = {name: _temperature(*cells[name], decimal_comma=decimal_comma) for name in TEMPERATURES if name in cells}
    if "temperature" in told:
        if kind == "normal":
            allowed = "usual temperatures as low and high of the day"
            raise BadCellError("usual", found="a usual temperature of one hour", allowed=allowed)
        return (Reading(row, place, moment, kind, temperature_f=told["temperature"]),)
    low, high = told["low"], told["high"]
    if math.isnan(low) and math.isnan(high):
        return ()
    if math.isnan(low) or math.isnan(high):
        raise BadCellError("half", found="one of low and high alone", allowed="both, or neither where the day is missing")
    return (Reading(row, place, moment, kind, low_f=round(low, 1), high_f=round(high, 1)),)


def _moment(day: str, hour: str | None) -> tuple[dt.datetime, bool]:
    """Return the moment of a row, and whether it stands for every year."""
    month_day = _MONTH_DAY.fullmatch(day)
    try:
        if month_day is not None:
            return dt.datetime(USUAL_YEAR, int(month_day[1]), int(month_day[2])), True
        if len(day) < 10 or day[4:5] != "-":
            raise ValueError
        moment = dt.datetime.fromisoformat(day)
    except ValueError:
        raise BadCellError("date", found=f"the date {shown(day)}", allowed=_A_DATE) from None
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise BadCellError("year", found=f"the date {shown(day)}", allowed=f"a date from {FIRST_YEAR} to {LAST_YEAR}")
    if hour is None:
        return moment, False
    found = _HOUR.fullmatch(hour)
    if found is None or int(found[1]) > 24 or int(found[2] or 0) > 59 or (int(found[1]) == 24 and int(found[2] or 0)):
        raise BadCellError("hour", found=f"the hour {shown(hour)}", allowed=_AN_HOUR)
    # 24:00 is midnight at the end of the day.
    return moment.replace(hour=0, minute=0) + dt.timedelta(hours=int(found[1]), minutes=int(found[2] or 0)), False


def _kind(text: str, *, usual: bool) -> str:
    kind = text.casefold() or ("normal" if usual else "seen")
    kind = "normal" if kind == "usual" else kind
    if kind not in ("seen", "normal"):
        raise BadCellError("kind", found=f"the kind {shown(text)}", allowed="seen or normal")
    return kind


def _temperature(text: str, unit: Unit, *, decimal_comma: bool) -> float:
    """Return a temperature, NaN where it is missing. [deg F]"""
    if text.casefold() in _MISSING:
        return math.nan
    plain = text.replace(",", ".") if decimal_comma else text
    if not _NUMBER.fullmatch(plain):
        raise BadCellError("number", found=f"the temperature {shown(text)}", allowed="a number, or nothing where it is missing")
    value = float(plain)
    temperature_f = fahrenheit(value, unit)
    if LEAST_F <= temperature_f <= MOST_F:
        return temperature_f
    raise BadCellError("range", found=f"{value:g} {_unit_words(unit)}", allowed=_range_words(value, unit))


def _unit_words(unit: Unit) -> str:
    return "K" if unit == "K" else f"deg {unit}"


def _range_words(value: float, unit: Unit) -> str:
    low, high = (_back(one, unit) for one in (LEAST_F, MOST_F))
    words = f"from {low:.0f} to {high:.0f} {_unit_words(unit)}"
    if unit != "K" and 200.0 <= value <= 340.0:
        return f"{words}; it looks like kelvin, whose heading says [K]"
    if unit == "C" and high < value <= MOST_F:
        return f"{words}; it looks like degrees F, whose heading says [deg F]"
    if value <= -90.0:
        return f"{words}; leave the cell empty where a temperature is missing"
    return words


def _back(temperature_f: float, unit: Unit) -> float:
    if unit == "F":
        return temperature_f
    return (temperature_f - 32.0) / 1.8 + (273.15 if unit == "K" else 0.0)
