"""The workbook of an operation: a sheet a table, written here, read by ``workbook_read``.

Layout of a table's sheet: headings with units in row 1; a first column headed ``skip``, in which anything at
all keeps its row from being read; one row for each row of the table. The template carries a row of meanings
and a worked example, both marked in ``skip``.
"""

import datetime as dt
import io
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any, Literal

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from api.files.workbook_rules import Layout, add_rules
from routing.inputs.cells import allowed
from routing.inputs.example import example_operation
from routing.inputs.operation import Operation
from routing.inputs.tables import Column, Table, tables
from routing.record import Record

SKIP = "skip"
NOTES = "notes"
_STAMP = dt.datetime(2000, 1, 1)
"""Written as the time of making, so that the same operation gives the same bytes."""

_HOW_TO = (
    "One sheet for each table, one row for each thing. Sheets that you do not need may stay empty.",
    "Columns may stand in any order; one that is not needed may be taken out. Headings stay as they are.",
    "Units stand in brackets behind the heading: [lb] pounds, [in] inches, [mi] miles, [min] minutes, [USD].",
    "A row with anything in the column 'skip' is not read: the rows 'meaning' and 'example' are such rows.",
    "To try the worked example, empty the column 'skip' in the rows marked 'example', on every sheet.",
    "Dates are dates of the evening: the night of 14 April ends on the morning of 15 April.",
    "Drop-down lists offer what a cell may hold; names of yards, contracts, trucks come from their sheets.",
    "A place in 'temperatures' and 'distances' is the name of a yard or of a contract.",
    "Sheets whose name begins with 'notes' are yours: they are not read.",
    "Names, people and places in the worked example are invented.",
)

Kind = Literal["head", "plain", "date", "time", "number", "meaning", "example", "example date"]
Formats = dict[Kind, Any]


def template_workbook() -> bytes:
    """Return the workbook to fill in, with meanings and a worked example row in each sheet."""
    return _workbook(example_operation(), template=True)


def operation_workbook(operation: Operation) -> bytes:
    """Return the workbook of an operation; read again, it gives an equal operation."""
    return _workbook(operation, template=False)


def write_template(target: Path | IO[bytes]) -> None:
    """Write the workbook to fill in to a path or an open binary stream."""
    if isinstance(target, Path):
        target.write_bytes(template_workbook())
    else:
        target.write(template_workbook())


def _workbook(operation: Operation, *, template: bool) -> bytes:
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.set_properties({"title": operation.name, "created": _STAMP})
    formats = _formats(book)
    _write_notes(book.add_worksheet(NOTES), formats)
    layout = Layout.of(tables(), first_row=2 if template else 1)
    for one in tables():
        sheet = book.add_worksheet(one.sheet)
        _write_head(sheet, one, formats)
        if template:
            _write_meanings(sheet, one, formats)
        rows = (operation,) if one.name == "operation" else getattr(operation, one.name)
        _write_rows(sheet, one, rows, formats=formats, first_row=layout.first_row, mark=template)
        add_rules(sheet, one, layout)
    book.close()
    return stream.getvalue()


def _formats(book: xlsxwriter.Workbook) -> Formats:
    top = {"valign": "top"}
    grey = {"font_color": "#555555", "italic": True, **top}
    return {
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, **top}),
        "plain": book.add_format(top),
        "number": book.add_format({"num_format": "General", **top}),
        "date": book.add_format({"num_format": "yyyy-mm-dd", "align": "left", **top}),
        "time": book.add_format({"num_format": "hh:mm", "align": "left", **top}),
        "meaning": book.add_format({"text_wrap": True, **grey}),
        "example": book.add_format(grey),
        "example date": book.add_format({"num_format": "yyyy-mm-dd", "align": "left", **grey}),
    }


def _write_notes(sheet: Worksheet, formats: Formats) -> None:
    sheet.set_column(0, 0, 110)
    sheet.write_string(0, 0, "How to fill in this workbook", formats["head"])
    for row, line in enumerate(_HOW_TO, 1):
        sheet.write_string(row, 0, line, formats["plain"])


def _write_head(sheet: Worksheet, one: Table, formats: Formats) -> None:
    sheet.freeze_panes(1, 2)
    sheet.write_string(0, 0, SKIP, formats["head"])
    sheet.set_column(0, 0, 9, formats["plain"])
    for place, column in enumerate(one.columns, 1):
        sheet.write_string(0, place, column.heading, formats["head"])
        # The format of the whole column makes a typed date or hour a real one.
        shape: Kind = column.kind if column.kind in ("date", "time", "number") else "plain"
        sheet.set_column(place, place, max(14, min(30, len(column.heading))), formats[shape])


def _write_meanings(sheet: Worksheet, one: Table, formats: Formats) -> None:
    sheet.set_row(1, 90)
    sheet.write_string(1, 0, "meaning", formats["meaning"])
    for place, column in enumerate(one.columns, 1):
        sheet.write_string(1, place, meaning(column), formats["meaning"])


def meaning(column: Column) -> str:
    """Return what a column means and may hold, and what an empty cell stands for."""
    if column.required:
        empty = "Must be filled."
    elif column.default in (None, ""):
        empty = "May stay empty."
    else:
        empty = f"Empty: {_plain(column.default)}."
    parts = (column.meaning, allowed(column, loose=True).removesuffix(", or nothing"), empty)
    return " ".join(_sentence(part) for part in parts)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")


def _write_rows(
    sheet: Worksheet, one: Table, rows: Sequence[Record], *, formats: Formats, first_row: int, mark: bool
) -> None:
    for row, record in enumerate(rows, first_row):
        if mark:
            sheet.write_string(row, 0, "example", formats["example"])
        for place, column in enumerate(one.columns, 1):
            _write_cell(sheet, (row, place), getattr(record, column.name), formats=formats, mark=mark)


def _write_cell(
    sheet: Worksheet, at: tuple[int, int], value: object, *, formats: Formats, mark: bool
) -> None:
    plain = formats["example" if mark else "plain"]
    if value is None or value == "":
        return
    if isinstance(value, dt.date) and value.year >= 1900:
        sheet.write_datetime(*at, value, formats["example date" if mark else "date"])
    elif isinstance(value, dt.time) and not value.second and not value.microsecond:
        sheet.write_datetime(*at, value, formats["time"])
    elif isinstance(value, int | float) and not isinstance(value, bool) and _fits(value):
        sheet.write_number(*at, value, plain)
    else:
        sheet.write_string(*at, _plain(value), plain)


def _fits(value: float) -> bool:
    """Return whether the 16 digits that are written of a number are all of it."""
    return float(f"{value:.16G}") == value


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else repr(value) if isinstance(value, float) else str(value)
