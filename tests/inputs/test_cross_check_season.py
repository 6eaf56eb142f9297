"""Dates and time zones make sense."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

Told = Callable[[dict[str, Any]], list[str]]


def test_the_season_ends_on_or_after_its_first_night(told: Told) -> None:
    found = told({"operation": [{"last_night": dt.date(2027, 3, 31)}]})
    assert found[0].startswith("operation[0].last_night: 2027-03-31 | a night from 2027-04-01 on")


@pytest.mark.parametrize(("last", "faults"), [(dt.date(2028, 3, 31), 0), (dt.date(2028, 4, 1), 1)])
def test_a_season_is_a_year_at_most(told: Told, last: dt.date, faults: int) -> None:
    # 1 April 2027 to 31 March 2028 are 366 nights: 2028 has a 29 February.
    assert len(told({"operation": [{"last_night": last}]})) == faults


@pytest.mark.parametrize("name", ["America/Chicgo", "", "../etc", "Central", "America/"])
def test_a_time_zone_that_does_not_exist_is_told(told: Told, name: str) -> None:
    (sentence,) = told({"operation": [{"time_zone": name}]})
    assert "a time zone such as America/Chicago" in sentence


def test_a_time_zone_slip_is_told_with_the_nearest_at_yards_and_contracts_too(told: Told) -> None:
    found = told({"yards": [{"time_zone": "America/Chicgo"}], "contracts": [{"time_zone": "America/Bosie"}]})
    assert [one.split(";")[1] for one in found] == [
        " the nearest is 'America/Chicago'", " the nearest is 'America/Boise'"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("day", "faults"),
    [
        (dt.date(2026, 2, 24), 1),
        (dt.date(2026, 2, 25), 0),
        (dt.date(2027, 7, 31), 0),
        (dt.date(2027, 8, 1), 1),
    ],
)
def test_an_inspection_is_not_after_the_season_and_not_too_old(told: Told, day: dt.date, faults: int) -> None:
    # 400 days before 1 April 2027 is 25 February 2026.
    assert len(told({"hive_groups": [{"inspected_on": day}]})) == faults


def test_bloom_in_another_year_is_told(told: Told) -> None:
    (sentence,) = told({"blooms": [{"on": dt.date(2025, 4, 14)}]})
    assert sentence.startswith("blooms[0].on: 2025-04-14 | a day within a year of the season")


def test_the_low_of_a_night_is_at_most_its_ends(told: Told) -> None:
    assert told({"temperatures": [{"low_f": 40.0}]}) == []
    assert len(told({"temperatures": [{"low_f": 40.5}]})) == 1


def test_nights_away_are_dates_with_commas(told: Told) -> None:
    assert told({"trucks": [{"nights_away": "2027-04-14, 2027-04-16"}]}) == []
    found = told({"trucks": [{"nights_away": "Easter"}], "drivers": [{"nights_away": "2027-04-31"}]})
    assert [one.split(" | ")[0] for one in found] == [
        "trucks[0].nights_away: a text in which 'Easter' is not a date such as 2027-04-14",
        "drivers[0].nights_away: a text in which '2027-04-31' is not a date such as 2027-04-14",
    ]


@pytest.mark.parametrize(("last", "faults"), [(dt.date(2027, 6, 19), 1), (dt.date(2027, 6, 20), 0)])
def test_a_honey_flow_does_not_end_before_it_begins(told: Told, last: dt.date, faults: int) -> None:
    found = told({"honey_flows": [{"first_on": dt.date(2027, 6, 20), "last_on": last}]})
    sentence = "honey_flows[0].last_on: 2027-06-19 | a day on or after the first day of the flow, 2027-06-20"
    assert found == [sentence] * faults
