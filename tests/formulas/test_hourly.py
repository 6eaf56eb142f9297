"""Hours from daily lows and highs: within bounds, the high by day, the low at sunrise; close to a real year."""

import csv
import datetime as dt
from pathlib import Path

import numpy as np
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.formulas.chill import chill_portions
from routing.formulas.heat import degree_hours_of
from routing.formulas.hourly import Day, hours_of_days
from routing.formulas.sun import sun_times

DAYS = st.lists(
    st.tuples(st.floats(-20.0, 80.0), st.floats(0.0, 40.0), st.floats(4.0, 8.0), st.floats(16.0, 21.0)).map(
        lambda one: Day(one[0], one[0] + one[1], one[2], one[3])
    ),
    min_size=1,
    max_size=6,
)


@given(DAYS)
def test_every_day_has_24_hours_that_reach_neither_above_its_high_nor_below_the_lows_beside_it(days: list[Day]) -> None:
    hours = hours_of_days(days)
    assert len(hours) == 24 * len(days)
    for index in range(len(days)):
        beside = days[max(0, index - 1) : index + 2]
        for temperature in hours[24 * index : 24 * index + 24]:
            assert min(one.low for one in beside) - 1e-9 <= temperature <= max(one.high for one in beside) + 1e-9


def test_the_low_is_at_sunrise_and_the_high_in_the_middle_of_the_day_and_four_hours() -> None:
    # Sunrise 6, sunset 18: the sine is 12 + 4 = 16 hours long, so its top is 8 hours after sunrise, at 14 h.
    hours = hours_of_days([Day(40.0, 60.0, 6.0, 18.0)] * 2)
    assert (hours[6], hours[14]) == (40.0, 60.0)
    # At sunset sin(12 / 16 x 180 deg) = 0.7071: 40 + 20 x 0.7071 = 54.14.
    assert hours[18] == pytest.approx(54.14, abs=0.01)
    # Six hours later: 54.14 - 14.14 ln(6) / ln(12) = 43.94; at the next sunrise the low again.
    assert hours[24] == pytest.approx(43.94, abs=0.01)
    assert hours[30] == 40.0


def test_the_night_falls_to_the_next_low_not_to_its_own() -> None:
    hours = hours_of_days([Day(40.0, 60.0, 6.0, 18.0), Day(20.0, 50.0, 6.0, 18.0)])
    assert 20.0 < hours[29] < 25.0
    assert hours[30] == 20.0


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (Day(60.0, 40.0, 6.0, 18.0), "low of a day, 60, is above its high, 40"),
        (Day(40.0, 60.0, 18.0, 6.0), "sunrise at 18 h and its sunset at 6 h"),
    ],
)
def test_a_day_upside_down_is_refused(day: Day, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        hours_of_days([day])


def test_a_real_year_comes_back_from_its_lows_and_highs_within_two_degrees_and_two_percent_of_its_heat() -> None:
    # Greensboro NC, typical year (TMY3, in pvlib; 36.10 N, 79.95 W, UTC - 5): hours 01:00 to 24:00 put at 0 to 23.
    text = Path(pvlib.__file__).parent.joinpath("data", "723170TYA.CSV").read_text(encoding="utf-8")
    hours = [float(row["Dry-bulb (C)"]) for row in csv.DictReader(text.splitlines()[1:])]
    seen = np.array([hours[0], *hours[:-1]]).reshape(365, 24)
    days = [Day(float(one.min()), float(one.max()), *sun) for one, sun in zip(seen, sun_of_greensboro(), strict=True)]
    made = np.array(hours_of_days(days))
    assert np.sqrt(np.square(made - seen.ravel()).mean()) < 2.0  # deg C
    spring = slice(0, 151 * 24)
    true = degree_hours_of(seen.ravel()[spring]).sum()
    assert degree_hours_of(made[spring]).sum() == pytest.approx(true, rel=0.02)
    # The day's mean put in place of its hours is further off: cold hours count nothing, and they vanish in the mean.
    assert abs(degree_hours_of(np.repeat(seen.mean(axis=1), 24)[spring]).sum() / true - 1.0) > 0.02
    # Chill of January to March: 47.9 portions from the hours themselves.
    winter = slice(0, 90 * 24)
    portions = [float(chill_portions(one[winter] * 1.8 + 32.0)[-1]) for one in (seen.ravel(), made)]
    assert portions[1] == pytest.approx(portions[0], abs=1.5)


def sun_of_greensboro() -> list[tuple[float, float]]:
    """Return sunrise and sunset of each day of a year on standard time. [h]"""
    year = dt.date(2026, 1, 1)
    found = []
    for number in range(365):
        day = year + dt.timedelta(days=number)
        times = [sun_times(36.10, -79.95, night=one, time_zone="Etc/GMT+5") for one in (day - dt.timedelta(days=1), day)]
        found.append((_hour(times[0].sunrise), _hour(times[1].sunset)))
    return found


def _hour(moment: dt.datetime) -> float:
    return moment.hour + moment.minute / 60.0
