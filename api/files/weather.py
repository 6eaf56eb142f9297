"""Temperatures that the user brings, by the hour or by the day, from a CSV file: one row of weather for each day."""

import csv
import datetime as dt
import io
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from api.files.weather_cells import BadCellError, Reading, reading_of
from api.files.weather_clock import is_twice
from api.files.weather_days import daily_rows, hourly_rows
from api.files.weather_faults import WeatherFaults
from api.files.weather_headings import NEEDED, TEMPERATURES, Heading, heading_of
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.rows import MOST_ROWS, Draft, Row

MOST_BYTES = 40_000_000
MOST_LINES = 400_000
A_CLEAR_YEAR_DAYS = 300
TOO_COLD_FOR_F = 50.0
"""A place whose warmest hour in a year is colder than this is no orchard: its file is in degrees C."""


@dataclass(frozen=True)
class WeatherFile:
    """What a weather file holds."""

    rows: tuple[Row, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...] = ()
    """What was filled or left out, in words."""


def with_weather(draft: Draft, content: bytes, file_name: str) -> Draft:
    """Return the draft with the days of a weather file behind its own rows of weather.

    Parameters
    ----------
    draft
        The operation as read so far; its time zone and the names of its places are used.
    content
        UTF-8; commas, semicolons or tabs between values.
    file_name
        What the faults call the file.

    Returns
    -------
    Draft
        Each day knows the line of its first temperature; what cannot be read is among the faults.
    """
    read = weather_file(content, file_name, places=place_names(draft), time_zone=time_zone_of(draft))
    rows = {**draft.rows, "weather": (*draft.rows.get("weather", ()), *read.rows)}
    return replace(draft, rows=rows, faults=(*draft.faults, *read.faults))


def weather_file(content: bytes, file_name: str, *, places: Sequence[str], time_zone: str) -> WeatherFile:
    """Return the days of a weather file.

    Parameters
    ----------
    content
        The file.
    file_name
        What the faults call it.
    places
        Names of yards and contracts that the file may speak of.
    time_zone
        Zone of plain times; one that does not exist: they are taken as standard time.

    Returns
    -------
    WeatherFile
        Rows as for the table of weather; no rows when there are faults.
    """
    told, zone = WeatherFaults(file_name), _zone(time_zone)
    days: list[Row] = []
    notes: list[str] = []
    for place, group in _by_place(_readings(content, told), places, zone, told=told).items():
        if group[0].temperature_f is None:
            days += daily_rows(group, place, file_name)
        else:
            days += hourly_rows(group, place, zone, told=told, notes=notes)
    _too_cold(days, told)
    if len(days) > MOST_ROWS:
        told.add("many", 0, found=f"{len(days):,} days", allowed=f"at most {MOST_ROWS:,}")
    return WeatherFile(() if told else tuple(days), told.faults(), tuple(notes))


def place_names(draft: Draft) -> list[str]:
    """Return the names of yards and contracts."""
    rows = (*draft.rows.get("yards", ()), *draft.rows.get("contracts", ()))
    return [str(row.values["name"]).strip() for row in rows if isinstance(row.values.get("name"), str)]


def time_zone_of(draft: Draft) -> str:
    """Return the operation's time zone as it is written; empty when there is none."""
    rows = draft.rows.get("operation", ())
    return str(rows[0].values.get("time_zone", "")) if rows else ""


def _readings(content: bytes, told: WeatherFaults) -> list[Reading]:
    text = _text(content, told)
    if not text:
        return []
    delimiter = max(";\t,", key=text.lstrip().split("\n", 1)[0].count)
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    heads = _headings(next(lines, []), told)
    if told:
        return []
    found: list[Reading] = []
    for values in lines:
        if lines.line_num > MOST_LINES:
            told.add("lines", 0, found=f"more than {MOST_LINES:,} lines", allowed="a file for each few years")
            return []
        if any(value.strip() for value in values):
            try:
                found += reading_of(values, heads, row=lines.line_num, decimal_comma=delimiter == ";")
            except BadCellError as error:
                told.add(error.kind, lines.line_num, found=error.found, allowed=error.allowed)
    if not found and not told:
        told.add("empty", 0, found="no temperature", allowed="a row for each hour or day")
    return found


