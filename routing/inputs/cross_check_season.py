"""Dates and time zones across rows: the season, inspections, notes of bloom, nights away, temperatures."""

import datetime as dt
from collections.abc import Iterator, Sequence
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from routing.inputs.away import dates_away
from routing.inputs.faults import Flaw, shown, with_nearest
from routing.inputs.fleet import Driver, Truck
from routing.inputs.inspections import InspectionRow
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup

LONGEST_SEASON_NIGHTS = 366
OLDEST_INSPECTION_DAYS = 400
"""An older one says nothing of today's strength; most often its year is a slip."""
SEASON = ("operation",)


def season_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield dates that contradict the season and zones that do not exist."""
    yield from _season(operation)
    yield from _time_zones(operation)
    yield from _inspections(operation)
    yield from _blooms(operation)
    yield from _temperatures(operation)
    yield from _nights_away(operation)
    yield from _honey_flows(operation)


def _season(operation: Operation) -> Iterator[Flaw]:
    first, last = operation.first_night, operation.last_night
    if not dt.timedelta() <= last - first < dt.timedelta(days=LONGEST_SEASON_NIGHTS):
        yield Flaw(
            table="operation",
            index=0,
            column="last_night",
            found=shown(last),
            uses=("first_night",),
            allowed=f"a night from {first} on, at most {LONGEST_SEASON_NIGHTS} nights in all",
        )


def _time_zones(operation: Operation) -> Iterator[Flaw]:
    rows = [("operation", 0, operation.time_zone)]
    rows += [("yards", index, yard.time_zone or "") for index, yard in enumerate(operation.yards)]
    rows += [("contracts", index, one.time_zone or "") for index, one in enumerate(operation.contracts)]
    for table, index, name in rows:
        if (name or table == "operation") and not zone_exists(name):
            allowed = with_nearest("a time zone such as America/Chicago", name, sorted(available_timezones()))
            yield Flaw(table=table, index=index, column="time_zone", found=shown(name), allowed=allowed)


@cache
def zone_exists(name: str) -> bool:
    """Return whether a time zone of that name is known."""
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def _inspections(operation: Operation) -> Iterator[Flaw]:
    # A plan is made anew within the season, with hives opened again: later than the first night is no fault.
    first, last = operation.first_night, operation.last_night
    oldest = first - dt.timedelta(days=OLDEST_INSPECTION_DAYS)
    tables: dict[str, Sequence[HiveGroup | InspectionRow]] = {
        "hive_groups": operation.hive_groups,
        "inspections": operation.inspections,
    }
    rows = ((table, index, row.inspected_on) for table, rows in tables.items() for index, row in enumerate(rows))
    for table, index, day in rows:
        if not oldest <= day <= last:
            yield Flaw(
                table=table,
                index=index,
                column="inspected_on",
                found=shown(day),
                allowed=f"a day from {oldest} to the last night of the season, {last}",
                uses=SEASON,
            )


def _blooms(operation: Operation) -> Iterator[Flaw]:
    year = dt.timedelta(days=LONGEST_SEASON_NIGHTS)
    for index, bloom in enumerate(operation.blooms):
        if not operation.first_night - year < bloom.on < operation.last_night + year:
            allowed = "a day within a year of the season, which is "
            yield Flaw(
                table="blooms",
                index=index,
                column="on",
                found=shown(bloom.on),
                uses=SEASON,
                allowed=f"{allowed}{operation.first_night} to {operation.last_night}",
            )


def _honey_flows(operation: Operation) -> Iterator[Flaw]:
    for index, row in enumerate(operation.honey_flows):
        if row.last_on < row.first_on:
            yield Flaw(
                table="honey_flows",
                index=index,
                column="last_on",
                found=shown(row.last_on),
                allowed=f"a day on or after the first day of the flow, {row.first_on}",
                uses=("first_on",),
            )


def _temperatures(operation: Operation) -> Iterator[Flaw]:
    for index, row in enumerate(operation.temperatures):
        if row.low_f > min(row.sunset_f, row.sunrise_f):
            yield Flaw(
                table="temperatures",
                index=index,
                column="low_f",
                found=shown(row.low_f),
                allowed="at most the temperatures at sunset and sunrise",
                uses=("sunset_f", "sunrise_f"),
            )


def _nights_away(operation: Operation) -> Iterator[Flaw]:
    tables: dict[str, Sequence[Truck | Driver]] = {"trucks": operation.trucks, "drivers": operation.drivers}
    for table, rows in tables.items():
        for index, row in enumerate(rows):
            try:
                dates_away(row.nights_away)
            except ValueError as error:
                found = f"a text in which {str(error).removesuffix('.')}"
                allowed = "dates with commas between them, such as 2027-04-14, 2027-04-16"
                yield Flaw(table=table, index=index, column="nights_away", found=found, allowed=allowed)
