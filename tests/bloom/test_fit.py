"""Chill and heat fitted to earlier years: found again, with a stated error; not used where dates do as well."""

import datetime as dt

import pytest

from fixtures.bloom import ORCHARD, bloom_operation
from routing.bloom.fit import fitted
from routing.bloom.predict import bloom_forecast
from routing.inputs.operation import Operation
from routing.inputs.phenology import PastBloom
from routing.inputs.places import places

EIGHT = bloom_operation(years=8)
CHERRIES = EIGHT.contracts[0]
PLACE = places(EIGHT)[ORCHARD]


def test_sums_are_found_again_from_years_that_they_made() -> None:
    # The years were made with 40 portions and 6,200 degree hours and noted a day off at most.
    fit = fitted(EIGHT, CHERRIES, PLACE, portions=40.0)
    assert fit is not None
    assert fit.rule.portions == 40.0
    assert fit.sums[0] == (10.0, pytest.approx(6200.0, rel=0.04))
    assert 1.0 <= fit.error_days < 2.5
    assert fit.error_days < fit.date_error_days
    assert fit.years == tuple(range(2019, 2027))


def test_eight_years_also_fit_the_chill_and_four_do_not() -> None:
    found = fitted(EIGHT, CHERRIES, PLACE, portions=None)
    assert found is not None
    assert found.error_days < 3.0
    four = bloom_operation(years=4)
    few = fitted(four, four.contracts[0], PLACE, portions=None)
    assert few is not None
    assert few.rule.portions is None


def test_two_years_are_too_few() -> None:
    two = bloom_operation(years=2)
    assert fitted(two, two.contracts[0], PLACE, portions=None) is None
    forecast = bloom_forecast(two, two.contracts[0])
    assert forecast.kind == "dates"
    assert "2 earlier years are noted (from 3 with weather on it is fitted)" in forecast.warnings[0]


def test_a_year_without_weather_is_left_out_and_told() -> None:
    old = PastBloom(contract=ORCHARD, percent_bloom=10.0, on=dt.date(2009, 5, 9))
    fit = fitted(EIGHT.model_copy(update={"past_blooms": (old, *EIGHT.past_blooms)}), CHERRIES, PLACE, portions=40.0)
    assert fit is not None
    assert fit.years[0] == 2019
    assert fit.left_out == ("2009: no weather seen up to 2009-05-09",)


def test_another_percentage_noted_in_enough_years_has_a_sum_of_its_own() -> None:
    later = tuple(
        PastBloom(contract=ORCHARD, percent_bloom=50.0, on=row.on + dt.timedelta(days=3)) for row in EIGHT.past_blooms[:4]
    )
    fit = fitted(EIGHT.model_copy(update={"past_blooms": (*EIGHT.past_blooms, *later)}), CHERRIES, PLACE, portions=40.0)
    assert fit is not None
    assert [percent for percent, _ in fit.sums] == [10.0, 50.0]
    assert fit.sums[1][1] > fit.sums[0][1]


def test_bloom_that_has_nothing_to_do_with_the_weather_is_foretold_by_its_dates() -> None:
    # The same day every year, whatever the weather: the calendar foretells it best, and that is what is used.
    same = tuple(row.model_copy(update={"on": row.on.replace(month=5, day=10)}) for row in EIGHT.past_blooms)
    operation: Operation = EIGHT.model_copy(update={"past_blooms": same})
    forecast = bloom_forecast(operation, CHERRIES)
    assert forecast.kind == "dates"
    assert "heat foretold your earlier years no better" in forecast.warnings[0]
    assert "their mean date does (1.0 d)" in forecast.warnings[0]
    stage = forecast.stage("10 % bloom")
    assert stage is not None
    assert stage.day == dt.date(2027, 5, 10)


def test_a_fitted_forecast_tells_years_sums_and_both_errors() -> None:
    forecast = bloom_forecast(EIGHT, CHERRIES)
    assert (forecast.kind, forecast.calibrated) == ("fitted", True)
    told = ("fitted to your own bloom (8 years, 2019 to 2026)", "degree hours", "error of years left out", "their mean date")
    for words in told:
        assert words in forecast.basis
    assert forecast.own_sd_days >= 1.0
