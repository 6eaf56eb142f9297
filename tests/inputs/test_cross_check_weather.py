"""Weather, stages, past bloom and own sums across rows: what is refused, and what is none of its business."""

import datetime as dt

import pytest

from fixtures.bloom import ORCHARD, bloom_operation, usual_weather
from fixtures.tiny import tiny_operation
from routing.inputs.cross_check import cross_check
from routing.inputs.cross_check_weather import weather_flaws
from routing.inputs.operation import Constant
from routing.inputs.phenology import BloomSum, StageNote, Weather

TINY = tiny_operation()


def days(*numbers: int, place: str = "", low: float = 20.0, hours: str = "") -> tuple[Weather, ...]:
    first = dt.date(2027, 1, 1)
    return tuple(Weather(place=place, on=first + dt.timedelta(days=n), low_f=low, high_f=40.0, hours_f=hours) for n in numbers)


def flaws(**tables: object) -> list[tuple[str, int, str]]:
    return [(one.table, one.index, one.column) for one in weather_flaws(TINY.model_copy(update=tables))]


@pytest.mark.parametrize(("after", "wrong"), [(4, False), (5, True), (45, True), (46, False)])
def test_three_days_may_be_missing_and_a_gap_of_seven_weeks_parts_two_seasons(after: int, wrong: bool) -> None:
    # After day 0 comes day `after`: after - 1 days are missing; 3 are filled, 45 part two seasons.
    assert flaws(weather=days(0, after)) == ([("weather", 1, "on")] if wrong else [])


def test_a_gap_is_one_place_by_itself() -> None:
    assert flaws(weather=(*days(0, 10, place="Home yard")[:1], *days(10), *days(0))) == [("weather", 1, "on")]
    assert flaws(weather=(*days(0, place="Home yard"), *days(10))) == []


def test_the_user_may_allow_a_longer_gap() -> None:
    own = Constant(name="most_days_filled", value=9.0, source="the test")
    assert flaws(weather=days(0, 10), constants=(own,)) == []


@pytest.mark.parametrize(("low", "wrong"), [(40.0, False), (40.1, True)])
def test_a_low_may_be_its_high_and_no_more(low: float, wrong: bool) -> None:
    assert flaws(weather=days(0, low=low)) == ([("weather", 0, "low_f")] if wrong else [])


@pytest.mark.parametrize("hours", ["30 " * 23, "30 " * 25, "30 " * 23 + "131", "30 " * 23 + "nan", "thirty", "30,5 " * 24])
def test_hours_that_are_no_24_temperatures_are_refused(hours: str) -> None:
    assert flaws(weather=days(0, hours=hours)) == [("weather", 0, "hours_f")]


def test_24_hours_are_fine() -> None:
    assert flaws(weather=days(0, hours="-60 130 " * 12)) == []


def test_usual_days_by_month_are_fine_and_a_month_left_out_is_not() -> None:
    assert flaws(weather=usual_weather()) == []
    assert flaws(weather=tuple(row for row in usual_weather() if row.on.month != 3)) == [("weather", 2, "on")]
    assert flaws(weather=tuple(row for row in usual_weather() if row.on.month != 12)) == [("weather", 0, "on")]


def test_stages_are_known_by_their_crop_whatever_their_capitals() -> None:
    def noted(stage: str) -> list[tuple[str, int, str]]:
        return flaws(stage_notes=(StageNote(contract=ORCHARD, stage=stage, on=dt.date(2027, 4, 20)),))

    assert noted("Full  Bloom") == []
    assert noted("half-inch green") == [("stage_notes", 0, "stage")]  # a stage of apples, not of cherries


@pytest.mark.parametrize(("second", "wrong"), [(28, False), (27, True)])
def test_a_later_stage_may_be_seen_on_the_same_day_and_not_before(second: int, wrong: bool) -> None:
    notes = [(1, "full bloom", 28), (2, "petal fall", second)]
    rows = tuple(StageNote(contract=ORCHARD, stage=stage, on=dt.date(2027, 4, day)) for _, stage, day in notes)
    assert flaws(stage_notes=rows) == ([("stage_notes", 1, "on")] if wrong else [])


SEASON_EDGES = [("2026-04-20", True), ("2026-04-21", False), ("2027-06-15", False), ("2027-06-16", True)]


@pytest.mark.parametrize(("on", "wrong"), SEASON_EDGES)
def test_a_stage_seen_lies_within_a_year_of_the_season(on: str, wrong: bool) -> None:
    # First night 2027-04-20, last night 2027-06-15.
    rows = (StageNote(contract=ORCHARD, stage="green tip", on=dt.date.fromisoformat(on)),)
    assert flaws(stage_notes=rows) == ([("stage_notes", 0, "on")] if wrong else [])


def test_own_sums_of_one_crop_share_their_chill_and_ask_more_heat_for_more_bloom() -> None:
    def sums(*rows: tuple[float, float, float]) -> list[tuple[str, int, str]]:
        return flaws(bloom_sums=tuple(
            BloomSum(crop="pear", percent_bloom=percent, chill_portions=chill, heat_sum=heat, source="ours")
            for percent, chill, heat in rows
        ))  # fmt: skip

    assert sums((10.0, 40.0, 6200.0), (50.0, 40.0, 6700.0)) == []
    assert sums((10.0, 40.0, 6200.0), (50.0, 44.0, 6700.0)) == [("bloom_sums", 1, "chill_portions")]
    assert sums((10.0, 40.0, 6200.0), (50.0, 40.0, 6200.0)) == [("bloom_sums", 1, "heat_sum")]


def test_a_percent_bloom_needs_no_rows_of_bloom_where_weather_or_earlier_years_tell_of_it() -> None:
    operation = bloom_operation(years=3)
    assert cross_check(operation) == ()
    bare = operation.model_copy(update={"weather": (), "past_blooms": ()})
    assert [one.column for one in cross_check(bare)] == ["in_at_percent_bloom"]
