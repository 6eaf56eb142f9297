"""Sun times: order, clocks, and nights that are none."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.formulas.sun import NoNightError, sun_times

NIGHTS = st.dates(dt.date(2020, 1, 1), dt.date(2035, 12, 31))
ZONES = {
    "Pacific/Honolulu": -157.8, "America/Los_Angeles": -119.0,
    "America/New_York": -74.0, "Pacific/Auckland": 175.0,
}


@settings(max_examples=60, deadline=None)
@given(st.floats(-55.0, 55.0), st.sampled_from(sorted(ZONES)), NIGHTS)
def test_evening_is_on_the_date_of_the_night_and_morning_on_the_next(
    latitude: float, zone: str, night: dt.date
) -> None:
    times = sun_times(latitude, ZONES[zone], night=night, time_zone=zone)
    assert times.sunset < times.civil_dusk < times.civil_dawn < times.sunrise
    assert times.sunset.date() == night
    assert times.civil_dawn.date() == times.sunrise.date() == night + dt.timedelta(days=1)


@settings(max_examples=60, deadline=None)
@given(st.floats(-55.0, 55.0), st.floats(-180.0, 180.0), NIGHTS)
def test_one_night_follows_the_last_by_about_a_day_wherever_the_date_line_lies(
    latitude: float, longitude: float, night: dt.date
) -> None:
    zone = f"Etc/GMT{-round(longitude / 15.0):+d}"
    first = sun_times(latitude, longitude, night=night, time_zone=zone)
    second = sun_times(latitude, longitude, night=night + dt.timedelta(days=1), time_zone=zone)
    for earlier, later in ((first.sunset, second.sunset), (first.sunrise, second.sunrise)):
        assert abs((later - earlier).total_seconds() - 86_400) < 6 * 60


def test_evening_in_the_west_is_not_that_of_the_utc_day() -> None:
    # 17:39:54 PST on 12 February is 01:39:54 UTC on 13 February.
    times = sun_times(37.64, -120.99, night=dt.date(2027, 2, 12), time_zone="America/Los_Angeles")
    assert times.sunset.date() == dt.date(2027, 2, 12)
    assert times.sunset.astimezone(dt.UTC).date() == dt.date(2027, 2, 13)


def test_the_clocks_change_within_a_night() -> None:
    spring = sun_times(43.7, -86.3, night=dt.date(2026, 3, 7), time_zone="America/Detroit")
    autumn = sun_times(43.7, -86.3, night=dt.date(2026, 10, 31), time_zone="America/Detroit")
    assert (spring.sunset.tzname(), spring.sunrise.tzname()) == ("EST", "EDT")
    assert (autumn.sunset.tzname(), autumn.sunrise.tzname()) == ("EDT", "EST")


def test_a_clock_set_far_from_the_sun_still_gives_the_night_its_date() -> None:
    # Kashgar keeps the clock of Beijing: solar noon at about 15:00, June sunset near 22:00.
    times = sun_times(39.47, 75.99, night=dt.date(2026, 6, 20), time_zone="Asia/Shanghai")
    assert times.sunset.date() == dt.date(2026, 6, 20)
    assert times.sunset.hour in (21, 22)


def test_a_sunset_after_midnight_belongs_to_the_evening_before() -> None:
    # Fairbanks keeps a clock two hours ahead of the sun in summer.
    times = sun_times(64.84, -147.72, night=dt.date(2027, 5, 14), time_zone="America/Anchorage")
    assert times.sunset.date() == dt.date(2027, 5, 14)
    assert times.civil_dusk.date() == dt.date(2027, 5, 15)


@pytest.mark.parametrize(
    ("latitude", "night"),
    [(64.84, dt.date(2027, 6, 10)), (78.2, dt.date(2027, 6, 21)), (78.2, dt.date(2027, 12, 21))],
)
def test_light_all_night_or_dark_all_day_is_no_night(latitude: float, night: dt.date) -> None:
    with pytest.raises(NoNightError, match=str(night)):
        sun_times(latitude, -147.72, night=night, time_zone="America/Anchorage")


def test_a_wrong_place_or_zone_is_told_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="Latitude 137"):
        sun_times(137.0, -90.0, night=dt.date(2027, 4, 1), time_zone="America/Chicago")
    with pytest.raises(ValueError, match="No time zone is called 'Middle/Earth'"):
        sun_times(44.0, -90.0, night=dt.date(2027, 4, 1), time_zone="Middle/Earth")
