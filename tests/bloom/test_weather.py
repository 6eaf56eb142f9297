"""The hours of a season: seen, filled, usual; refused where too much is missing."""

import datetime as dt

import numpy as np
import pytest

from fixtures.bloom import ORCHARD, seen_weather, usual_weather
from fixtures.tiny import tiny_operation
from routing.bloom.weather import NoWeatherError, season_hours, season_start, usual_days, usual_season, warmer
from routing.inputs.operation import Constant, Operation
from routing.inputs.phenology import Weather
from routing.inputs.places import places

TINY = tiny_operation()
PLACE = places(TINY)[ORCHARD]
START = dt.date(2026, 10, 1)
SEEN = seen_weather(START, dt.date(2027, 1, 31), seed=1)
USUAL = usual_weather()


def with_weather(*rows: Weather) -> Operation:
    return TINY.model_copy(update={"weather": rows})


def without(first: dt.date, days: int) -> tuple[Weather, ...]:
    gone = {first + dt.timedelta(days=number) for number in range(days)}
    return tuple(row for row in SEEN if row.on not in gone)


def test_a_season_is_seen_days_then_usual_ones_each_of_24_hours() -> None:
    season = season_hours(with_weather(*SEEN, *USUAL), PLACE, START)
    assert season.hours_f.shape == (365, 24)
    assert (season.seen_days, season.as_of, season.filled) == (123, dt.date(2027, 1, 31), ())
    # The high of a day is met between two full hours: within half a degree.
    for index in (0, 60, 122):
        assert season.hours_f[index].max() == pytest.approx(SEEN[index].high_f, abs=0.5)


def test_without_usual_days_the_season_ends_with_what_was_seen() -> None:
    assert season_hours(with_weather(*SEEN), PLACE, START).hours_f.shape == (123, 24)


def test_three_days_missing_lie_on_a_straight_line_and_it_is_told() -> None:
    season = season_hours(with_weather(*without(dt.date(2026, 12, 10), 3), *USUAL), PLACE, START)
    assert season.filled == ("3 days from 2026-12-10 on a straight line",)
    before, after = SEEN[69].high_f, SEEN[73].high_f
    # December 11 is the middle of the four steps from the 9th to the 13th.
    assert season.hours_f[71].max() == pytest.approx((before + after) / 2.0, abs=0.5)


def test_four_days_missing_are_refused_and_the_user_may_allow_more() -> None:
    rows = (*without(dt.date(2026, 12, 10), 4), *USUAL)
    with pytest.raises(NoWeatherError, match=r"no temperature from 2026-12-10 to 2026-12-13 \(4 days; at most 3 are filled\)"):
        season_hours(with_weather(*rows), PLACE, START)
    own = Constant(name="most_days_filled", value=4.0, source="the test")
    operation = with_weather(*rows).model_copy(update={"constants": (own,)})
    assert season_hours(operation, PLACE, START).filled == ("4 days from 2026-12-10 on a straight line",)


def test_days_before_the_first_one_seen_are_usual_and_it_is_told() -> None:
    late = tuple(row for row in SEEN if row.on >= dt.date(2026, 12, 1))
    assert season_hours(with_weather(*late, *USUAL), PLACE, START).filled == (
        "usual temperatures before 2026-12-01, since nothing was seen",
    )
    with pytest.raises(NoWeatherError, match="nothing was seen from 2026-10-01 to 2026-11-30"):
        season_hours(with_weather(*late), PLACE, START)


def test_no_weather_at_all_is_told() -> None:
    with pytest.raises(NoWeatherError, match="neither weather seen in this season nor usual temperatures"):
        season_hours(with_weather(), PLACE, START)


def test_hours_that_were_measured_are_taken_as_they_are() -> None:
    hours = [30.0 + number / 2 for number in range(24)]
    row = Weather(on=START, low_f=30.0, high_f=41.5, hours_f=" ".join(f"{one:g}" for one in hours))
    assert season_hours(with_weather(row), PLACE, START).hours_f[0].tolist() == hours


def test_rows_of_the_orchard_count_before_rows_for_everywhere() -> None:
    own = Weather(place=ORCHARD, on=START, low_f=10.0, high_f=20.0)
    assert season_hours(with_weather(own, *SEEN), PLACE, START).hours_f.max() == pytest.approx(20.0, abs=0.5)


