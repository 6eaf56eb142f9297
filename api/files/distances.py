"""Miles and minutes that the user knows, from a CSV file: origin, destination, miles, minutes."""

import csv
import io
from dataclasses import replace

from api.files.headings import column_of_heading, nearest_column
from routing.inputs.faults import Fault, Origin, shown
from routing.inputs.operation import Operation
from routing.inputs.rows import MOST_ROWS, Draft, Row
from routing.inputs.tables import Column, table

MOST_BYTES = 20_000_000
NEEDED = "a CSV file with the headings origin, destination, miles and minutes"


def with_distances(draft: Draft, content: bytes, file_name: str) -> Draft:
    """Return the draft with the rows of a CSV file behind its own rows of distances.

    Parameters
    ----------
    draft
        The operation as read so far.
    content
        UTF-8, with or without a byte order mark; commas, semicolons or tabs between values. With semicolons
        a decimal comma is read as one.
    file_name
        What the faults call the file.

    Returns
    -------
    Draft
        Each row knows its line; what cannot be read at all is among the faults.
    """
    text, found = _text(content)
    if found:
        return _with_fault(draft, Fault(file=file_name, found=found, allowed=NEEDED))
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    rows: list[Row] = []
    faults: list[Fault] = []
    try:
        heads = _heads(next(lines, []), file_name, faults)
        for values in lines:
            if any(value.strip() for value in values):
                rows.append(_row(values, heads, Origin(file=file_name, row=lines.line_num), faults))
    except csv.Error:
        where = Origin(file=file_name, row=lines.line_num)
        allowed = "values with an even number of quotation marks"
        faults.append(where.fault("", "", found="quotation marks that do not close", allowed=allowed))
    if len(rows) > MOST_ROWS:
        faults = [Fault(file=file_name, found=f"{len(rows):,} rows", allowed=f"at most {MOST_ROWS:,}")]
        rows = []
    all_rows = {**draft.rows, "distances": (*draft.rows.get("distances", ()), *rows)}
    return replace(draft, rows=all_rows, faults=(*draft.faults, *faults))


def distances_csv(operation: Operation) -> bytes:
    """Return the distances of an operation as a CSV file that ``with_distances`` reads back."""
    columns = table("distances").columns
    text = io.StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow([column.heading for column in columns])
    for row in operation.distances:
        rows.writerow([_cell(getattr(row, column.name)) for column in columns])
    return text.getvalue().encode()


def _cell(value: object) -> object:
    # A spreadsheet would take such a name for a formula.
    if isinstance(value, str):
        return f"'{value}" if value.startswith(("=", "+", "-", "@")) else value
    return ("yes" if value else "no") if isinstance(value, bool) else value


def _with_fault(draft: Draft, fault: Fault) -> Draft:
    return replace(draft, faults=(*draft.faults, fault))


def _text(content: bytes) -> tuple[str, str]:
    """Return the text, or what keeps it from being read."""
    if len(content) > MOST_BYTES:
        return "", f"{len(content):,} bytes"
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return "", f"a byte that is not UTF-8 at position {error.start + 1}"
    if "\x00" in text:
        return "", "a file that is not text"
    return text, "" if text.strip() else "an empty file"


def _delimiter(text: str) -> str:
    head = text.lstrip().split("\n", 1)[0]
    return max(";\t,", key=head.count)


def _heads(values: list[str], file_name: str, faults: list[Fault]) -> list[Column | None]:
    one = table("distances")
    origin = Origin(file=file_name, row=1)
    heads: list[Column | None] = []
    for value in values:
        column, trouble = column_of_heading(one, value)
        if column is None:
            near = nearest_column(one, value)
            allowed = f"a heading such as '{near.label}'" if near else NEEDED
            faults.append(origin.fault("", "", found=f"the unknown heading {shown(value)}", allowed=allowed))
        elif trouble or column in heads:
            found = trouble or f"the heading {shown(value)} twice"
            faults.append(origin.fault("", "", found=found, allowed=f"the heading '{column.heading}' once"))
        heads.append(column)
    for column in one.columns:
        if column.required and column not in heads:
            faults.append(origin.fault("", "", found=f"no heading '{column.label}'", allowed=NEEDED))
    return heads


def _row(values: list[str], heads: list[Column | None], origin: Origin, faults: list[Fault]) -> Row:
    named = [column for column in heads if column is not None]
    told = {column.name for column in table("distances").columns if column.required and column not in named}
    if len(values) != len(heads):
        found = f"{len(values)} values"
        allowed = f"{len(heads)}, as many as headings; a decimal comma needs semicolons between the values"
        faults.append(origin.fault("", "", found=found, allowed=allowed))
        told |= {column.name for column in named}
    # strict=False: a row of another length is told above, and none of its values is read.
    cells = {column.name: value for column, value in zip(heads, values, strict=False) if column is not None}
    return Row(cells, origin, loose=True, told=frozenset(told))
