"""The tables of an operation, read off its records: sheets, headings, kinds, rules, examples, references.

Nothing is declared twice: a column stands once, in its record; this module only words it.
"""

import datetime as dt
import types
import typing
from functools import cache
from typing import Any, Literal

import annotated_types
from pydantic.fields import FieldInfo

from routing.inputs.operation import Operation
from routing.record import Record

Kind = Literal["whole number", "number", "yes or no", "date", "time", "text", "one of a list"]

_KINDS: dict[object, Kind] = {
    int: "whole number",
    float: "number",
    bool: "yes or no",
    dt.date: "date",
    dt.time: "time",
    str: "text",
}
_UNIT_IN_NAME = {"USD": "usd", "deg": "deg", "deg F": "f", "in": "in", "lb": "lb"}

PLACES = ("yards", "contracts")
REFERENCES: dict[tuple[str, str], tuple[str, ...]] = {
    ("boxes", "build"): ("hive_builds",),
    ("hive_groups", "yard"): ("yards",),
    ("hive_groups", "build"): ("hive_builds",),
    ("hive_groups", "pallet"): ("pallets",),
    ("gates", "contract"): ("contracts",),
    ("blocks", "contract"): ("contracts",),
    ("drops", "contract"): ("contracts",),
    ("land_features", "contract"): ("contracts",),
    ("blooms", "contract"): ("contracts",),
    ("trucks", "base"): ("yards",),
    ("axle_groups", "truck"): ("trucks",),
    ("tie_downs", "truck"): ("trucks",),
    ("hitches", "truck"): ("trucks",),
    ("carried", "truck"): ("trucks",),
    ("arranged", "truck"): ("trucks",),
    ("arranged", "group"): ("hive_groups",),
    ("arranged", "origin"): PLACES,
    ("arranged", "destination"): PLACES,
    ("honey_flows", "yard"): ("yards",),
    ("temperatures", "place"): PLACES,
    ("weather", "place"): PLACES,
    ("stage_notes", "contract"): ("contracts",),
    ("past_blooms", "contract"): ("contracts",),
    ("inspections", "group"): ("hive_groups",),
    ("distances", "origin"): PLACES,
    ("distances", "destination"): PLACES,
    ("closed_places", "truck"): ("trucks",),
    ("closed_places", "place"): PLACES,
    ("road_signs", "origin"): PLACES,
    ("road_signs", "destination"): PLACES,
}
"""Columns that hold a name: (table, column) -> tables that the name may stand in."""


class Column(Record):
    """One column of a table."""

    name: str
    """Field of the record, and of the JSON object."""
    label: str
    """The name in words, without its unit."""
    unit: str
    kind: Kind
    choices: tuple[str | int, ...]
    meaning: str
    required: bool
    optional: bool
    """May it be left empty with nothing put in its place?"""
    default: Any
    example: Any
    rules: dict[str, float]
    """Among ``ge``, ``gt``, ``le``, ``lt``, ``min_length``, ``max_length``."""

    @property
    def heading(self) -> str:
        """Heading in a workbook, for instance ``fee per colony [USD]``."""
        return f"{self.label} [{self.unit}]" if self.unit else self.label


class Table(Record):
    """One table of an operation."""

    name: str
    """Field of the operation."""
    sheet: str
    """Name of its sheet in a workbook."""
    record: type[Record]
    meaning: str
    columns: tuple[Column, ...]

    def column(self, name: str) -> Column:
        """Return the column called ``name``."""
        return next(column for column in self.columns if column.name == name)


@cache
def tables() -> tuple[Table, ...]:
    """Return every table, the operation's own single row first, the others in the order of its fields."""
    own = {name: field for name, field in Operation.model_fields.items() if _row_type(field) is None}
    found = [_table("operation", Operation, own)]
    for name, field in Operation.model_fields.items():
        record = _row_type(field)
        if record is not None:
            found.append(_table(name, record, record.model_fields))
    return tuple(found)


def table(name: str) -> Table:
    """Return the table called ``name``."""
    return next(one for one in tables() if one.name == name)


def _table(name: str, record: type[Record], fields: dict[str, FieldInfo]) -> Table:
    columns = tuple(_column(field_name, field) for field_name, field in fields.items())
    meaning = (record.__doc__ or "").strip().split("\n")[0]
    return Table(name=name, sheet=name.replace("_", " "), record=record, meaning=meaning, columns=columns)


def _row_type(field: FieldInfo) -> type[Record] | None:
    if typing.get_origin(field.annotation) is tuple:
        inner = typing.get_args(field.annotation)[0]
        if isinstance(inner, type) and issubclass(inner, Record):
            return inner
    return None


def _column(name: str, field: FieldInfo) -> Column:
    plain, optional = _without_none(field.annotation)
    is_list = typing.get_origin(plain) is Literal
    extra = field.json_schema_extra
    unit = str(extra.get("unit", "")) if isinstance(extra, dict) else ""
    return Column(
        name=name,
        label=_label(name, unit),
        unit=unit,
        kind="one of a list" if is_list else _KINDS[plain],
        choices=typing.get_args(plain) if is_list else (),
        meaning=field.description or "",
        required=field.is_required(),
        optional=optional,
        default=None if field.is_required() else field.default,
        example=field.examples[0] if field.examples else None,
        rules=_rules(field),
    )


def _without_none(annotation: Any) -> tuple[Any, bool]:
    if typing.get_origin(annotation) in (types.UnionType, typing.Union):
        kept = [part for part in typing.get_args(annotation) if part is not type(None)]
        return kept[0], True
    return annotation, False


def _rules(field: FieldInfo) -> dict[str, float]:
    rules: dict[str, float] = {}
    for mark in field.metadata:
        for kind, key in _MARKS:
            if isinstance(mark, kind):
                rules[key] = float(getattr(mark, key))
    return rules


_MARKS = (
    (annotated_types.Ge, "ge"),
    (annotated_types.Gt, "gt"),
    (annotated_types.Le, "le"),
    (annotated_types.Lt, "lt"),
    (annotated_types.MinLen, "min_length"),
    (annotated_types.MaxLen, "max_length"),
)


def _label(name: str, unit: str) -> str:
    words = name.split("_")
    token = _UNIT_IN_NAME.get(unit)
    # 'deck_length_in' and 'fee_usd_per_colony' hold their unit; the heading shows it in brackets.
    if token in words[1:]:
        words.pop(len(words) - 1 - words[::-1].index(token))
    return " ".join(words)
