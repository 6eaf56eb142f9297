"""Chances and draws from a forecast agree with each other and with the normal law."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.tiny import tiny_operation
from routing.bloom.chance import (
    chance_in_on_time,
    chance_of_bloom_by,
    chance_of_petal_fall_by,
    chance_wanted_by,
    draw_bloom_shift_days,
)
from routing.bloom.predict import bloom_forecast
from routing.inputs.contract import Bloom, Contract
from routing.inputs.operation import Operation

TINY = tiny_operation()


def day(number: int) -> dt.date:
    return dt.date(2027, 4, number)


def operation_with(*, seen: bool, within: int = 2) -> tuple[Operation, Contract]:
    about = {"in_from": None, "in_until": None, "in_at_percent_bloom": 10.0, "in_within_nights": within, "petal_fall_on": None}
    contract = TINY.contracts[0].model_copy(update=about)
    bloom = Bloom(contract=contract.name, percent_bloom=10.0, on=day(23), seen=seen)
    return TINY.model_copy(update={"contracts": (contract,), "blooms": (bloom,)}), contract


def test_dates_agreed_have_no_chance_in_them() -> None:
    contract = TINY.contracts[0]  # in from April 23 to 26
    assert [chance_in_on_time(TINY, contract, day(number)) for number in (22, 23, 26, 27)] == [1.0, 1.0, 1.0, 0.0]


def test_the_last_night_on_time_is_on_time_if_bloom_is_not_half_a_day_early() -> None:
    # A forecast of 5 days; wanted on the 23rd, on time until the 25th. Late on the 25th if bloom comes a day early
    # or more: P(shift <= -0.5 d) = 0.460, so 0.540 is on time; three nights before the chance is 0.758.
    operation, contract = operation_with(seen=False)
    assert chance_in_on_time(operation, contract, day(25)) == pytest.approx(0.540, abs=0.001)
    assert chance_in_on_time(operation, contract, day(22)) == pytest.approx(0.758, abs=0.001)


def test_bloom_seen_leaves_little_chance_of_being_late() -> None:
    # Seen: a day of error. Two nights before the last night on time: P(shift > -2.5 d) = 0.994.
    operation, contract = operation_with(seen=True)
    assert chance_in_on_time(operation, contract, day(23)) == pytest.approx(0.994, abs=0.001)


@given(st.integers(1, 28), st.integers(0, 6))
def test_a_later_night_is_never_more_surely_on_time_and_never_less_surely_wanted(number: int, within: int) -> None:
    operation, contract = operation_with(seen=False, within=within)
    night, later = day(number), day(number) + dt.timedelta(days=1)
    assert chance_in_on_time(operation, contract, later) <= chance_in_on_time(operation, contract, night)
    assert chance_wanted_by(operation, contract, later) >= chance_wanted_by(operation, contract, night)


def test_chance_of_bloom_is_even_on_its_middle_day_and_follows_the_quantiles() -> None:
    operation, contract = operation_with(seen=False)
    found = bloom_forecast(operation, contract)
    ten = found.stage("10 % bloom")
    assert ten is not None
    # Half a day: the chance is that of the whole day. P(shift <= 0.5 d of 5) = 0.540.
    assert chance_of_bloom_by(found, 10.0, ten.day) == pytest.approx(0.540, abs=0.001)
    chances = [chance_of_bloom_by(found, 10.0, one) for one in ten.days]
    assert chances == sorted(chances)
    assert [round(one, 1) for one in chances] == pytest.approx([0.1, 0.3, 0.5, 0.8, 1.0], abs=0.11)
    assert chance_of_petal_fall_by(found, 90.0, day(28)) < chance_of_bloom_by(found, 10.0, day(28))


def test_draws_of_one_seed_are_the_same_and_spread_as_the_forecast_says() -> None:
    operation, contract = operation_with(seen=False)
    found = bloom_forecast(operation, contract)
    draws = [draw_bloom_shift_days(found, np.random.default_rng(7)) for _ in range(2)]
    assert draws[0] == draws[1]
    rng = np.random.default_rng(11)
    many = np.array([draw_bloom_shift_days(found, rng) for _ in range(4000)])
    # Standard error of the mean 5 / sqrt(4000) = 0.08 d, of the spread 5 / sqrt(8000) = 0.056 d: four of each.
    assert abs(many.mean()) < 0.32
    assert many.std() == pytest.approx(5.0, abs=0.23)


def test_a_late_season_is_late_for_all_that_share_its_weather() -> None:
    operation, contract = operation_with(seen=False)
    found = bloom_forecast(operation, contract).model_copy(update={"shared_sd_days": 4.0, "own_sd_days": 0.0})
    assert draw_bloom_shift_days(found, np.random.default_rng(1), season=1.5) == 6.0