def _text(content: bytes, told: WeatherFaults) -> str:
    if len(content) > MOST_BYTES:
        told.add("text", 0, found=f"{len(content):,} bytes", allowed=f"at most {MOST_BYTES:,}")
        return ""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        told.add("text", 0, found=f"a byte that is not UTF-8 at position {error.start + 1}", allowed="a CSV file in UTF-8")
        return ""
    if "\x00" in text:
        told.add("text", 0, found="a file that is not text", allowed="a CSV file in UTF-8")
        return ""
    if not text.strip():
        told.add("text", 0, found="an empty file", allowed=NEEDED)
    return text.strip() and text


def _headings(values: list[str], told: WeatherFaults) -> list[Heading | None]:
    heads = [heading_of(value) for value in values]
    meanings = [head.meaning for head in heads if head is not None]
    for head, value in zip(heads, values, strict=True):
        if head is None:
            continue
        if meanings.count(head.meaning) > 1:
            found = f"two columns of the {head.meaning}, {shown(value)} among them"
            told.add(f"twice {head.meaning}", 1, found=found, allowed="one")
        if head.meaning in TEMPERATURES and not head.unit:
            allowed = "its unit, such as 'low [deg F]' or 'low [deg C]'"
            told.add("unit", 1, found=f"the heading {shown(value)} without a unit", allowed=allowed)
    hourly, daily = "temperature" in meanings, "low" in meanings and "high" in meanings
    if "day" not in meanings or hourly == daily:
        told.add("heads", 1, found=f"the headings {shown(', '.join(values))}", allowed=NEEDED)
    return heads


def _by_place(
    readings: Sequence[Reading], places: Sequence[str], zone: ZoneInfo | None, *, told: WeatherFaults
) -> dict[str, list[Reading]]:
    """Return the readings of each place in the order of the file, which must be that of time."""
    known = {" ".join(name.split()).casefold(): name for name in places}
    found: dict[str, list[Reading]] = defaultdict(list)
    for one in readings:
        name = known.get(one.place.casefold(), "")
        if one.place and not name:
            allowed = with_nearest("the name of a yard or contract, or nothing for everywhere", one.place, places)
            told.add(f"place {one.place}", one.row, found=f"the place {shown(one.place)}", allowed=allowed)
            continue
        if found[name] and _goes_back(found[name][-1], one, zone):
            allowed = "rows in order of time, one place after another"
            told.add("order", one.row, found=f"{one.shown} after {found[name][-1].shown}", allowed=allowed)
        found[name].append(one)
    return found


def _goes_back(before: Reading, one: Reading, zone: ZoneInfo | None) -> bool:
    """Return whether a row comes before the last one in time; the clocks may be put back, usual days may follow seen ones."""
    if one.kind != before.kind or _at(one) >= _at(before):
        return False
    put_back = zone is not None and one.moment.tzinfo is None and one.temperature_f is not None and is_twice(one.moment, zone)
    return not put_back


def _at(one: Reading) -> dt.datetime:
    return one.moment if one.moment.tzinfo is None else one.moment.astimezone(dt.UTC).replace(tzinfo=None)


def _too_cold(days: Sequence[Row], told: WeatherFaults) -> None:
    highs: dict[object, list[float]] = defaultdict(list)
    for row in days:
        high = row.values["high_f"]
        if isinstance(high, float):
            highs[row.values["place"]].append(high)
    for found in highs.values():
        if len(found) >= A_CLEAR_YEAR_DAYS and max(found) < TOO_COLD_FOR_F:
            words = f"a warmest day of {max(found):.1f} deg F among {len(found):,}"
            allowed = "a warmer one in a year; if the file is in degrees C, its heading must say [deg C]"
            told.add("cold", 0, found=words, allowed=allowed)


def _zone(name: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return None
