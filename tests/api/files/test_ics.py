"""Calendar after RFC 5545, read back by its parser with no errors on any component."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from api.files.ics import plan_ics
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.drop_sheet import drop_sheets

STAMP = dt.datetime(2027, 4, 20, 12, tzinfo=dt.UTC)


def _data(plan) -> bytes:
    return plan_ics(plan.operation.name, drop_sheets(plan), stamped=STAMP)


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_no_component_has_an_error_and_each_has_what_must_be_there(make_plan):
    calendar = Calendar.from_ical(_data(make_plan()))
    for component in calendar.walk():
        assert component.errors == []
    for event in calendar.walk("VEVENT"):
        assert {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY"} <= set(event)
    assert {"VERSION", "PRODID"} <= set(calendar)


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_lines_end_with_crlf_and_are_at_most_75_octets(make_plan):
    # RFC 5545 section 3.1, the line break not counted.
    data = _data(make_plan())
    assert data.count(b"\n") == data.count(b"\r\n")
    assert max(len(line) for line in data.split(b"\r\n")) <= 75


def test_times_carry_their_zone_and_the_zone_is_described():
    calendar = Calendar.from_ical(_data(tiny_plan()))
    event = calendar.walk("VEVENT")[1]
    assert event["DTSTART"].params["TZID"] == "America/Detroit"
    assert event.decoded("DTSTART") == dt.datetime(2027, 5, 11, 21, 32, tzinfo=ZoneInfo("America/Detroit"))
    assert event.decoded("DTEND") == dt.datetime(2027, 5, 12, 1, 24, tzinfo=ZoneInfo("America/Detroit"))
    assert [str(zone["TZID"]) for zone in calendar.walk("VTIMEZONE")] == ["America/Detroit"]


def test_every_stop_is_in_the_description():
    text = str(Calendar.from_ical(_data(tiny_plan())).walk("VEVENT")[1]["DESCRIPTION"])
    assert text.splitlines()[3] == "3 Late blueberries: 12:08 am EDT, Wed May 12, AFTER MIDNIGHT: SET DOWN 22"
    assert len(text.splitlines()) == 5


def test_the_stamp_is_the_one_given_and_the_bytes_do_not_change():
    assert b"DTSTAMP:20270420T120000Z" in _data(tiny_plan())
    assert _data(tiny_plan()) == _data(tiny_plan())


def test_each_truck_night_keeps_a_uid_of_its_own():
    first = [str(event["UID"]) for event in Calendar.from_ical(_data(tiny_plan())).walk("VEVENT")]
    dearer = tiny_plan().model_copy(update={"cost_usd": 2000.0})
    again = [str(event["UID"]) for event in Calendar.from_ical(_data(dearer)).walk("VEVENT")]
    assert len(set(first)) == 3
    assert first == again
