"""A JSON document is read whole, or refused with every fault at once."""

import datetime as dt
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.read import MOST_BYTES, operation_from_json


def document() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(example_operation().model_dump_json())
    return read


def faults(text: object) -> list[str]:
    """Return the sentences with which a document is refused."""
    with pytest.raises(OperationError) as refused:
        operation_from_json(text if isinstance(text, str | bytes) else json.dumps(text), "bees.json")
    return [str(fault) for fault in refused.value.faults]


def test_the_worked_example_is_read_back_equal() -> None:
    assert operation_from_json(example_operation().model_dump_json()) == example_operation()


def test_bytes_with_a_byte_order_mark_are_read() -> None:
    text = "\ufeff" + example_operation().model_dump_json()
    assert operation_from_json(text.encode()) == example_operation()
    assert operation_from_json(text) == example_operation()


def test_a_fault_names_file_path_found_and_allowed_in_one_sentence() -> None:
    wrong = document()
    wrong["hive_groups"][0]["hives"] = -4
    assert faults(wrong) == [
        "bees.json, hive_groups[0].hives: found -4, "
        "allowed: a whole number of at least 1 and at most 5000 [hives]."
    ]


def test_every_fault_is_told_in_one_run_in_the_order_of_the_tables() -> None:
    wrong = document()
    wrong["trucks"][0]["hired"] = "no"
    wrong["yards"][0]["latitude_deg"] = "44"
    wrong["hive_groups"][0]["yard"] = "Hoem yard"
    wrong["contracts"][0]["in_at_percent_bloom"] = 140
    del wrong["time_zone"]
    told = faults(wrong)
    assert [sentence.split(":")[0] for sentence in told] == [
        "bees.json, time_zone", "bees.json, yards[0].latitude_deg", "bees.json, hive_groups[0].yard",
        "bees.json, contracts[0].in_at_percent_bloom", "bees.json, trucks[0].hired",
    ]  # fmt: skip


def test_a_faulty_cell_does_not_bring_faults_elsewhere() -> None:
    wrong = document()
    wrong["yards"][0]["name"] = ""
    wrong["axle_groups"][1]["empty_lb"] = "heavy"
    told = faults(wrong)
    assert [sentence.split(":")[0] for sentence in told] == [
        "bees.json, yards[0].name", "bees.json, axle_groups[1].empty_lb"
    ]  # fmt: skip


STRICT = [
    ("yards", "latitude_deg", False, "found false (no)"),
    ("yards", "latitude_deg", "44.1", "found '44.1'"),
    ("yards", "capacity_hives", 80.5, "found 80.5"),
    ("yards", "capacity_hives", None, "found null"),
    ("yards", "hazards", 5, "found 5"),
    ("yards", "hazards", None, "found null"),
    ("yards", "access", "Semi", "found 'Semi'"),
    ("yards", "open_from", "20:30+02:00", "found '20:30+02:00'"),
    ("yards", "open_from", "", "found nothing"),
    ("yards", "open_from", 2030, "found 2030"),
    ("yards", "name", "a\u0007b", "found 'a?b'"),
    ("yards", "name", "\ud800", "found '?'"),
    ("yards", "name", ["Home"], "found a list"),
    ("yards", "name", {}, "found a JSON object"),
    ("yards", "name", "x" * 61, "found 'xxx"),
    ("hive_groups", "inspected_on", "20270320", "found '20270320'"),
    ("hive_groups", "inspected_on", "1927-03-20", "found '1927-03-20'"),
    ("hive_groups", "may_travel", "yes", "found 'yes'"),
    ("hive_groups", "may_travel", 1, "found 1"),
    ("hive_builds", "box_frames", 9, "found 9"),
    ("hive_builds", "box_frames", True, "found true (yes)"),
    ("constants", "value", 10**40, "found 1"),
    ("constants", "value", 10**400, "found a number of more than 60 digits"),
]


@pytest.mark.parametrize(("table", "field", "value", "found"), STRICT)
def test_a_value_of_another_kind_is_refused(table: str, field: str, value: object, found: str) -> None:
    wrong = document()
    wrong[table][0][field] = value
    (sentence,) = faults(wrong)
    assert f"{table}[0].{field}: {found}" in sentence


