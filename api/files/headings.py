"""Headings of sheets and of CSV files, and the columns they name."""

import re

from routing.inputs.faults import nearest, shown
from routing.inputs.tables import Column, Table

_HEADING = re.compile(r"(.*?)\s*(?:\[(.*)\])?", re.DOTALL)


def folded(text: object) -> str:
    """Return text as names are compared: no capitals, single blanks."""
    return " ".join(str(text).split()).casefold()


def column_of_heading(one: Table, heading: object) -> tuple[Column | None, str]:
    """Return the column that a heading names, and what is wrong with the unit in it, in words.

    Parameters
    ----------
    one
        The table.
    heading
        The column's heading with or without its unit in brackets, or the name of its field.

    Returns
    -------
    tuple[Column | None, str]
        None when no column has that heading; no words when the unit is right or left out.
    """
    label, unit = _parts(heading)
    for column in one.columns:
        if label in (column.label.casefold(), column.name, column.name.replace("_", " ")):
            wrong = unit is not None and unit != column.unit.casefold()
            return column, f"the heading {shown(heading)}" if wrong else ""
    return None, ""


def nearest_column(one: Table, heading: object) -> Column | None:
    """Return the column whose heading is most like the one given, or None."""
    by_label = {column.label: column for column in one.columns}
    near = nearest(_parts(heading)[0], by_label)
    return by_label[near] if near else None


def _parts(heading: object) -> tuple[str, str | None]:
    match = _HEADING.fullmatch(folded(heading))
    return (match[1], match[2]) if match else ("", None)
