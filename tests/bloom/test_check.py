"""Findings on windows: inside the nights planned, sure or forecast, in before out."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.bloom.check import window_findings
from routing.inputs.contract import Bloom

TINY = tiny_operation()
CHERRIES = TINY.contracts[0]


@pytest.mark.parametrize(("first", "outside"), [(22, 0.0), (23, 0.0), (24, 1.0)])
def test_a_window_that_opens_before_the_first_night_planned_is_found(first: int, outside: float) -> None:
    operation = TINY.model_copy(update={"first_night": dt.date(2027, 4, first)})
    (found,) = window_findings(operation, CHERRIES)  # in from April 23
    assert (found.measured, found.status) == (outside, "broken" if outside else "ok")


@pytest.mark.parametrize(("last", "outside"), [(14, 0.0), (13, 0.0), (12, 1.0)])
def test_a_window_that_closes_after_the_last_night_planned_is_found(last: int, outside: float) -> None:
    operation = TINY.model_copy(update={"last_night": dt.date(2027, 5, last)})
    (found,) = window_findings(operation, CHERRIES)  # out until May 13
    assert (found.measured, found.status) == (outside, "broken" if outside else "ok")


@pytest.mark.parametrize("seen", [True, False])
def test_a_way_in_that_rests_on_a_forecast_is_not_sure(seen: bool) -> None:
    bloom = Bloom(contract=CHERRIES.name, percent_bloom=10.0, on=dt.date(2027, 4, 23), seen=seen)
    operation = TINY.model_copy(update={"blooms": (bloom,)})
    cherries = CHERRIES.model_copy(update={"in_from": None, "in_until": None, "in_at_percent_bloom": 10.0})
    assert ("bloom" in [found.check for found in window_findings(operation, cherries)]) == (not seen)


def test_hives_that_may_leave_while_others_come_are_told() -> None:
    cherries = CHERRIES.model_copy(update={"out_from": dt.date(2027, 4, 27)})  # late until April 27
    found = window_findings(TINY, cherries)
    assert found[-1].check == "nights in before nights out"
    assert found[-1].status == "unknown"
