"""A real year of hours, from the file to the day of bloom, against a count by hand hour by hour."""

import csv
import datetime as dt
import math
from pathlib import Path

import pvlib
import pytest

from api.files.weather import weather_file
from fixtures.bloom import bloom_operation
from routing.bloom.predict import bloom_forecast
from routing.inputs.operation import Operation
from routing.inputs.phenology import BloomSum, Weather

PORTIONS, HEAT = 30.0, 5000.0
START = dt.date(2026, 10, 1)


def hours_c() -> list[float]:
    """Return the typical year of Greensboro NC (TMY3, in pvlib) from October 1 to June 30, October to December first."""
    text = Path(pvlib.__file__).parent.joinpath("data", "723170TYA.CSV").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()[1:]))
    temperatures = [float(row["Dry-bulb (C)"]) for row in rows]
    october, july = 273 * 24, 181 * 24
    return temperatures[october:] + temperatures[:july]


def operation() -> Operation:
    lines = [
        f"{(dt.datetime.combine(START, dt.time()) + dt.timedelta(hours=number)).isoformat(sep=' ')},{one}"
        for number, one in enumerate(hours_c())
    ]
    found = weather_file(("timestamp,temp [deg C]\n" + "\n".join(lines)).encode(), "greensboro.csv", places=(), time_zone="none")
    weather = tuple(
        Weather(
            on=dt.date.fromisoformat(str(row.values["on"])), low_f=float(str(row.values["low_f"])),
            high_f=float(str(row.values["high_f"])), hours_f=str(row.values["hours_f"]),
        )
        for row in found.rows
    )  # fmt: skip
    own = BloomSum(crop="sweet cherry", percent_bloom=10.0, chill_portions=PORTIONS, heat_sum=HEAT, source="the test")
    return bloom_operation(years=0).model_copy(update={"weather": weather, "bloom_sums": (own,)})


def day_by_hand() -> dt.date:
    """Return the day on which the heat is reached, by the published equations written out once more."""
    product = total = heat = 0.0
    counts_from = None
    for hour, temperature in enumerate(hours_c()):
        kelvin = temperature + 273.0
        ratio = math.exp(1.6 * 277.0 * (kelvin - 277.0) / kelvin)
        most = 139500.0 / 2.567e18 * math.exp((12888.8 - 4153.5) / kelvin)
        if hour:
            product = most - (most - product) * math.exp(-2.567e18 * math.exp(-12888.8 / kelvin))
        if product >= 1.0:
            total += product * ratio / (1.0 + ratio)
            product -= product * ratio / (1.0 + ratio)
        if total >= PORTIONS and counts_from is None:
            counts_from = (hour // 24 + 1) * 24  # from the day after
        if counts_from is not None and hour >= counts_from and 4.0 < temperature < 36.0:
            if temperature <= 25.0:
                heat += 10.5 * (1.0 + math.cos(math.pi + math.pi * (temperature - 4.0) / 21.0))
            else:
                heat += 21.0 * (1.0 + math.cos(math.pi / 2.0 + math.pi / 2.0 * (temperature - 25.0) / 11.0))
        if heat >= HEAT:
            return START + dt.timedelta(days=hour // 24)
    raise AssertionError("the heat is never reached")


def test_the_day_foretold_from_the_file_is_the_day_counted_by_hand() -> None:
    one = operation()
    assert len(one.weather) == 92 + 181  # October to December, January to June
    forecast = bloom_forecast(one, one.contracts[0])
    stage = forecast.stage("10 % bloom")
    assert stage is not None
    assert stage.day == day_by_hand()
    assert forecast.kind == "own sums"
    assert forecast.shared_sd_days == 0.0  # seen to June: no weather is left to come


def test_the_same_year_by_lows_and_highs_alone_is_within_two_days() -> None:
    # The published way from daily lows and highs to hours costs little: cited errors of bloom models are 1 to 8 days.
    one = operation()
    plain = one.model_copy(update={"weather": tuple(row.model_copy(update={"hours_f": ""}) for row in one.weather)})
    days = [bloom_forecast(each, each.contracts[0]).reached(10.0)[0] for each in (one, plain)]
    assert days[1] == pytest.approx(days[0], abs=2.0)