def test_a_whole_number_may_be_written_with_a_point_and_a_number_without() -> None:
    right = document()
    right["hive_groups"][0]["hives"] = 24.0
    right["yards"][0]["latitude_deg"] = 44
    operation = operation_from_json(json.dumps(right))
    assert (operation.hive_groups[0].hives, operation.yards[0].latitude_deg) == (24, 44.0)


def test_blanks_around_text_are_taken_off() -> None:
    right = document()
    right["yards"][0]["name"] = "  Home yard\r\n"
    assert operation_from_json(json.dumps(right)) == example_operation()


def test_an_unknown_field_is_named_with_the_nearest_allowed_one() -> None:
    wrong = document() | {"truks": []}
    wrong["yards"][0]["lattitude_deg"] = 1
    assert faults(wrong) == [
        "bees.json, truks: found an unknown field, "
        "allowed: one of the fields of this object; the nearest is 'trucks'.",
        "bees.json, yards[0].lattitude_deg: found an unknown field, "
        "allowed: one of the fields of this object; the nearest is 'latitude_deg'.",
    ]


def test_a_field_written_twice_is_refused() -> None:
    text = (
        example_operation()
        .model_dump_json()
        .replace('"capacity_hives":80', '"capacity_hives":90,"capacity_hives":80')
    )
    assert faults(text) == [
        "bees.json, yards[0].capacity_hives: found the field more than once, allowed: each field once."
    ]


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_what_is_no_number_is_refused(value: str) -> None:
    text = example_operation().model_dump_json().replace('"value":12.0', f'"value":{value}')
    (sentence,) = faults(text)
    assert "constants[0].value: found" in sentence


NOT_JSON = [
    ("", "an empty text"),
    ("   ", "an empty text"),
    ("{", "the end of the text"),
    ('{"name": "a"} trailing', "'trailing' after the end of the document"),
    ("{'name': 1}", "which is not JSON"),
    ("[1, 2]", "found a list"),
    ("null", "found nothing"),
    ("\x00", "which is not JSON"),
    ("[" * 200_000, "lists within lists"),
    ('{"a": ' + "9" * 6000 + "}", "a number of thousands of digits"),
    (b"\xff\xfe{", "a byte that is not UTF-8 at position 1"),
    (b"PK\x03\x04", "which is not JSON"),
    (" " * (MOST_BYTES + 1), "20,000,001 bytes"),
]


@pytest.mark.parametrize(("text", "found"), NOT_JSON, ids=range(len(NOT_JSON)))
def test_what_is_not_an_operation_is_refused_in_one_sentence(text: str | bytes, found: str) -> None:
    (sentence,) = faults(text)
    assert found in sentence
    assert sentence.startswith("bees.json")
    assert sentence.endswith(".")


def test_a_document_cut_short_names_line_and_character() -> None:
    text = example_operation().model_dump_json(indent=1)
    (sentence,) = faults(text[: len(text) // 2])
    assert sentence.startswith("bees.json, line ")


def test_a_table_that_is_no_list_and_a_row_that_is_no_object_are_told() -> None:
    wrong = document() | {"drivers": {"name": "x"}, "gear": ["lid"]}
    assert faults(wrong) == [
        "bees.json, drivers: found a JSON object, allowed: a list of 20,000 objects or fewer.",
        "bees.json, gear[0]: found 'lid', allowed: a JSON object.",
    ]


FIELDS = st.sampled_from(["name", "yards", "hive_groups", "time_zone", "latitude_deg", "first_night", "x"])
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(FIELDS, inner, max_size=4),
    max_leaves=8,
)


@given(ANYTHING)
def test_any_document_is_refused_with_sentences_and_never_with_another_error(value: object) -> None:
    told = faults(json.dumps(value))
    assert told
    assert all(sentence.startswith("bees.json") and sentence.endswith(".") for sentence in told)


def test_faults_never_speak_the_words_of_the_checking_library() -> None:
    wrong = document()
    for row in wrong["contracts"] + wrong["trucks"]:
        for field in row:
            row[field] = {"nested": 1}
    told = " ".join(faults(wrong))
    assert "Input should" not in told
    assert "pydantic" not in told


def test_no_truck_and_no_hive_are_no_faults() -> None:
    poor = document()
    for name in ("trucks", "axle_groups", "tie_downs", "carried", "arranged", "closed_places", "hive_groups", "inspections",
                 "drivers"):  # fmt: skip
        poor[name] = []
    operation = operation_from_json(json.dumps(poor))
    assert operation.trucks == ()
    assert operation.first_night == dt.date(2027, 4, 1)
