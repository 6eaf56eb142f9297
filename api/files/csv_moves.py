"""All moves as CSV: RFC 4180 (from memory), UTF-8 with a byte order mark, as spreadsheets want it."""

import csv
import datetime as dt
import io
from collections.abc import Sequence

from routing.record import Record
from routing.sheets.moves import Move

# Cells that start so are taken for formulas. OWASP, CSV Injection (from memory).
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def moves_csv(rows: Sequence[Move]) -> bytes:
    """Return every move as CSV; text that a spreadsheet would run as a formula is quoted by an apostrophe."""
    return table_csv(Move, rows)


def table_csv(record: type[Record], rows: Sequence[Record]) -> bytes:
    """Return rows of one kind as CSV, the names of their fields as headings."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(record.model_fields)
    for row in rows:
        writer.writerow([cell_text(value) for value in values_of(row)])
    return out.getvalue().encode("utf-8-sig")


def values_of(row: Record) -> list[object]:
    """Return the row's values in the order of its columns."""
    return [getattr(row, name) for name in type(row).model_fields]


def cell_text(value: object) -> object:
    """Return a cell: numbers stay numbers, times are ISO 8601 with their offset, text is made harmless."""
    if isinstance(value, dt.datetime | dt.date):
        return value.isoformat()
    if isinstance(value, float):
        # Five decimals of a degree are a yard; more digits only hide the figure.
        return round(value, 5)
    if isinstance(value, str) and value.startswith(_FORMULA_STARTS):
        return f"'{value}"
    return value
