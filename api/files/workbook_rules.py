"""What a workbook lets a person type: drop-down lists, limits, and a word on each cell."""

from dataclasses import dataclass
from typing import Any

from xlsxwriter.utility import xl_range_abs
from xlsxwriter.worksheet import Worksheet

from routing.inputs.cells import FIRST_YEAR, LAST_YEAR, allowed
from routing.inputs.tables import REFERENCES, Column, Table

LAST_ROW = 2000
LONGEST_MESSAGE = 250
LONGEST_TITLE = 32
"""As the file format allows."""


@dataclass(frozen=True)
class Layout:
    """Where things stand in the workbook that is being written."""

    first_row: int
    """First row of data, counted from 0."""
    names: dict[str, tuple[str, int]]
    """Sheet, and place of the column of names, of every table that has one."""

    @classmethod
    def of(cls, every: tuple[Table, ...], *, first_row: int) -> "Layout":
        """Return the layout of a workbook with all tables, the column 'skip' ahead of the others."""
        names = {
            one.name: (one.sheet, [column.name for column in one.columns].index("name") + 1)
            for one in every
            if any(column.name == "name" for column in one.columns)
        }
        return cls(first_row, names)

    def names_of(self, table: str) -> str:
        """Return the cells with the names of a table, as a formula writes them."""
        sheet, place = self.names[table]
        return f"='{sheet}'!{xl_range_abs(self.first_row, place, LAST_ROW, place)}"


def add_rules(sheet: Worksheet, one: Table, layout: Layout) -> None:
    """Add lists, limits and messages to every column of a sheet."""
    for place, column in enumerate(one.columns, 1):
        rule = _rule(one, column, layout) | _message(column)
        sheet.data_validation(layout.first_row, place, LAST_ROW, place, rule)


def _rule(one: Table, column: Column, layout: Layout) -> dict[str, Any]:
    targets = REFERENCES.get((one.name, column.name), ())
    if len(targets) == 1:
        # A warning, not a bar: the sheet that the name belongs to may be filled in later.
        return {"validate": "list", "source": layout.names_of(targets[0]), "error_type": "warning"}
    if column.kind == "one of a list":
        return {"validate": "list", "source": [str(choice) for choice in column.choices]}
    if column.kind == "yes or no":
        return {"validate": "list", "source": ["yes", "no"]}
    if column.kind in ("whole number", "number"):
        return {"validate": "integer" if column.kind == "whole number" else "decimal", **_between(column)}
    if column.kind == "date":
        years = {"minimum": f"=DATE({FIRST_YEAR},1,1)", "maximum": f"=DATE({LAST_YEAR},12,31)"}
        return {"validate": "date", "criteria": "between", **years}
    if column.kind == "time":
        return {
            "validate": "time",
            "criteria": "between",
            "minimum": "=TIME(0,0,0)",
            "maximum": "=TIME(23,59,59)",
        }
    return {"validate": "any"}


def _between(column: Column) -> dict[str, Any]:
    rules = column.rules
    low = rules.get("ge", rules.get("gt"))
    high = rules.get("le", rules.get("lt"))
    if low is None or high is None:
        return {"criteria": "between", "minimum": -1e12, "maximum": 1e12}
    return {"criteria": "between", "minimum": low, "maximum": high}


def _message(column: Column) -> dict[str, Any]:
    told = f"{column.meaning}. {allowed(column, loose=True)}."
    return {
        "input_title": column.label[:LONGEST_TITLE],
        "input_message": told[:LONGEST_MESSAGE],
        "error_title": column.label[:LONGEST_TITLE],
        "error_message": f"Allowed: {allowed(column, loose=True)}."[:LONGEST_MESSAGE],
    }
