"""The raw cells of a workbook, with nothing yet known of what they mean."""

import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import openpyxl

from routing.errors import OperationError
from routing.inputs.faults import Fault

MOST_CELLS = 500_000
LAST_ROW = 1_048_576
MOST_COLUMNS = 256
"""Up to column IV."""

# The library's fast way of reading leaves these out, and with them why a cell seems to be empty.
_FAR = re.compile(rb"<(?:\w+:)?c r=\"((?:I[W-Z]|[J-Z][A-Z]|[A-Z]{3})\d{1,7})\"[^>]*[^>/]>")
_MERGED = re.compile(rb"<(?:\w+:)?mergeCell [^>]*?ref=\"([A-Z]{1,3}\d{1,7}:[A-Z]{1,3}\d{1,7})\"")


@dataclass(frozen=True)
class Cell:
    """One filled cell."""

    value: object
    formula: str = ""
    """The formula behind the value, when there is one; the value is then what was last worked out."""
    is_error: bool = False
    is_percent: bool = False


@dataclass(frozen=True)
class Sheet:
    """One sheet: its rows that hold anything, by row number, and their cells, by column number."""

    title: str
    rows: Mapping[int, Mapping[int, Cell]]
    merged: tuple[str, ...]
    far: str
    """A filled cell to the right of the columns that are read, or empty."""


def sheets(content: bytes, file_name: str) -> tuple[Sheet, ...]:
    """Return every sheet of a workbook that ``guard`` let pass.

    Raises
    ------
    OperationError
        If the parts inside cannot be read, or there are too many cells.
    """
    try:
        with warnings.catch_warnings():
            # Extensions of a spreadsheet program that hold no values are of no concern here.
            warnings.simplefilter("ignore")
            found = _sheets(content)
    except Exception as error:  # A damaged file raises errors of every kind inside the library.
        if isinstance(error, MemoryError):
            raise
        raise _refused(
            file_name, "a workbook whose parts cannot be read", "a workbook saved as .xlsx"
        ) from None
    if found is None:
        raise _refused(file_name, f"more than {MOST_CELLS:,} filled cells", f"at most {MOST_CELLS:,}")
    return found


def _refused(file_name: str, found: str, allowed: str) -> OperationError:
    return OperationError((Fault(file=file_name, found=found, allowed=allowed),))


def _sheets(content: bytes) -> tuple[Sheet, ...] | None:
    book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=False, keep_links=False)
    grids: dict[str, dict[int, dict[int, Cell]]] = {}
    count = 0
    for sheet in book.worksheets:
        grid = grids.setdefault(sheet.title, {})
        for row, column, cell in _filled(sheet):
            grid.setdefault(row, {})[column] = cell
            count += 1
            if count > MOST_CELLS:
                return None
    _take_kept_values(content, grids)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        texts = {sheet.title: _text(archive, sheet) for sheet in book.worksheets}
    book.close()
    return tuple(
        Sheet(title, grid, _matches(_MERGED, texts[title]), "".join(_matches(_FAR, texts[title])[:1]))
        for title, grid in grids.items()
    )


def _filled(sheet: Any) -> Iterator[tuple[int, int, Cell]]:
    # What a file says of its own size may be wrong; it is not asked.
    sheet.reset_dimensions()
    for number, row in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS), 1):
        if number > LAST_ROW:
            return
        for cell in row:
            if cell.value is not None and cell.value != "":
                yield number, cell.column, _cell(cell)


def _cell(cell: Any) -> Cell:
    value, kind = cell.value, cell.data_type
    if kind == "f":
        text = value if isinstance(value, str) else str(getattr(value, "text", None) or "=")
        return Cell(None, formula=text)
    percent = kind == "n" and isinstance(value, int | float) and "%" in (cell.number_format or "")
    return Cell(value, is_error=kind == "e", is_percent=percent)


def _take_kept_values(content: bytes, grids: dict[str, dict[int, dict[int, Cell]]]) -> None:
    """Put the values that the spreadsheet program kept in place of the formulas."""
    wanted = {
        title
        for title, grid in grids.items()
        if any(cell.formula for cells in grid.values() for cell in cells.values())
    }
    if not wanted:
        return
    book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
    for title in wanted:
        for row, column, kept in _filled(book[title]):
            formula = grids[title].get(row, {}).get(column, kept).formula
            if formula:
                grids[title][row][column] = Cell(kept.value, formula, kept.is_error, kept.is_percent)
    book.close()


def _text(archive: zipfile.ZipFile, sheet: Any) -> bytes:
    return archive.read(sheet._worksheet_path)


def _matches(pattern: re.Pattern[bytes], text: bytes) -> tuple[str, ...]:
    return tuple(found.decode() for found in pattern.findall(text))
