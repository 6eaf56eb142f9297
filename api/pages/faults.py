"""Mistakes of files as a person mends them: file by file, sheet by sheet, row by row."""

from collections.abc import Iterable
from typing import NamedTuple

from routing.inputs.faults import Fault

MOST_SHOWN = 300
"""Mistakes shown of one sheet; the rest are counted."""


class SheetFaults(NamedTuple):
    """The mistakes of one sheet of a workbook, or of one file without sheets."""

    file: str
    sheet: str
    faults: tuple[Fault, ...]
    """In the order of rows, at most ``MOST_SHOWN``."""
    total: int


def by_sheet(faults: Iterable[Fault]) -> tuple[SheetFaults, ...]:
    """Return mistakes by file and sheet, in the order in which these first appear, rows in their own order."""
    sheets: dict[tuple[str, str], list[Fault]] = {}
    for fault in faults:
        sheets.setdefault((fault.file, fault.sheet), []).append(fault)
    return tuple(
        SheetFaults(file, sheet, tuple(sorted(found, key=lambda one: one.row or 0)[:MOST_SHOWN]), len(found))
        for (file, sheet), found in sheets.items()
    )
