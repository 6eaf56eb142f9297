"""What a cell may hold, in words and in values."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.inputs.cells import CellError, allowed, from_cell, from_json
from routing.inputs.tables import table

ALLOWED = [
    ("hive_groups", "hives", "a whole number of at least 1 and at most 5000 [hives]"),
    ("hive_builds", "weight_low_lb", "a number of at least 10 and at most 500 [lb], or nothing"),
    ("yards", "loading", "one of: forklift, boom, hand, or nothing"),
    ("yards", "name", "text of 1 to 60 letters"),
    ("yards", "open_from", "an hour such as 20:30, or nothing"),
    ("hive_groups", "inspected_on", "a date such as 2027-04-14, from 2000 to 2100"),
    ("hive_groups", "may_travel", "yes or no, or nothing"),
]


@pytest.mark.parametrize(("name", "column", "words"), ALLOWED)
def test_what_is_allowed_is_worded_from_the_column(name: str, column: str, words: str) -> None:
    assert allowed(table(name).column(column), loose=True) == words


def test_in_json_yes_and_no_are_true_and_false() -> None:
    assert allowed(table("yards").column("name"), loose=False).startswith("text")
    assert allowed(table("hive_groups").column("may_travel"), loose=False) == "true or false, or nothing"


NUMBERS = [
    ("12", 12.0), ("+12.", 12.0), (".5", 0.5), ("-0,25", -0.25), ("12,5", 12.5), ("1234,5", 1234.5),
    ("12,3456", 12.3456), ("1e3", 1000.0), (7, 7.0),
]  # fmt: skip


@pytest.mark.parametrize(("value", "number"), NUMBERS)
def test_a_number_typed_as_text_is_read_when_it_means_one_number(value: object, number: float) -> None:
    assert from_cell(table("constants").column("value"), value) == number


@pytest.mark.parametrize(
    "value",
    [
        "1,200",
        "12,345",
        "1.200,5",
        "1,200.5",
        "12 5",
        "12lb",
        "--1",
        "",
        "nan",
        "inf",
        "٣",
        float("inf"),
        True,
    ],
)
def test_a_number_that_could_be_two_or_none_is_refused(value: object) -> None:
    with pytest.raises(CellError):
        from_cell(table("constants").column("value"), value)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_written_out_is_read_back(number: float) -> None:
    column = table("constants").column("value")
    assert from_json(column, number) == number
    assert from_cell(column, repr(number)) == number


def test_a_moment_within_a_day_is_no_date_and_a_day_is() -> None:
    column = table("hive_groups").column("inspected_on")
    assert from_cell(column, dt.datetime(2027, 3, 20)) == dt.date(2027, 3, 20)
    assert from_cell(column, "2027-03-20 00:00:00") == dt.date(2027, 3, 20)
    for value in (dt.datetime(2027, 3, 20, 8), dt.datetime(1927, 3, 20), dt.date(2101, 1, 1), "2027-3-20"):
        with pytest.raises(CellError):
            from_cell(column, value)


def test_an_hour_may_come_as_an_hour_a_span_or_text() -> None:
    column = table("yards").column("open_from")
    for value in (dt.time(9, 5), dt.timedelta(hours=9, minutes=5), "09:05", "9:05", "9:05:00"):
        assert from_cell(column, value) == dt.time(9, 5)
    for value in (dt.timedelta(days=1), dt.timedelta(hours=-1), "25:00", "9", 0.5):
        with pytest.raises(CellError):
            from_cell(column, value)
