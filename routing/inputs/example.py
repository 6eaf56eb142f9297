"""The worked example: one valid small operation made of the examples that stand beside the columns."""

import datetime as dt
from collections.abc import Mapping
from functools import cache
from typing import Any

from routing.inputs.operation import Operation
from routing.inputs.tables import Table, table, tables
from routing.record import Record

# A hive has more than one box and a truck more than one axle group: what differs in the further rows.
_FURTHER: Mapping[str, tuple[Mapping[str, Any], ...]] = {
    "boxes": ({"position": 2, "frames": 10, "feeder": "none", "feeder_displaces_frames": 0},),
    "axle_groups": ({"position": 2, "centre_in": 190.0, "empty_lb": 7400.0, "rating_lb": 17500.0},),
    "gear": ({"item": "hive strap", "on_hand": 60}, {"item": "entrance screen", "on_hand": 40}),
    "blooms": ({"percent_bloom": 80.0, "on": dt.date(2027, 4, 21)},),
}

_NO_ROW = ("hitches", "weather", "stage_notes", "past_blooms", "bloom_sums")
"""The example's truck pulls no trailer; a forecast of its bloom is typed in, not made from weather."""


@cache
def example_operation() -> Operation:
    """Return the worked example; its names, people and places are invented."""
    own = _values(table("operation"))
    lists = {one.name: tuple(_rows(one)) for one in tables()[1:]}
    return Operation.model_validate({**own, **lists})


def example_row(name: str) -> Record:
    """Return the first example row of a table, also of one that the worked example leaves empty."""
    one = table(name)
    return one.record.model_validate(_values(one))


def _values(one: Table) -> dict[str, Any]:
    return {column.name: column.example for column in one.columns if column.example is not None}


def _rows(one: Table) -> list[Record]:
    if one.name in _NO_ROW:
        return []
    first = _values(one)
    rows = [first]
    for change in _FURTHER.get(one.name, ()):
        rows.append({**first, **change})
    return [one.record.model_validate(row) for row in rows]
