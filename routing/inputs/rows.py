"""Rows as read, each knowing where it was written, turned into one operation or into every fault at once."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from routing.errors import OperationError
from routing.inputs.cells import CellError, allowed, from_cell, from_json, is_empty
from routing.inputs.cross_check import cross_check
from routing.inputs.faults import Fault, Flaw, Origin, shown
from routing.inputs.operation import Operation
from routing.inputs.tables import Column, Table, table, tables
from routing.record import Record

MOST_ROWS = 20_000
"""Rows of one table. A season of a sideline has some hundreds; a broken file may have millions."""


@dataclass(frozen=True)
class Row:
    """One row as it was read: raw values by field name."""

    values: Mapping[str, object]
    origin: Origin
    loose: bool
    """True for spreadsheets and CSV, where a number may be typed as text."""
    told: frozenset[str] = frozenset()
    """Columns that cannot be read and whose fault is told already."""
    origins: Mapping[str, Origin] = field(default_factory=dict)
    """Where single columns came from, when not from the row's own place: outlines from a map."""

    def fault(self, column: Column, *, found: str, allowed: str) -> Fault:
        """Return a fault of one column of this row."""
        origin = self.origins.get(column.name, self.origin)
        return origin.fault(column.name, column.label, found=found, allowed=allowed)


@dataclass(frozen=True)
class Draft:
    """Everything read from the files, before it is known to be an operation."""

    file: str
    rows: Mapping[str, tuple[Row, ...]]
    """Rows of each table by its name; ``operation`` has one."""
    faults: tuple[Fault, ...] = ()
    """Told by the reader already."""


@dataclass(frozen=True)
class ReadRow:
    """A row after its cells were read: a record, with something put in place of every bad cell."""

    record: Record
    bad: frozenset[str]
    faults: tuple[Fault, ...]


def operation_from_draft(draft: Draft) -> Operation:
    """Return the operation.

    Parameters
    ----------
    draft
        Rows from any reader.

    Returns
    -------
    Operation
        Checked within rows and across them.

    Raises
    ------
    OperationError
        With every fault, in the order of tables and rows. Nothing is half-read.
    """
    read = {
        one.name: tuple(read_row(one, row, index) for index, row in enumerate(draft.rows.get(one.name, ())))
        for one in tables()
    }
    placed = [(-1, index, fault) for index, fault in enumerate(draft.faults)]
    placed += _row_faults(read)
    if len(read["operation"]) == 1:
        operation = _joined(read)
        placed += list(_judged(cross_check(operation), read, draft))
    else:
        placed.append((0, 0, _not_one_row(draft)))
    if placed:
        raise OperationError(tuple(fault for _, _, fault in sorted(placed, key=lambda item: item[:2])))
    return operation


def _row_faults(read: Mapping[str, tuple[ReadRow, ...]]) -> list[tuple[int, int, Fault]]:
    return [
        (position, index, fault)
        for position, rows in enumerate(read.values())
        for index, row in enumerate(rows)
        for fault in row.faults
    ]


def _not_one_row(draft: Draft) -> Fault:
    rows = draft.rows.get("operation", ())
    return Fault(
        file=draft.file,
        sheet="operation",
        found=f"{len(rows)} rows" if rows else "no row",
        allowed="one row with the name, time zone, first and last night (rows marked in 'skip' are not read)",
    )


def read_row(one: Table, row: Row, index: int) -> ReadRow:
    """Return a row's record and its faults; ``index`` is its place in the table, from 0."""
    values: dict[str, object] = {}
    faults: list[Fault] = []
    bad = set(row.told)
    for column in one.columns:
        raw = row.values.get(column.name)
        if column.name in row.told or _may_stay_empty(column, raw, loose=row.loose):
            continue
        try:
            values[column.name] = _value(column, raw, loose=row.loose)
        except CellError:
            bad.add(column.name)
            faults.append(row.fault(column, found=shown(raw), allowed=allowed(column, loose=row.loose)))
    too_far = _out_of_range(one, values)
    bad |= too_far
    faults += [
        row.fault(column, found=shown(row.values[column.name]), allowed=allowed(column, loose=row.loose))
        for column in one.columns
        if column.name in too_far
    ]
    return ReadRow(_record(one, values, bad, index), frozenset(bad), tuple(faults))


def _may_stay_empty(column: Column, raw: object, *, loose: bool) -> bool:
    if column.required or not is_empty(raw):
        return False
    return loose or raw is None or column.kind == "text"


def _value(column: Column, raw: object, *, loose: bool) -> object:
    if is_empty(raw):
        raise CellError
    return from_cell(column, raw) if loose else from_json(column, raw)


def _out_of_range(one: Table, values: Mapping[str, object]) -> set[str]:
    """Return the columns whose value breaks a rule of the record, such as a least or a greatest."""
    filled = {column.name: column.example for column in one.columns if column.required} | dict(values)
    try:
        one.record.model_validate(filled)
    except ValidationError as error:
        return {str(item["loc"][0]) for item in error.errors(include_url=False)} & set(values)
    return set()


def _record(one: Table, values: Mapping[str, Any], bad: set[str], index: int) -> Record:
    if not bad:
        return one.record.model_validate(dict(values))
    # Only for looking across rows, to tell all faults in one run; it never leaves this module.
    stand_ins: dict[str, Any] = {
        column.name: _stand_in(column, index) for column in one.columns if column.name in bad
    }
    return one.record.model_construct(**{**values, **stand_ins})


def _stand_in(column: Column, index: int) -> object:
    if not column.required:
        return column.default
    return f"\x00{index}" if column.kind == "text" else column.example


def _joined(read: Mapping[str, tuple[ReadRow, ...]]) -> Operation:
    own = read["operation"][0].record
    lists = {name: tuple(row.record for row in rows) for name, rows in read.items() if name != "operation"}
    return own.model_copy(update=lists)  # type: ignore[return-value]


def _judged(
    flaws: tuple[Flaw, ...], read: Mapping[str, tuple[ReadRow, ...]], draft: Draft
) -> Iterator[tuple[int, int, Fault]]:
    """Yield the faults across rows, but for those that lean on a cell that is faulty itself."""
    positions = {name: position for position, name in enumerate(read)}
    bad_anywhere = {
        f"{name}.{column}" for name, rows in read.items() for row in rows for column in row.bad
    } | {name for name, rows in read.items() if any(row.bad for row in rows)}
    for flaw in flaws:
        own_bad = read[flaw.table][flaw.index].bad
        leans_on = {flaw.column, *flaw.uses}
        if not leans_on & own_bad and not leans_on & bad_anywhere:
            row = draft.rows[flaw.table][flaw.index]
            column = table(flaw.table).column(flaw.column)
            yield positions[flaw.table], flaw.index, row.fault(column, found=flaw.found, allowed=flaw.allowed)
