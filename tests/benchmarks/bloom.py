"""Bloom foretold in 60 invented seasons at six dates: error, spread told, how many bloom within it, days won on the mean date."""

import datetime as dt
import math
import time
from statistics import fmean, stdev

import numpy as np

from fixtures.bloom import CHILL, HEAT, ORCHARD, bloom_operation, seen_weather, usual_weather
from routing.bloom.predict import bloom_forecast
from routing.bloom.sums import HeatRule, path_of
from routing.bloom.weather import season_hours
from routing.inputs.operation import Operation
from routing.inputs.phenology import BloomSum, Weather
from routing.inputs.places import places
from tests.benchmarks._record import Record

SEASONS = 60
START, END = dt.date(2026, 10, 1), dt.date(2027, 7, 15)
DATES = (None, dt.date(2027, 1, 1), dt.date(2027, 3, 1), dt.date(2027, 4, 1), dt.date(2027, 4, 20), dt.date(2027, 5, 5))
NINE_IN_TEN = 1.645


def rows() -> list[Record]:
    """Return one row a date of forecast; the sums are known, so that what is left is the weather to come."""
    own = BloomSum(crop="sweet cherry", percent_bloom=10.0, chill_portions=CHILL, heat_sum=HEAT, error_days=1.0, source="made up")
    base = bloom_operation(years=0, seen_to=None).model_copy(update={"bloom_sums": (own,)})
    seasons = [seen_weather(START, END, seed=9000 + number) for number in range(SEASONS)]
    true = [_true_day(base, season) for season in seasons]
    return [_row(base, seasons, true, date=date) for date in DATES]


def _true_day(base: Operation, season: tuple[Weather, ...]) -> float:
    whole = base.model_copy(update={"weather": (*usual_weather(), *season)})
    path = path_of(season_hours(whole, places(whole)[ORCHARD], START), HeatRule("degree hours", portions=CHILL), day_sd_f=0.0)
    return float(START.toordinal() + int(np.searchsorted(path.heat, HEAT)))


def _row(base: Operation, seasons: list[tuple[Weather, ...]], true: list[float], *, date: dt.date | None) -> Record:
    misses, spreads, began = [], [], time.perf_counter()
    for season, day in zip(seasons, true, strict=True):
        seen = () if date is None else tuple(row for row in season if row.on <= date)
        one = base.model_copy(update={"weather": (*usual_weather(), *seen)})
        stage = bloom_forecast(one, one.contracts[0]).stage("10 % bloom")
        if stage is not None:
            misses.append(day - stage.middle)
            spreads.append(stage.sd_days)
    inside = [abs(miss) <= NINE_IN_TEN * sd for miss, sd in zip(misses, spreads, strict=True)]
    return {
        "seen to": str(date or "nothing"), "seasons": len(misses), "mean error d": fmean(misses),
        "error d": math.sqrt(fmean(miss * miss for miss in misses)), "told d": fmean(spreads),
        "within 9 in 10": fmean(inside), "mean date's error d": stdev(true),
        "ms a forecast": 1000.0 * (time.perf_counter() - began) / len(misses),
    }  # fmt: skip
