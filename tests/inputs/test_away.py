"""Nights on which a truck or a driver is not to be had."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.inputs.away import dates_away


@given(st.frozensets(st.dates(), max_size=6))
def test_dates_with_commas_are_read(dates: frozenset[dt.date]) -> None:
    assert dates_away(", ".join(date.isoformat() for date in sorted(dates))) == dates


@pytest.mark.parametrize(
    "text", ["2027-04-31", "2027-04-14,", "14 April", "20270414", "2027-04-14 2027-04-15"]
)
def test_what_is_no_date_is_named(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a date such as 2027-04-14\.$"):
        dates_away(text)
