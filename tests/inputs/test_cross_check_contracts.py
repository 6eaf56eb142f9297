"""Contracts: a way in, dates in order, bloom that rises."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

Told = Callable[[dict[str, Any]], list[str]]


def day(month: int, number: int, year: int = 2027) -> dt.date:
    return dt.date(year, month, number)


# The worked example: in at 10 % bloom, petal fall 28 April, out until 3 May, spray 5 May;
# the season is April to July.


def test_a_contract_without_a_gate_is_told(told: Told) -> None:
    found = told({"gates": [{"contract": "Lower paers"}]})
    assert (
        "contracts[0].name: 'Lower pears' without a gate | at least one row in gates for this contract" in found
    )


def test_a_contract_needs_a_first_night_in_or_a_percent_bloom(told: Told) -> None:
    assert told({"contracts": [{"in_at_percent_bloom": None, "in_from": day(4, 14)}]}) == []
    assert told({"contracts": [{"in_at_percent_bloom": None}]}) == [
        "contracts[0].in_from: nothing | a first night in, or a percent bloom"
    ]


@pytest.mark.parametrize(("percent", "faults"), [(9.9, 1), (10.0, 0), (80.0, 0), (80.1, 1)])
def test_the_bloom_asked_for_is_one_that_its_rows_reach(told: Told, percent: float, faults: int) -> None:
    assert len(told({"contracts": [{"in_at_percent_bloom": percent}]})) == faults


def test_a_percent_bloom_without_bloom_rows_is_told(told: Told) -> None:
    contracts = [{}, {"name": "Upper pears"}]
    gates = [{}, {"contract": "Upper pears"}]
    assert told({"contracts": contracts, "gates": gates}) == [
        "contracts[1].in_at_percent_bloom: 10 without a bloom row | rows in blooms for this contract, or dates"
    ]


ORDER = [
    ({"in_from": day(4, 14), "in_until": day(4, 14)}, []),
    ({"in_from": day(4, 14), "in_until": day(4, 13)}, ["in_until"]),
    ({"in_from": day(4, 27)}, []),
    ({"in_from": day(4, 28)}, ["petal_fall_on"]),
    ({"out_from": day(5, 3)}, []),
    ({"out_from": day(5, 4)}, ["out_until"]),
    ({"out_until": day(5, 4)}, []),
    ({"out_until": day(5, 5)}, ["spray_on"]),
    ({"petal_fall_on": day(5, 5), "out_until": None}, ["spray_on"]),
    ({"in_from": day(5, 6), "petal_fall_on": None, "out_until": None}, ["spray_on"]),
]


@pytest.mark.parametrize(("dates", "columns"), ORDER)
def test_dates_follow_one_another(told: Told, dates: dict[str, Any], columns: list[str]) -> None:
    found = told({"contracts": [dates]})
    assert [one.split(":")[0] for one in found] == [f"contracts[0].{column}" for column in columns]


def test_a_date_out_of_order_is_told_with_the_date_it_must_follow(told: Told) -> None:
    (sentence,) = told({"contracts": [{"in_from": day(4, 14), "in_until": day(4, 13)}]})
    assert sentence.endswith(": 2027-04-13 | the day of 'in from', 2027-04-14, or later")


@pytest.mark.parametrize(("night", "faults"), [(day(3, 31), 1), (day(4, 1), 0)])
def test_a_night_in_lies_in_the_season(told: Told, night: dt.date, faults: int) -> None:
    assert len(told({"contracts": [{"in_from": night}]})) == faults


@pytest.mark.parametrize(("night", "faults"), [(day(7, 31), 0), (day(8, 1), 1)])
def test_a_night_out_lies_in_the_season(told: Told, night: dt.date, faults: int) -> None:
    assert len(told({"contracts": [{"out_until": night, "spray_on": None}]})) == faults


def test_bloom_that_falls_back_before_its_peak_is_told_and_after_it_is_not(told: Told) -> None:
    later = {"on": day(4, 23), "percent_bloom": 40.0}
    assert told({"blooms": [{}, {}, later]}) == []
    assert told({"blooms": [{}, {}, later, {"on": day(4, 25), "percent_bloom": 90.0}]}) == [
        "blooms[2].percent_bloom: 40"
        " | at least the 80 of 2027-04-21: bloom does not fall back before its peak"
    ]


def test_what_was_seen_and_what_was_forecast_are_not_held_against_each_other(told: Told) -> None:
    assert told({"blooms": [{}, {}, {"on": day(4, 22), "percent_bloom": 40.0, "seen": True}]}) == []


def test_a_bonus_reaches_above_the_least_average(told: Told) -> None:
    terms = {"bonus_usd_per_frame": 4.0, "bonus_up_to_frames": 8.0}
    assert [one.split(":")[0] for one in told({"contracts": [terms]})] == ["contracts[0].bonus_up_to_frames"]
    assert told({"contracts": [terms | {"bonus_up_to_frames": 12.0}]}) == []


def test_the_least_of_one_colony_is_at_most_the_least_average(told: Told) -> None:
    assert told({"contracts": [{"min_colony_frames": 8.0}]}) == []
    assert len(told({"contracts": [{"min_colony_frames": 8.5}]})) == 1


@pytest.mark.parametrize(("least", "faults"), [(23, 0), (24, 0), (25, 1)])
def test_a_part_of_an_offer_is_no_more_than_the_offer(told: Told, least: int, faults: int) -> None:
    found = told({"contracts": [{"signed": False, "colonies": 24, "least_colonies": least}]})
    assert found == [f"contracts[0].least_colonies: {least} | at most the colonies offered, 24"] * faults
