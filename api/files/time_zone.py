"""A time zone as VTIMEZONE, RFC 5545 section 3.6.5: each change of its clock over the years of a plan.

Written out here since a change's onset counts on the clock before it (TZOFFSETFROM); icalendar 7.3.2 writes
the onset of summer time on the clock after it, an hour late.
"""

import datetime as dt
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

Change = tuple[dt.datetime, dt.timedelta]
"""Moment of a change, UTC, and the offset before it."""


def time_zone_component(zone: ZoneInfo, *, first_year: int, last_year: int) -> Timezone:
    """Return ``zone``: its clock at the start of ``first_year``, then every change to ``last_year``."""
    component = Timezone()
    component.add("tzid", zone.key)
    # A day early, since the first of January begins before UTC's in the east.
    start = dt.datetime(first_year, 1, 1, tzinfo=dt.UTC) - dt.timedelta(days=1)
    component.add_component(_observance(zone, start, _offset(zone, start)))
    for moment, before in _changes(zone, start, dt.datetime(last_year + 1, 1, 1, tzinfo=dt.UTC)):
        component.add_component(_observance(zone, moment, before))
    return component


def _observance(
    zone: ZoneInfo, moment: dt.datetime, before: dt.timedelta
) -> TimezoneStandard | TimezoneDaylight:
    local = moment.astimezone(zone)
    part = TimezoneDaylight() if local.dst() else TimezoneStandard()
    part.add("dtstart", (moment + before).replace(tzinfo=None))
    part.add("tzoffsetfrom", before)
    part.add("tzoffsetto", _offset(zone, moment))
    part.add("tzname", local.tzname())
    return part


def _changes(zone: ZoneInfo, start: dt.datetime, end: dt.datetime) -> list[Change]:
    found: list[Change] = []
    day, step = start, dt.timedelta(days=1)
    while day < end:
        if _offset(zone, day) != _offset(zone, day + step):
            found.append((_moment(zone, day, day + step), _offset(zone, day)))
        day += step
    return found


def _moment(zone: ZoneInfo, low: dt.datetime, high: dt.datetime) -> dt.datetime:
    # Halving, to the second: the clock is the old one at low and the new one at high.
    while high - low > dt.timedelta(seconds=1):
        middle = low + dt.timedelta(seconds=int((high - low).total_seconds()) // 2)
        low, high = (middle, high) if _offset(zone, middle) == _offset(zone, low) else (low, middle)
    return high


def _offset(zone: ZoneInfo, moment: dt.datetime) -> dt.timedelta:
    return moment.astimezone(zone).utcoffset() or dt.timedelta()
