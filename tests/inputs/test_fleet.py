"""What a pallet, a truck, its axles and its straps may measure: no row is so small that it could be set down without end."""

import json

import pytest

from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.read import operation_from_json
from routing.inputs.schema import operation_schema

LEAST = [
    ("pallets", "length_in", 8.0, "in"),
    ("pallets", "width_in", 8.0, "in"),
    ("pallets", "height_in", 0.5, "in"),
    ("pallets", "weight_lb", 1.0, "lb"),
    ("trucks", "deck_length_in", 36.0, "in"),
    ("trucks", "deck_width_in", 36.0, "in"),
    ("trucks", "payload_lb", 100.0, "lb"),
    ("axle_groups", "empty_lb", 100.0, "lb"),
    ("axle_groups", "rating_lb", 100.0, "lb"),
    ("tie_downs", "wll_lb", 50.0, "lb"),
    ("hive_builds", "weight_low_lb", 10.0, "lb"),
    ("hive_builds", "weight_high_lb", 10.0, "lb"),
]

RECORDS = {
    "pallets": "Pallet", "trucks": "Truck", "axle_groups": "AxleGroup", "tie_downs": "TieDown", "hive_builds": "HiveBuild",
}  # fmt: skip


def _told(table: str, column: str, value: float) -> list[str]:
    document = json.loads(example_operation().model_dump_json())
    document[table][0][column] = value
    try:
        operation_from_json(json.dumps(document), "bees.json")
    except OperationError as error:
        return [str(fault) for fault in error.faults if fault.path == f"{table}[0].{column}"]
    return []


@pytest.mark.parametrize(("table", "column", "least", "unit"), LEAST)
@pytest.mark.parametrize("share", [0.0, 5e-324, 0.99])
def test_what_is_smaller_than_any_real_one_is_told_in_one_sentence(
    table: str, column: str, least: float, unit: str, share: float
) -> None:
    value = share * least if share else 0.0
    (sentence,) = _told(table, column, value)
    assert sentence.startswith(f"bees.json, {table}[0].{column}: found {value:.10g}, allowed: a number of at least {least:g} ")
    assert f" [{unit}]" in sentence


@pytest.mark.parametrize(("table", "column", "least", "unit"), LEAST)
def test_the_least_itself_breaks_no_rule_of_its_own_column(table: str, column: str, least: float, unit: str) -> None:
    assert not any("a number of at least" in sentence for sentence in _told(table, column, least))


@pytest.mark.parametrize(("table", "column", "least", "unit"), LEAST)
def test_the_schema_says_the_same_least(table: str, column: str, least: float, unit: str) -> None:
    part = operation_schema()["$defs"][RECORDS[table]]["properties"][column]
    parts = part.get("anyOf", [part])
    assert [one["minimum"] for one in parts if one.get("type") == "number"] == [least]
    assert part["unit"] == unit
