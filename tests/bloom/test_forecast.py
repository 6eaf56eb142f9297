"""A forecast's own arithmetic: between stages, quantiles, shares of flowers open."""

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.bloom import bloom_operation
from routing.bloom.forecast import QUANTILES, StageDay, day_of
from routing.bloom.predict import bloom_forecast

SEEN = bloom_operation(years=3, seen_to=dt.date(2027, 4, 20))
FORECAST = bloom_forecast(SEEN, SEEN.contracts[0])


def stage(middle: float, sd_days: float) -> StageDay:
    return StageDay(stage="full bloom", percent=80.0, fallen=0.0, middle=middle, sd_days=sd_days, seen=False)


def test_a_fraction_of_a_day_is_reached_on_the_next_whole_one() -> None:
    day, after = dt.date(2027, 4, 20), dt.date(2027, 4, 21)
    assert [day_of(day.toordinal() + part) for part in (0.0, 0.01, 1.0)] == [day, after, after]


def test_quantiles_are_those_of_the_normal_law() -> None:
    # 5 %: 1.645 x 4 = 6.58 days before; the first whole day at or after 93.42 is 94.
    days = [one.toordinal() for one in stage(730_100.0, 4.0).days]
    assert QUANTILES == (0.05, 0.25, 0.5, 0.75, 0.95)
    assert days == [730_094, 730_098, 730_100, 730_103, 730_107]


@given(st.floats(1000.0, 700_000.0), st.floats(0.0, 60.0))
def test_quantiles_are_in_order_and_hold_the_day(middle: float, sd_days: float) -> None:
    one = stage(middle, sd_days)
    assert list(one.days) == sorted(one.days)
    assert one.days[2] == one.day
    assert -2e-9 <= one.day.toordinal() - middle < 1.0 + 1e-6


@given(st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_more_bloom_never_comes_earlier(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert FORECAST.reached(less)[0] <= FORECAST.reached(more)[0]
    assert FORECAST.fallen(less)[0] <= FORECAST.fallen(more)[0]


@given(st.integers(-60, 90))
def test_the_share_open_is_a_share(days: int) -> None:
    day = dt.date(2027, 5, 15) + dt.timedelta(days=days)
    assert 0.0 <= FORECAST.open_on(day) <= 100.0


def test_between_two_stages_the_line_is_straight() -> None:
    ten, half = FORECAST.stage("10 % bloom"), FORECAST.stage("HALF bloom")
    assert ten is not None
    assert half is not None
    middle, sd_days = FORECAST.reached(30.0)  # half way from 10 to 50
    assert middle == pytest.approx((ten.middle + half.middle) / 2.0)
    assert sd_days == pytest.approx((ten.sd_days + half.sd_days) / 2.0)


def test_the_parts_of_the_spread_make_its_whole() -> None:
    ten = FORECAST.stage("10 % bloom")
    assert ten is not None
    assert math.hypot(FORECAST.shared_sd_days, FORECAST.own_sd_days) == pytest.approx(ten.sd_days)


def test_a_stage_that_the_crop_does_not_have_is_none() -> None:
    assert FORECAST.stage("half-inch green") is None