def test_usual_days_lie_on_straight_lines_between_the_rows_round_the_year() -> None:
    usual = usual_days(with_weather(*USUAL), PLACE, dt.date(2027, 1, 15))
    assert usual is not None
    assert usual[0].tolist() == [18.0, 30.0]  # January 15 as given
    assert usual[31].tolist() == [19.0, 33.0]  # February 15
    # From December 15 (23, 35) to January 15 (18, 30) 31 days: at December 31, 16 of them.
    assert usual[350].tolist() == pytest.approx([23.0 - 5.0 * 16 / 31, 35.0 - 5.0 * 16 / 31])


def test_three_earlier_years_give_usual_days_and_two_do_not() -> None:
    years = [seen_weather(dt.date(year, 10, 1), dt.date(year + 1, 9, 30), seed=year) for year in (2023, 2024, 2025)]
    assert usual_days(with_weather(*years[0], *years[1]), PLACE, START) is None
    usual = usual_days(with_weather(*years[0], *years[1], *years[2]), PLACE, START)
    assert usual is not None
    middle_january = usual[106]
    # The course that they were drawn from has 18 and 30 there; 45 days of spells that last some days: a few degrees.
    assert middle_january.tolist() == pytest.approx([18.0, 30.0], abs=8.0)


def test_days_to_come_are_made_warmer_and_days_seen_are_not() -> None:
    season = season_hours(with_weather(*SEEN, *USUAL), PLACE, START)
    shifted = warmer(season, 5.0)
    assert np.array_equal(shifted.hours_f[:123], season.hours_f[:123])
    assert np.allclose(shifted.hours_f[123:] - season.hours_f[123:], 5.0)


def test_a_season_of_usual_days_has_none_seen() -> None:
    season = usual_season(with_weather(*SEEN, *USUAL), PLACE, START)
    assert season is not None
    assert (season.seen_days, season.hours_f.shape) == (0, (365, 24))
    assert usual_season(with_weather(*SEEN), PLACE, START) is None


@pytest.mark.parametrize(
    ("latitude_deg", "day", "expected"),
    [
        (44.0, dt.date(2027, 5, 1), dt.date(2026, 10, 1)), (44.0, dt.date(2026, 10, 1), dt.date(2026, 10, 1)),
        (44.0, dt.date(2026, 9, 30), dt.date(2025, 10, 1)), (-38.0, dt.date(2027, 9, 20), dt.date(2027, 4, 1)),
        (-38.0, dt.date(2027, 3, 31), dt.date(2026, 4, 1)),
    ],
)  # fmt: skip
def test_chill_is_counted_from_october_and_south_of_the_equator_from_april(
    latitude_deg: float, day: dt.date, expected: dt.date
) -> None:
    assert season_start(TINY, PLACE.model_copy(update={"latitude_deg": latitude_deg}), day) == expected


def test_where_the_sun_does_not_set_the_day_is_twelve_hours_and_eight() -> None:
    north = PLACE.model_copy(update={"latitude_deg": 70.0, "longitude_deg": 25.0, "time_zone": "Europe/Oslo"})
    assert season_hours(with_weather(*USUAL), north, START).hours_f.shape == (365, 24)


def test_an_orchard_without_weather_takes_that_of_the_nearest_place_within_reach_and_says_so() -> None:
    # Home yard lies some 20 miles from the cherries, Far yard some 28.
    rows = tuple(row.model_copy(update={"place": "Home yard"}) for row in SEEN)
    far = tuple(row.model_copy(update={"place": "Far yard", "high_f": row.high_f + 20.0}) for row in SEEN)
    season = season_hours(with_weather(*rows, *far, *USUAL), PLACE, START)
    assert season.filled[0].startswith("weather of Home yard, ")
    assert season.filled[0].endswith(" miles away, since the orchard has none of its own")
    assert season.hours_f[:100].max() == pytest.approx(max(row.high_f for row in SEEN[:100]), abs=1.0)


@pytest.mark.parametrize(("reach", "found"), [(10.0, False), (30.0, True)])
def test_weather_from_too_far_away_is_not_taken(reach: float, found: bool) -> None:
    rows = tuple(row.model_copy(update={"place": "Home yard"}) for row in SEEN)
    own = Constant(name="weather_reach_mi", value=reach, source="the test")
    operation = with_weather(*rows).model_copy(update={"constants": (own,)})
    if found:
        assert season_hours(operation, PLACE, START).seen_days == 123
    else:
        with pytest.raises(NoWeatherError, match="neither weather seen"):
            season_hours(operation, PLACE, START)
