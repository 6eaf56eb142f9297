"""Figures in words."""

import datetime as dt

import pytest

from routing.keepable.words import counted, day, frames, hours, listed, span


@pytest.mark.parametrize(("first", "last", "told"), [
    ((2027, 4, 23), (2027, 4, 23), "23 April 2027"),
    ((2027, 4, 23), (2027, 4, 26), "23 to 26 April 2027"),
    ((2027, 4, 30), (2027, 5, 3), "30 April to 3 May 2027"),
    ((2027, 12, 30), (2028, 1, 2), "30 December 2027 to 2 January 2028"),
])  # fmt: skip
def test_a_span_tells_month_and_year_once(first: tuple[int, ...], last: tuple[int, ...], told: str) -> None:
    assert span(dt.date(*first), dt.date(*last)) == told


def test_counts_and_figures_read_as_spoken() -> None:
    assert [counted(n, "night") for n in (0, 1, 2)] == ["0 nights", "1 night", "2 nights"]
    assert (frames(10.0), frames(9.5), frames(10.833)) == ("10 frames", "9.5 frames", "10.8 frames")
    assert (hours(59.4), hours(425.0), hours(719.6)) == ("59 min", "7 h 05 min", "12 h 00 min")
    assert day(dt.date(2027, 5, 1)) == "1 May 2027"


def test_names_are_joined_with_commas_and_one_and() -> None:
    assert [listed(names) for names in ((), ("A",), ("A", "B"), ("A", "B", "C"))] == [
        "none", "A", "A and B", "A, B and C",
    ]  # fmt: skip
