"""A fault is one sentence: where, what was found, what is allowed."""

import pytest

from routing.inputs.faults import Fault, Origin, nearest, shown, with_nearest


def test_in_a_workbook_a_fault_names_sheet_row_and_column() -> None:
    origin = Origin(file="bees.xlsx", sheet="hive groups", row=7)
    fault = origin.fault("hives", "hives", found="-4", allowed="a whole number of at least 1")
    assert str(fault) == (
        "bees.xlsx, sheet hive groups, row 7, column hives: found -4, allowed: a whole number of at least 1."
    )
    assert (fault.sheet, fault.row, fault.column) == ("hive groups", 7, "hives")


def test_in_a_json_document_a_fault_names_the_path() -> None:
    origin = Origin(file="bees.json", path="hive_groups[5]")
    fault = origin.fault("hives", "hives", found="-4", allowed="more")
    assert str(fault) == "bees.json, hive_groups[5].hives: found -4, allowed: more."


def test_in_a_csv_file_a_fault_names_row_and_column() -> None:
    fault = Origin(file="d.csv", row=3).fault("miles", "miles", found="x", allowed="y")
    assert str(fault) == "d.csv, row 3, column miles: found x, allowed: y."


def test_a_fault_of_a_whole_file_names_the_file_only() -> None:
    assert str(Fault(file="bees.xlsx", found="x", allowed="y")) == "bees.xlsx: found x, allowed: y."


def test_the_sentence_goes_along_when_a_fault_is_sent_as_data() -> None:
    assert Fault(file="f", found="x", allowed="y").model_dump()["message"] == "f: found x, allowed: y."


SHOWN = [
    (None, "nothing"), ("", "nothing"), ("  ", "nothing"), (True, "true (yes)"), (-4, "-4"), (0.1, "0.1"),
    (24.0, "24"), ("a\nb", "'a?b'"), ([1], "a list"), ({}, "a JSON object"),
]  # fmt: skip


@pytest.mark.parametrize(("value", "text"), SHOWN)
def test_a_value_is_shown_as_a_person_writes_it(value: object, text: str) -> None:
    assert shown(value) == text


def test_a_long_text_is_cut_short() -> None:
    assert shown("x" * 60) == f"'{'x' * 60}'"
    assert shown("x" * 61) == f"'{'x' * 57}...'"


def test_the_nearest_name_is_found_whatever_its_capitals() -> None:
    assert nearest("hoem YARD", ["Far yard", "Home yard"]) == "Home yard"
    assert nearest("zzz", ["Far yard", "Home yard"]) == ""
    assert with_nearest("a yard", "zzz", ["Far yard"]) == "a yard"
