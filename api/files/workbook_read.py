"""A workbook in, the rows of an operation out: sheets and headings are found by their names."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from api.files.headings import column_of_heading, folded, nearest_column
from api.files.workbook import NOTES, SKIP
from api.files.workbook_cells import Cell, Sheet, sheets
from api.files.workbook_guard import guard
from routing.inputs.faults import Fault, Origin, nearest, shown, with_nearest
from routing.inputs.operation import Operation
from routing.inputs.rows import MOST_ROWS, Draft, Row, operation_from_draft
from routing.inputs.tables import Column, Table, tables


def operation_from_workbook(content: bytes, file_name: str) -> Operation:
    """Return the operation in a workbook; raise ``OperationError`` with every fault at once."""
    return operation_from_draft(draft_from_workbook(content, file_name))


def draft_from_workbook(content: bytes, file_name: str) -> Draft:
    """Return the rows of a workbook; raise ``OperationError`` when it cannot be read as one at all."""
    guard(content, file_name)
    rows: dict[str, tuple[Row, ...]] = {}
    faults: list[Fault] = []
    by_name = {one.sheet: one for one in tables()}
    for sheet in sheets(content, file_name):
        one = by_name.get(folded(sheet.title).replace("_", " "))
        if one is None:
            faults += _unknown_sheet(sheet, file_name)
        elif one.name in rows:
            allowed = f"one sheet '{one.sheet}'"
            faults.append(Fault(file=file_name, sheet=sheet.title, found="the sheet twice", allowed=allowed))
        else:
            reader = _Reader(file_name, sheet, one)
            rows[one.name] = tuple(reader.rows())
            faults += reader.faults
    return Draft(file_name, rows, tuple(faults))


def _unknown_sheet(sheet: Sheet, file_name: str) -> Iterator[Fault]:
    if sheet.rows and not folded(sheet.title).startswith(NOTES):
        names = [one.sheet for one in tables()]
        allowed = "the name of a table" if nearest(sheet.title, names) else "one of: " + ", ".join(names)
        yield Fault(
            file=file_name, sheet=sheet.title, found="an unknown sheet",
            allowed=with_nearest(f"{allowed}, or a name that begins with '{NOTES}'", sheet.title, names),
        )  # fmt: skip


@dataclass(frozen=True)
class _Heads:
    """What the headings of a sheet say."""

    row: int
    columns: Mapping[int, Column]
    skip: int | None
    absent: frozenset[str]
    """Columns that must be there and are not, or whose heading has a wrong unit."""


class _Reader:
    """Reads one sheet; ``faults`` fills as it goes."""

    def __init__(self, file_name: str, sheet: Sheet, one: Table) -> None:
        self._file = file_name
        self._sheet = sheet
        self._table = one
        self.faults: list[Fault] = []

    def rows(self) -> Iterator[Row]:
        """Yield the rows that are to be read."""
        for merged in self._sheet.merged:
            self._tell(None, f"the merged cells {merged}", "one value in each cell; unmerge them")
        if self._sheet.far:
            self._tell(None, f"a value in the far cell {self._sheet.far}", "columns up to IV")
        numbers = sorted(self._sheet.rows)
        if not numbers:
            return
        heads = self._heads(numbers[0])
        kept = [number for number in numbers[1:] if not self._is_skipped(number, heads)]
        if len(kept) > MOST_ROWS:
            self._tell(None, f"{len(kept):,} rows", f"at most {MOST_ROWS:,}")
            return
        self._strays(kept, heads)
        if kept:
            self._absent(heads)
        for number in kept:
            yield self._row(number, heads)

    def _tell(self, row: int | None, found: str, allowed: str, column: str = "") -> None:
        origin = Origin(file=self._file, sheet=self._sheet.title, row=row)
        self.faults.append(origin.fault(column, column, found=found, allowed=allowed))

    def _is_skipped(self, number: int, heads: _Heads) -> bool:
        cells = self._sheet.rows[number]
        filled = [
            cell for cell in cells.values() if not (isinstance(cell.value, str) and not cell.value.strip())
        ]
        mark = cells.get(heads.skip) if heads.skip is not None else None
        return not filled or (mark is not None and mark in filled)

    def _heads(self, row: int) -> _Heads:
        columns: dict[int, Column] = {}
        skip, absent = None, set()
        meant: set[str] = set()
        for place, cell in self._sheet.rows[row].items():
            column, trouble = column_of_heading(self._table, cell.value)
            if folded(cell.value) == SKIP and skip is None:
                skip = place
            elif column is None:
                near = self._unknown_heading(row, cell.value)
                meant |= {near} if near else set()
            elif trouble or column in columns.values():
                self._tell(
                    row,
                    trouble or f"the heading {shown(cell.value)} twice",
                    f"the heading '{column.heading}' once",
                )
                absent.add(column.name)
            else:
                columns[place] = column
        there = {column.name for column in columns.values()}
        absent |= {
            column.name for column in self._table.columns if column.required and column.name not in there
        }
        absent |= meant - there
        return _Heads(row, columns, skip, frozenset(absent))

    def _unknown_heading(self, row: int, heading: object) -> str:
        """Tell an unknown heading and return the column that was most likely meant."""
        near = nearest_column(self._table, heading)
        allowed = (
            f"a heading of this sheet; the nearest is '{near.heading}'"
            if near
            else ("one of: " + ", ".join(column.heading for column in self._table.columns))
        )
        self._tell(row, f"the unknown heading {shown(heading)}", allowed)
        return near.name if near else ""

    def _absent(self, heads: _Heads) -> None:
        told = " ".join(fault.allowed for fault in self.faults)
        for column in self._table.columns:
            if column.name in heads.absent and f"'{column.heading}'" not in told:
                self._tell(
                    heads.row,
                    "no such heading",
                    f"a column with the heading '{column.heading}'",
                    column.label,
                )

    def _strays(self, kept: list[int], heads: _Heads) -> None:
        """Tell values that stand under no heading; they would be lost."""
        headed = set(self._sheet.rows[heads.row])
        told: set[int] = set()
        for number in kept:
            for place, cell in self._sheet.rows[number].items():
                if place not in headed and place not in told:
                    told.add(place)
                    self._tell(
                        number, f"{shown(cell.value)} in a column without a heading", "a heading above it"
                    )

    def _row(self, number: int, heads: _Heads) -> Row:
        cells = self._sheet.rows[number]
        values: dict[str, object] = {}
        told = set(heads.absent)
        for place, column in heads.columns.items():
            cell = cells.get(place)
            if cell is None:
                continue
            trouble = _trouble(cell)
            if trouble:
                told.add(column.name)
                self._tell(
                    number, trouble, "a value, or a formula whose value was saved with it", column.label
                )
            values[column.name] = _value(cell, column)
        origin = Origin(file=self._file, sheet=self._sheet.title, row=number)
        return Row(values, origin, loose=True, told=frozenset(told))


def _trouble(cell: Cell) -> str:
    if cell.is_error:
        return f"the error {cell.value}"
    if cell.formula and cell.value is None:
        return f"the formula {shown(cell.formula)} without a value"
    return ""


def _value(cell: Cell, column: Column) -> object:
    """Return the value; 10 % is kept by spreadsheet programs as 0.1."""
    if cell.is_percent and column.unit == "%" and isinstance(cell.value, int | float):
        return round(cell.value * 100, 10)
    return cell.value
