"""Units, clock and figures as one reader reads them."""

import datetime as dt

import pytest
from starlette.requests import Request

from api.pages.reading import Reader, reader_of
from routing.finding import at_most

METRIC, US = Reader(units="metric", clock="24"), Reader()


def _asking(cookie: str) -> Request:
    return Request({"type": "http", "headers": [(b"cookie", cookie.encode("latin-1"))]})


def test_miles_pounds_inches_and_acres_have_their_metric_twins() -> None:
    # 28 x 1.609344 = 45.06; 12,300 x 0.45359237 = 5,579.19; 148 x 2.54 = 375.92 cm; 11.9 x 0.4046873 = 4.816.
    assert (METRIC.miles(28.0), METRIC.weight(12_300.0), METRIC.length(148.0), METRIC.acres(11.9)) == (
        "45.1 km", "5,579 kg", "3.76 m", "4.8 ha",
    )  # fmt: skip
    assert (US.miles(28.0), US.weight(12_300.0), US.length(148.0), US.acres(11.9)) == (
        "28.0 miles", "12,300 lb", "12 ft 4 in", "11.9 acres",
    )  # fmt: skip


@pytest.mark.parametrize(("hour", "twelve", "twentyfour"), [
    ("00:00", "12:00 am", "00:00"), ("00:05", "12:05 am", "00:05"), ("11:59", "11:59 am", "11:59"),
    ("12:00", "12:00 pm", "12:00"), ("21:40", "9:40 pm", "21:40"),
])  # fmt: skip
def test_both_clocks_tell_midnight_and_noon_apart(hour: str, twelve: str, twentyfour: str) -> None:
    moment = dt.datetime.fromisoformat(f"2027-04-12T{hour}:00+00:00")
    assert (US.time(moment), METRIC.time(moment)) == (twelve, twentyfour)


def test_a_moment_is_told_on_the_clock_of_its_place() -> None:
    moment = dt.datetime(2027, 4, 13, 1, 40, tzinfo=dt.UTC)
    # Daylight time in Detroit is four hours behind UTC.
    assert US.at(moment, "America/Detroit") == "9:40 pm"


def test_a_check_is_told_in_the_readers_units_with_its_room() -> None:
    check = at_most("gross weight", "Old blue", measured=20_000.0, limit=25_900.0, unit="lb", force="law", source="none")
    assert US.found(check) == "20,000 lb, limit 25,900 lb, room left 5,900 lb"
    # 20,000 x 0.45359237 = 9,071.85; 25,900 -> 11,748.04; 5,900 -> 2,676.19.
    assert METRIC.found(check) == "9,071.85 kg, limit 11,748.04 kg, room left 2,676.19 kg"


def test_a_difference_of_temperatures_is_not_turned_into_a_temperature() -> None:
    check = at_most("warmth", "evening", measured=50.0, limit=68.0, unit="deg F", force="practice", source="none")
    # (50 - 32) x 5 / 9 = 10; (68 - 32) x 5 / 9 = 20.
    assert METRIC.found(check) == "10 deg C, limit 20 deg C"


@pytest.mark.parametrize(("cookie", "reader"), [
    ("", Reader()), ("bloomhaul-reader=metric.24.dusk", Reader(units="metric", clock="24", ground="dusk")),
    ("bloomhaul-reader=<script>.99.x", Reader()), ("bloomhaul-reader=metric", Reader(units="metric")),
])  # fmt: skip
def test_a_cookie_that_is_not_understood_counts_as_no_choice(cookie: str, reader: Reader) -> None:
    assert reader_of(_asking(cookie)) == reader


def test_a_choice_comes_back_from_its_cookie() -> None:
    assert reader_of(_asking(f"bloomhaul-reader={METRIC.cookie}")) == METRIC


def test_days_and_spans_are_told_short() -> None:
    first, last = dt.date(2027, 4, 12), dt.date(2027, 4, 14)
    assert (US.day(first), US.long_day(first)) == ("Mon Apr 12", "Monday, April 12, 2027")
    assert US.span(first, last) == "Mon Apr 12 to Wed Apr 14"
    assert (US.span(first, first), US.span(None, None)) == ("Mon Apr 12", "none")
