"""Truck-nights as calendar entries, RFC 5545: each with its zone, so that a telephone shows them right."""

import datetime as dt
import uuid
from collections.abc import Sequence
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from api.files.time_zone import time_zone_component
from routing.sheets.sheet_record import DropSheet, StopSheet
from routing.sheets.words import printable


def plan_ics(operation_name: str, sheets: Sequence[DropSheet], *, stamped: dt.datetime) -> bytes:
    """Return one event for each truck-night.

    Parameters
    ----------
    operation_name
        Name of the calendar.
    sheets
        Drop sheets, in any order.
    stamped
        When the plan was made or last changed; becomes DTSTAMP. Must carry a zone.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//Bloomhaul//moves//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", printable(f"{operation_name}: moves"))
    for zone in _zones(sheets):
        years = [moment.year for sheet in sheets for moment in (sheet.stops[0].leave, sheet.stops[-1].arrive)]
        calendar.add_component(time_zone_component(zone, first_year=min(years), last_year=max(years)))
    for sheet in sheets:
        calendar.add_component(_event(operation_name, sheet, stamped))
    made: bytes = calendar.to_ical()
    return made


def _zones(sheets: Sequence[DropSheet]) -> list[ZoneInfo]:
    moments = [moment for sheet in sheets for moment in (sheet.stops[0].leave, sheet.stops[-1].arrive)]
    found = {zone.key: zone for zone in (moment.tzinfo for moment in moments) if isinstance(zone, ZoneInfo)}
    return [found[key] for key in sorted(found)]


def _event(operation_name: str, sheet: DropSheet, stamped: dt.datetime) -> Event:
    first, last = sheet.stops[0], sheet.stops[-1]
    event = Event()
    # The same truck and night keep their UID over plans (RFC 7986 5.3 wants a UUID, from memory).
    event.add("uid", str(uuid.uuid5(uuid.NAMESPACE_OID, f"bloomhaul {operation_name} {sheet.id}")))
    event.add("dtstamp", stamped.astimezone(dt.UTC))
    event.add("dtstart", first.leave)
    event.add("dtend", max(last.arrive, first.leave + dt.timedelta(minutes=1)))
    event.add("summary", printable(f"{sheet.truck}: {sheet.crew_words}, {sheet.most_on_deck} hives"))
    event.add("location", printable(first.place))
    event.add("geo", (round(first.latitude_deg, 6), round(first.longitude_deg, 6)))
    event.add("description", "\n".join(printable(_stop(stop)) for stop in sheet.stops))
    return event


def _stop(stop: StopSheet) -> str:
    words = f"{stop.number} {stop.place}: {stop.arrive_words} {stop.zone}, {stop.date_words}"
    return f"{words}: {stop.doing_words}" if stop.doing_words else f"{words} ({stop.kind_words})"
