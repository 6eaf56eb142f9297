"""VTIMEZONE says what the zone database says, read by another library and by the letter of the RFC."""

import datetime as dt
import io
from zoneinfo import ZoneInfo

import pytest
from dateutil.tz import tzical
from icalendar import Calendar

from api.files.time_zone import time_zone_component


def _component(name: str):
    return time_zone_component(ZoneInfo(name), first_year=2027, last_year=2027)


def test_summer_time_begins_at_two_by_the_clock_before_it():
    # RFC 5545 section 3.6.5: DTSTART of an observance is local time by TZOFFSETFROM. 15 USC 260a: 2:00 am on
    # the second Sunday of March (14) and the first Sunday of November (7), 2027.
    parts = _component("America/Chicago").subcomponents[1:]
    told = [
        (part.name, part.decoded("dtstart"), part.decoded("tzoffsetto").total_seconds() / 3600)
        for part in parts
    ]
    assert told == [
        ("DAYLIGHT", dt.datetime(2027, 3, 14, 2), -5.0),
        ("STANDARD", dt.datetime(2027, 11, 7, 2), -6.0),
    ]


@pytest.mark.parametrize(
    "name", ["America/Chicago", "America/Los_Angeles", "America/Phoenix", "America/St_Johns"]
)
def test_every_hour_of_the_year_has_the_zone_database_s_offset(name):
    calendar = Calendar()
    calendar.add_component(_component(name))
    zone, read = ZoneInfo(name), tzical(io.StringIO(calendar.to_ical().decode("utf-8"))).get()
    start = dt.datetime(2027, 1, 2, tzinfo=dt.UTC)
    for hour in range(363 * 24):
        local = (start + dt.timedelta(hours=hour)).astimezone(zone)
        assert local.replace(tzinfo=read).utcoffset() == local.utcoffset()
