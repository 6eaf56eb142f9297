"""The day on which bloom reaches a percentage."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.bloom.curve import NoBloomDayError, bloom_day
from routing.inputs.contract import Bloom


def test_a_row_of_the_percentage_asked_for_is_the_day() -> None:
    found = bloom_day([row(10, 14), row(50, 18)], 10.0)
    assert (found.day, found.forecast) == (day(14), True)
    assert found.basis == "10 % bloom forecast on 2027-04-14"


@pytest.mark.parametrize(("percent", "on"), [(20.0, 15), (20.1, 16), (29.9, 16), (30.0, 16), (49.0, 18)])
def test_between_two_rows_the_line_is_followed_to_the_first_whole_day_at_or_above(
    percent: float, on: int
) -> None:
    # From 10 % on the 14th to 50 % on the 18th: 10 % a day.
    assert bloom_day([row(10, 14), row(50, 18)], percent).day == day(on)


def test_a_row_seen_replaces_the_forecast_of_the_same_percentage() -> None:
    found = bloom_day([row(10, 14), row(10, 16, seen=True), row(50, 18)], 10.0)
    assert (found.day, found.forecast) == (day(16), False)


def test_a_row_seen_replaces_the_forecast_of_the_same_day() -> None:
    rows = [row(5, 12), row(10, 14), row(20, 14, seen=True), row(50, 18)]
    assert bloom_day(rows, 20.0).day == day(14)


def test_between_a_row_seen_and_a_forecast_the_day_is_a_forecast() -> None:
    found = bloom_day([row(10, 14, seen=True), row(50, 18)], 30.0)
    assert found.forecast
    assert "between 10 % seen on 2027-04-14 and 50 % forecast on 2027-04-18" in found.basis


def test_rows_may_come_in_any_order() -> None:
    assert bloom_day([row(90, 22), row(10, 14), row(50, 18)], 70.0).day == day(20)


def test_a_standstill_counts_from_its_first_day_and_rises_from_its_last() -> None:
    rows = [row(10, 14), row(10, 16), row(50, 20)]
    assert bloom_day(rows, 10.0).day == day(14)
    assert bloom_day(rows, 20.0).day == day(17)


def test_petals_falling_after_the_peak_are_no_contradiction() -> None:
    assert bloom_day([row(10, 14), row(100, 20), row(40, 25)], 55.0).day == day(17)


@pytest.mark.parametrize("percent", [9.9, 50.1])
def test_nothing_is_extrapolated(percent: float) -> None:
    with pytest.raises(
        NoBloomDayError, match=r"outside the rows .* 10 % on 2027-04-14 to 50 % on 2027-04-18"
    ):
        bloom_day([row(10, 14), row(50, 18)], percent)


def test_no_rows_bear_no_day() -> None:
    with pytest.raises(NoBloomDayError, match="no row"):
        bloom_day([], 10.0)


def test_bloom_that_falls_before_its_peak_is_refused_with_both_rows() -> None:
    with pytest.raises(
        NoBloomDayError, match=r"50 % on 2027-04-17 \(a forecast\) to 10 % on 2027-04-18 \(seen\)"
    ):
        bloom_day([row(50, 17), row(10, 18, seen=True), row(90, 22)], 60.0)


def test_two_rows_seen_on_one_day_are_refused() -> None:
    with pytest.raises(NoBloomDayError, match="both 10 % and 20 % on 2027-04-14"):
        bloom_day([row(10, 14, seen=True), row(20, 14, seen=True), row(50, 18)], 15.0)


RISING = st.lists(st.tuples(st.integers(0, 100), st.integers(1, 9)), min_size=2, max_size=6).map(
    lambda steps: [
        row(percent, 1 + sum(days for _, days in steps[: i + 1]))
        for i, percent in enumerate(sorted(percent for percent, _ in steps))
    ]
)


@given(rows=RISING, low=st.floats(0.0, 1.0), high=st.floats(0.0, 1.0))
def test_more_bloom_is_never_reached_earlier_and_never_outside_the_rows(
    rows: list[Bloom], low: float, high: float
) -> None:
    least, most = rows[0].percent_bloom, rows[-1].percent_bloom
    early, late = sorted(min(least + share * (most - least), most) for share in (low, high))
    assert rows[0].on <= bloom_day(rows, early).day <= bloom_day(rows, late).day <= rows[-1].on


def day(number: int) -> dt.date:
    return dt.date(2027, 4, 1) + dt.timedelta(days=number - 1)


def row(percent: float, on: int, *, seen: bool = False) -> Bloom:
    return Bloom(contract="Pears", percent_bloom=float(percent), on=day(on), seen=seen)
