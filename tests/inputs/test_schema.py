"""The JSON Schema agrees with the door."""

import json
from typing import Any

import jsonschema_rs
import pytest

from fixtures.tiny import tiny_operation
from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.read import operation_from_json
from routing.inputs.schema import operation_schema


def validator() -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(operation_schema(), validate_formats=True)


def test_the_schema_is_sound_and_says_which_dialect_it_is() -> None:
    schema = operation_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert jsonschema_rs.meta.is_valid(schema)


def test_what_the_door_lets_in_the_schema_lets_in() -> None:
    for operation in (example_operation(), tiny_operation()):
        document = json.loads(operation.model_dump_json())
        assert validator().is_valid(document)
        assert operation_from_json(json.dumps(document)) == operation


def test_the_worked_example_in_the_schema_is_an_operation() -> None:
    (example,) = operation_schema()["examples"]
    assert operation_from_json(json.dumps(example)) == example_operation()


def test_fields_carry_meaning_unit_and_where_a_name_must_stand() -> None:
    schema = operation_schema()
    groups = schema["$defs"]["HiveGroup"]["properties"]
    assert groups["hives"]["unit"] == "hives"
    assert groups["hives"]["description"] == "hives in the group [hives]"
    assert groups["yard"]["description"].endswith("(a name in yards)")
    assert schema["properties"]["tie_downs"]["title"] == "tie downs"


WRONG: list[tuple[str, str, Any]] = [
    ("yards", "latitude_deg", False), ("yards", "latitude_deg", 91), ("yards", "access", "tank"),
    ("yards", "open_from", "8 pm"), ("yards", "open_from", "24:00"), ("yards", "name", ""),
    ("yards", "capacity_hives", 1.5), ("yards", "extra", 1), ("hive_groups", "inspected_on", "yesterday"),
]  # fmt: skip


@pytest.mark.parametrize(("table", "field", "value"), WRONG)
def test_what_the_schema_refuses_the_door_refuses(table: str, field: str, value: object) -> None:
    document = json.loads(example_operation().model_dump_json())
    document[table][0][field] = value
    assert not validator().is_valid(document)
    with pytest.raises(OperationError):
        operation_from_json(json.dumps(document))


def test_an_hour_without_an_offset_is_let_in_by_both() -> None:
    document = json.loads(example_operation().model_dump_json())
    document["yards"][0]["open_from"] = "20:30"
    assert validator().is_valid(document)
    assert operation_from_json(json.dumps(document)).yards[0].open_from is not None
