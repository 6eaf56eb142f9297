"""All moves and stops as an .xlsx workbook: real dates and numbers, text that is never run as a formula."""

import datetime as dt
import io
from collections.abc import Sequence

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

from api.files.csv_moves import values_of
from routing.record import Record
from routing.sheets.moves import Move, StopRow
from routing.sheets.words import printable

_MADE = dt.datetime(1980, 1, 1)
"""Fixed, so that the same plan gives the same bytes."""
_SHOWN = {"_deg": "0.00000", "miles": "0.0", "miles_on_deck": "0.0", "_min": "0"}
"""How numbers of a column are shown, by the end of its name; the value in the cell stays whole."""


def moves_xlsx(moves: Sequence[Move], stops: Sequence[StopRow]) -> bytes:
    """Return a workbook with the sheets ``moves`` and ``stops``; times are local, the zone beside."""
    out = io.BytesIO()
    text_only = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    with xlsxwriter.Workbook(out, {"in_memory": True, **text_only}) as book:
        book.set_properties({"title": "Moves", "created": _MADE})
        _sheet(book, "moves", Move, moves)
        _sheet(book, "stops", StopRow, stops)
    return out.getvalue()


def _sheet(book: Workbook, name: str, kind: type[Record], rows: Sequence[Record]) -> None:
    sheet = book.add_worksheet(name)
    formats: dict[str, Format | None] = {
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "date": book.add_format({"num_format": "yyyy-mm-dd"}),
        "time": book.add_format({"num_format": "yyyy-mm-dd hh:mm"}),
        "text": book.add_format({"quote_prefix": True}),
        "": None,
    }
    formats |= {shown: book.add_format({"num_format": shown}) for shown in set(_SHOWN.values())}
    shown_as = [next((shown for end, shown in _SHOWN.items() if field.endswith(end)), "") for field in kind.model_fields]
    for column, field in enumerate(kind.model_fields):
        sheet.write_string(0, column, field.replace("_", " "), formats["head"])
        sheet.set_column(column, column, 17)
    for number, row in enumerate(rows, start=1):
        for column, value in enumerate(values_of(row)):
            _cell(sheet, (number, column), value, formats, number_format=formats[shown_as[column]])
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, max(1, len(rows)), len(kind.model_fields) - 1)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def _cell(
    sheet: xlsxwriter.worksheet.Worksheet, at: tuple[int, int], value: object, formats: dict[str, Format | None],
    *, number_format: Format | None,
) -> None:  # fmt: skip
    if isinstance(value, dt.datetime):
        sheet.write_datetime(*at, value.replace(tzinfo=None), formats["time"])
    elif isinstance(value, dt.date):
        sheet.write_datetime(*at, dt.datetime.combine(value, dt.time()), formats["date"])
    elif isinstance(value, int | float):
        sheet.write_number(*at, value, number_format)
    else:
        sheet.write_string(*at, printable(str(value)), formats["text"])
