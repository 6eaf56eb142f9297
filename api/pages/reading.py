"""How one reader reads: US customary or metric units, a 12- or 24-hour clock, a light or a dark ground.

Kept in a cookie of the reader's own browser; the plan knows nothing of it.
"""

import datetime as dt
from typing import Literal, get_args
from zoneinfo import ZoneInfo

from fastapi import Request

from api.pages.say import count, say
from routing.finding import Finding
from routing.record import Record
from routing.sheets.words import amount, feet_and_inches, hours_and_minutes
from routing.units import CM_PER_INCH, METRES_PER_MILE, celsius_from_fahrenheit, kg_from_lb

COOKIE = "bloomhaul-reader"
Units = Literal["us", "metric"]
Clock = Literal["12", "24"]
Ground = Literal["machine", "daylight", "dusk"]


class Reader(Record):
    """What one reader has chosen."""

    units: Units = "us"
    clock: Clock = "12"
    ground: Ground = "machine"

    @property
    def cookie(self) -> str:
        """The choice as the cookie keeps it."""
        return f"{self.units}.{self.clock}.{self.ground}"

    def miles(self, miles: float) -> str:
        """Return a distance: ``28.0 miles`` or ``45.1 km``. [mi]"""
        if self.units == "us":
            return say("unit.miles", n=f"{miles:,.1f}")
        return say("unit.km", n=f"{miles * METRES_PER_MILE / 1000:,.1f}")

    def weight(self, weight_lb: float) -> str:
        """Return a weight: ``12,300 lb`` or ``5,579 kg``. [lb]"""
        return f"{weight_lb:,.0f} lb" if self.units == "us" else f"{kg_from_lb(weight_lb):,.0f} kg"

    def length(self, length_in: float) -> str:
        """Return a length as read on a tape: ``12 ft 4 in`` or ``3.76 m``. [in]"""
        return feet_and_inches(length_in) if self.units == "us" else f"{length_in * CM_PER_INCH / 100:.2f} m"

    def acres(self, acres: float) -> str:
        """Return an area: ``11.9 acres`` or ``4.8 ha``. [acres]"""
        # 1 acre = 4 046.873 m2 (NIST SP 811, appendix B.8, from memory).
        return say("unit.acres", n=f"{acres:,.1f}") if self.units == "us" else f"{acres * 0.4046873:,.1f} ha"

    def figure(self, value: float | None, unit: str) -> str:
        """Return a figure of a check with its unit, in the reader's own units where we know how."""
        if value is None:
            return ""
        if self.units == "us" or unit not in _METRIC:
            return amount(value, unit)
        factor, metric = _METRIC[unit]
        return amount(celsius_from_fahrenheit(value) if unit == "deg F" else value * factor, metric)

    def found(self, finding: Finding) -> str:
        """Return what was measured, the limit, and the room left, in one line; empty without figures."""
        return self.figures(finding.measured, finding.limit, finding.margin, finding.unit)

    def figures(self, measured: float | None, limit: float | None, margin: float | None, unit: str) -> str:
        """Return the figures of a check in one line, each that there is."""
        parts = [self.figure(measured, unit)]
        if limit is not None:
            parts.append(say("check.limit", n=self.figure(limit, unit)))
        # A difference of temperatures is no temperature: it is not told where its figure would be turned into one.
        if margin is not None and unit != "deg F":
            parts.append(say("check.room" if margin >= 0 else "check.wrong", n=self.figure(abs(margin), unit)))
        return ", ".join(part for part in parts if part)

    def time(self, moment: dt.datetime) -> str:
        """Return the time of day on its own clock: ``9:40 pm`` or ``21:40``."""
        return self.hour(moment.time())

    def hour(self, hour: dt.time) -> str:
        """Return a time of day: ``9:40 pm`` or ``21:40``."""
        if self.clock == "24":
            return f"{hour.hour:02d}:{hour.minute:02d}"
        half = say("time.am") if hour.hour < 12 else say("time.pm")
        return f"{(hour.hour - 1) % 12 + 1}:{hour.minute:02d} {half}"

    def at(self, moment: dt.datetime, time_zone: str) -> str:
        """Return the time of day of a moment on the clock of ``time_zone``."""
        return self.time(moment.astimezone(ZoneInfo(time_zone)))

    def day(self, day: dt.date | None) -> str:
        """Return ``Mon Apr 12``; a dash for no day."""
        if day is None:
            return say("time.no_day")
        weekday, month = say(f"time.weekday_{day.weekday()}")[:3], say(f"time.month_{day.month}")[:3]
        return say("time.day", weekday=weekday, month=month, day=day.day)

    def long_day(self, day: dt.date) -> str:
        """Return ``Monday, April 12, 2027``."""
        names = {"weekday": say(f"time.weekday_{day.weekday()}"), "month": say(f"time.month_{day.month}")}
        return say("time.long_day", day=day.day, year=day.year, **names)

    def span(self, first: dt.date | None, last: dt.date | None) -> str:
        """Return one day, or ``Mon Apr 12 to Wed Apr 14``; a dash for none."""
        if first is None or last is None or first == last:
            return self.day(first or last)
        return say("time.span", first=self.day(first), last=self.day(last))

    def moment(self, moment: dt.datetime) -> str:
        """Return a moment on this machine's clock: ``Mon Apr 12, 9:40 pm``."""
        here = moment.astimezone()
        return f"{self.day(here.date())}, {self.time(here)}"

    def duration(self, minutes: float) -> str:
        """Return ``2 h 05 min``. [min]"""
        return hours_and_minutes(minutes)

    def hives(self, hives: float) -> str:
        """Return ``1 hive`` or ``24 hives``."""
        return count("count.hives", hives)


_METRIC = {
    "lb": (kg_from_lb(1.0), "kg"),
    "in": (CM_PER_INCH, "cm"),
    "ft": (12 * CM_PER_INCH / 100, "m"),
    "mi": (METRES_PER_MILE / 1000, "km"),
    "miles": (METRES_PER_MILE / 1000, "km"),
    "deg F": (1.0, "deg C"),
}
"""Unit of a check -> factor and unit for a metric reader."""


def reader_of(request: Request) -> Reader:
    """Return the choice of the browser that asks; what is not understood counts as not chosen."""
    parts = request.cookies.get(COOKIE, "").split(".")
    allowed = (("units", get_args(Units)), ("clock", get_args(Clock)), ("ground", get_args(Ground)))
    chosen = {name: part for (name, values), part in zip(allowed, parts, strict=False) if part in values}
    return Reader.model_validate(chosen)
