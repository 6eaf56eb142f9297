"""Sun times against printed values, and against a second library with a planetary ephemeris."""

import datetime as dt
from collections.abc import Callable
from importlib import resources
from zoneinfo import ZoneInfo

import pytest
from skyfield import almanac
from skyfield.api import load, load_file, wgs84

from routing.formulas.sun import SunTimes, sun_times

GOLDEN = (39.742476, -105.1786)
MST = dt.timezone(dt.timedelta(hours=-7))
# Site values of the Solar Position Algorithm, NREL, Golden CO; MST. Their sunsets are reckoned by UTC days:
# the 19:13:58 printed for 2 August 2015 is the sunset of 1 August on the clock of Golden.
NREL_SPA = [
    ("sunrise", dt.date(2015, 1, 1), dt.datetime(2015, 1, 2, 7, 21, 55, tzinfo=MST)),
    ("sunset", dt.date(2015, 1, 2), dt.datetime(2015, 1, 2, 16, 47, 43, tzinfo=MST)),
    ("sunrise", dt.date(2015, 8, 1), dt.datetime(2015, 8, 2, 5, 0, 27, tzinfo=MST)),
    ("sunset", dt.date(2015, 8, 1), dt.datetime(2015, 8, 1, 19, 13, 58, tzinfo=MST)),
]
# U.S. Naval Observatory, same site, whole minutes, MST.
USNO = [
    ("sunrise", dt.date(2015, 1, 1), dt.datetime(2015, 1, 2, 7, 22, tzinfo=MST)),
    ("sunset", dt.date(2015, 1, 2), dt.datetime(2015, 1, 2, 16, 48, tzinfo=MST)),
    ("sunrise", dt.date(2015, 8, 1), dt.datetime(2015, 8, 2, 5, 0, tzinfo=MST)),
    ("sunset", dt.date(2015, 8, 2), dt.datetime(2015, 8, 2, 19, 13, tzinfo=MST)),
]
# Civil dusk by SPA, Sun's centre at -6 deg (computed for this project with pvlib).
CIVIL_DUSK = [
    (37.6391, -120.9969, "America/Los_Angeles", dt.datetime(2026, 2, 15, 18, 10, 13)),
    (46.6021, -120.5059, "America/Los_Angeles", dt.datetime(2026, 4, 20, 20, 29, 24)),
    (43.6983, -86.3640, "America/Detroit", dt.datetime(2026, 5, 10, 21, 31, 14)),
]
SITES = [
    (37.6391, -120.9969, "America/Los_Angeles"),
    (46.6021, -120.5059, "America/Los_Angeles"),
    (44.6000, -67.9300, "America/New_York"),
    (25.4687, -80.4776, "America/New_York"),
    (43.6983, -86.3640, "America/Detroit"),
    (44.8000, -91.5000, "America/Chicago"),
    (33.4500, -112.0700, "America/Phoenix"),
    (61.2200, -149.9000, "America/Anchorage"),
    (21.3000, -157.8000, "Pacific/Honolulu"),
]
# The nights on which the clocks change in 2026 are those of 7 March and 31 October.
NIGHTS = [dt.date(2026, 2, 14), dt.date(2026, 3, 7), dt.date(2026, 3, 8), dt.date(2026, 5, 1),
          dt.date(2026, 6, 20), dt.date(2026, 10, 31), dt.date(2026, 11, 1), dt.date(2027, 1, 5)]


def _seconds_apart(times: SunTimes, event: str, expected: dt.datetime) -> float:
    found: dt.datetime = getattr(times, event)
    return abs((found - expected).total_seconds())


@pytest.mark.parametrize(("event", "night", "expected"), NREL_SPA)
def test_golden_agrees_with_the_solar_position_algorithm_within_five_seconds(
    event: str, night: dt.date, expected: dt.datetime
) -> None:
    times = sun_times(*GOLDEN, night=night, time_zone="America/Denver")
    assert _seconds_apart(times, event, expected) <= 5


@pytest.mark.parametrize(("event", "night", "expected"), USNO)
def test_golden_rounds_to_the_naval_observatory_minute(
    event: str, night: dt.date, expected: dt.datetime
) -> None:
    times = sun_times(*GOLDEN, night=night, time_zone="America/Denver")
    assert _seconds_apart(times, event, expected) <= 30


@pytest.mark.parametrize(("latitude", "longitude", "zone", "expected"), CIVIL_DUSK)
def test_civil_dusk_agrees_with_the_sun_at_minus_six(
    latitude: float, longitude: float, zone: str, expected: dt.datetime
) -> None:
    times = sun_times(latitude, longitude, night=expected.date(), time_zone=zone)
    assert _seconds_apart(times, "civil_dusk", expected.replace(tzinfo=ZoneInfo(zone))) <= 60


@pytest.fixture(scope="module")
def by_ephemeris() -> Callable[[float, float, dt.date, str], dict[str, dt.datetime]]:
    """Return a reckoner of the four moments from the JPL ephemeris DE421."""
    kernel = load_file(str(resources.files("skyfield_data") / "data" / "de421.bsp"))
    scale = load.timescale(builtin=True)

    def reckon(latitude: float, longitude: float, night: dt.date, zone: str) -> dict[str, dt.datetime]:
        observer = kernel["earth"] + wgs84.latlon(latitude, longitude)
        noon = dt.datetime.combine(night, dt.time(13), ZoneInfo(zone))
        first, last = scale.from_datetime(noon), scale.from_datetime(noon + dt.timedelta(hours=24))
        moments = {}
        for event, find, altitude in (
            ("sunset", almanac.find_settings, -50 / 60), ("civil_dusk", almanac.find_settings, -6.0),
            ("civil_dawn", almanac.find_risings, -6.0), ("sunrise", almanac.find_risings, -50 / 60),
        ):
            found, crossed = find(observer, kernel["sun"], first, last, horizon_degrees=altitude)
            (moments[event],) = [one.utc_datetime() for one, true in zip(found, crossed, strict=True) if true]
        return moments

    return reckon


@pytest.mark.parametrize(("latitude", "longitude", "zone"), SITES)
def test_all_four_moments_agree_with_a_planetary_ephemeris(
    latitude: float, longitude: float, zone: str,
    by_ephemeris: Callable[[float, float, dt.date, str], dict[str, dt.datetime]],
) -> None:
    for night in NIGHTS:
        if latitude > 60 and night.month in (5, 6):  # no civil night there then
            continue
        times = sun_times(latitude, longitude, night=night, time_zone=zone)
        for event, expected in by_ephemeris(latitude, longitude, night, zone).items():
            assert _seconds_apart(times, event, expected) <= 15, (night, event)
