"""Faults: what is wrong with an operation, where, what was found and what is allowed."""

import datetime as dt
from collections.abc import Iterable
from difflib import get_close_matches

from pydantic import computed_field

from routing.record import Record

LONGEST_SHOWN = 60
"""Characters of a value that a sentence shows."""
MOST_COMPARED = 2000
"""Names looked at for the nearest one; a longer list would make a broken file slow to refuse."""


class Fault(Record):
    """One thing wrong with a file. Its text is one sentence that says where, what and what would be right."""

    file: str
    sheet: str = ""
    """Sheet of a workbook; empty for other files."""
    row: int | None = None
    """Row as the spreadsheet program or editor counts it, 1 at the top."""
    column: str = ""
    """Heading of the column without its unit, or field of a JSON object."""
    path: str = ""
    """Where in a document without rows, for instance ``hive_groups[5].hives``."""
    found: str
    allowed: str

    @computed_field  # type: ignore[prop-decorator]
    @property
    def message(self) -> str:
        """The whole sentence."""
        where = [self.file, f"sheet {self.sheet}" if self.sheet else "", self.path]
        if not self.path:
            where += [f"row {self.row}" if self.row else "", f"column {self.column}" if self.column else ""]
        return f"{', '.join(part for part in where if part)}: found {self.found}, allowed: {self.allowed}."

    def __str__(self) -> str:
        return self.message


class Origin(Record):
    """Where one row of a table was written, so that a fault found later can still name its place."""

    file: str
    sheet: str = ""
    row: int | None = None
    path: str = ""
    """For a document without rows, for instance ``hive_groups[5]``."""
    joint: str = "."
    """Between the path and a field in it."""

    def fault(self, column: str, label: str, *, found: str, allowed: str) -> Fault:
        """Return a fault of this row; ``column`` is the field's name, ``label`` its heading."""
        if self.sheet or self.row:
            return Fault(
                file=self.file, sheet=self.sheet, row=self.row, column=label, found=found, allowed=allowed
            )
        path = f"{self.path}{self.joint}{column}" if self.path and column else self.path or column
        return Fault(file=self.file, column=column, path=path, found=found, allowed=allowed)


class Flaw(Record):
    """A fault by table, row and column, before it is known which file and line that is."""

    table: str
    """Field of the operation; ``operation`` for its own values."""
    index: int
    """Row of the table, from 0."""
    column: str
    found: str
    allowed: str
    uses: tuple[str, ...] = ()
    """What the check also looked at: columns of the same row, tables, or ``table.column``.
    Where one of these is faulty the check says nothing: it would only repeat that fault in other words."""


def shown(value: object) -> str:
    """Return a value as a sentence shows it: text in quotes and cut short, nothing for an empty one."""
    if value is None or (isinstance(value, str) and not value.strip()):
        return "nothing"
    if isinstance(value, bool):
        return "true (yes)" if value else "false (no)"
    if isinstance(value, str):
        text = "".join(letter if letter.isprintable() else "?" for letter in value)
        return f"'{text}'" if len(text) <= LONGEST_SHOWN else f"'{text[: LONGEST_SHOWN - 3]}...'"
    if isinstance(value, dict | list | tuple):
        return "a JSON object" if isinstance(value, dict) else "a list"
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return _number_shown(value)


def _number_shown(value: object) -> str:
    if isinstance(value, int) and value.bit_length() > 200:
        return "a number of more than 60 digits"
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def nearest(text: str, names: Iterable[str]) -> str:
    """Return the name most like ``text``, whatever its capitals; empty when none is like it."""
    by_folded: dict[str, str] = {}
    for name in names:
        by_folded.setdefault(name.casefold().strip(), name)
        if len(by_folded) == MOST_COMPARED:
            break
    found = get_close_matches(text[:80].casefold().strip(), by_folded, n=1, cutoff=0.6)
    return by_folded[found[0]] if found else ""


def with_nearest(allowed: str, text: str, names: Iterable[str]) -> str:
    """Return ``allowed`` with the nearest name told behind it, when there is one."""
    near = nearest(text, names)
    return f"{allowed}; the nearest is '{near}'" if near else allowed
