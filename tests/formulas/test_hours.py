"""Hours of one night: what is counted, against a count of small steps; limits and terms."""

import datetime as dt
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.finding import Finding
from routing.formulas.hours import OwnLimits, Season, hours_findings, night_hours, week_finding
from routing.formulas.hours_legs import Leg, night_legs

WINDOW = "hours from coming on duty to the last driving"
OWN = OwnLimits(driving_h=9.0, duty_h=12.0, source="our own rule")
ENDS = st.tuples(st.integers(0, 400).map(float), st.integers(0, 400).map(float))
LEGS = st.lists(
    st.builds(
        Leg, st.integers(0, 400).map(float), st.integers(0, 120).map(float), st.booleans(),
        st.lists(ENDS, max_size=2).map(tuple), st.lists(ENDS, max_size=1).map(tuple),
    ),
    max_size=6,
)
STEPS = 400


def _inside(leg: Leg, share: float) -> bool:
    circles = [*leg.sources_air_mi, *(leg.destinations_air_mi if leg.bees_on_board else ())]
    return any(start + share * (end - start) <= 150.0 for start, end in circles)


def _by_steps(legs: list[Leg]) -> tuple[float, float]:
    """Return counted driving and duty, adding up small steps of every leg by their middle."""
    driving = stops = 0.0
    for leg in legs:
        outside = sum(not _inside(leg, (step + 0.5) / STEPS) for step in range(STEPS))
        driving += leg.drive_min * outside / STEPS
        stops += 0.0 if _inside(leg, 1.0) else leg.stop_min
    return driving, driving + stops


def _finding(found: tuple[Finding, ...], check: str) -> Finding:
    return next(one for one in found if one.check == check)


@settings(max_examples=60, deadline=None)
@given(LEGS)
def test_counted_minutes_are_those_that_a_count_of_small_steps_finds(legs: list[Leg]) -> None:
    hours = night_hours(legs, hired=False, season="open")
    driving, duty = _by_steps(legs)
    slack = sum(3.0 * leg.drive_min / STEPS for leg in legs) + 1e-6
    assert hours.counted_driving_min == pytest.approx(driving, abs=slack)
    assert hours.counted_duty_min == pytest.approx(duty, abs=slack)


@settings(max_examples=60, deadline=None)
@given(LEGS, st.booleans())
def test_the_law_never_counts_more_than_there_was_and_counts_all_when_the_season_is_not_open(
    legs: list[Leg], hired: bool
) -> None:
    with_it = night_hours(legs, hired=hired, season="open")
    without = night_hours(legs, hired=hired, season="not known")
    assert with_it.driving_min == without.driving_min == sum(leg.drive_min for leg in legs)
    assert with_it.duty_min == sum(leg.drive_min + leg.stop_min for leg in legs)
    assert without.counted_driving_min == pytest.approx(without.driving_min)
    assert without.counted_duty_min == pytest.approx(without.duty_min)
    assert with_it.counted_driving_min <= with_it.driving_min + 1e-9
    assert with_it.counted_driving_min <= with_it.counted_window_min + 1e-9
    assert with_it.counted_window_min <= with_it.duty_min + 1e-9
    assert with_it.longest_without_break_min <= with_it.counted_driving_min + 1e-9


def test_the_window_runs_on_through_exempt_hours_between_counted_ones() -> None:
    # Out of the circle for 100 min, inside for 200, out for 50: 350 min from first to last counted minute.
    out, inside = Leg(100.0, 0.0, False, ((200.0, 200.0),)), Leg(200.0, 0.0, False, ((0.0, 0.0),))
    hours = night_hours([out, inside, Leg(50.0, 20.0, False)], hired=False, season="open")
    assert (hours.counted_driving_min, hours.counted_window_min) == (150.0, 350.0)


def test_the_break_is_due_after_eight_hours_and_half_an_hour_not_driving_is_one() -> None:
    without = night_hours([Leg(300.0, 29.0, False), Leg(181.0, 0.0, False)], hired=False)
    taken = night_hours([Leg(300.0, 30.0, False), Leg(181.0, 0.0, False)], hired=False)
    check = "driving hours without a break, no bees on board"
    broken = _finding(hours_findings(without, "x", own=OWN, off_duty_before_h=10.0), check)
    kept = _finding(hours_findings(taken, "x", own=OWN, off_duty_before_h=10.0), check)
    assert (broken.status, broken.measured) == ("broken", 481 / 60)
    assert (kept.status, kept.measured) == ("ok", 300 / 60)


def test_hours_driven_with_bees_on_board_fall_due_when_they_are_off() -> None:
    legs = [Leg(480.0, 10.0, True), Leg(1.0, 0.0, False)]
    assert night_hours(legs[:1], hired=False).longest_without_break_min == 0.0
    assert night_hours(legs, hired=False).longest_without_break_min == 481.0


@pytest.mark.parametrize(("drive_min", "status"), [(659.0, "ok"), (660.0, "ok"), (661.0, "broken")])
def test_eleven_hours_of_driving_just_under_at_and_over(drive_min: float, status: str) -> None:
    hours = night_hours([Leg(drive_min, 0.0, True)], hired=True)
    found = _finding(hours_findings(hours, "x", own=OWN, off_duty_before_h=10.0), "driving hours")
    assert (found.status, found.limit, found.force) == (status, 11.0, "law")


def test_the_fourteenth_hour_ends_driving_but_not_work() -> None:
    # 60 + 720 + 60 min are 14 h to the last driving, whatever work follows; 60 + 721 + 60 are a minute more.
    late_work = night_hours([Leg(60.0, 720.0, True), Leg(60.0, 300.0, False)], hired=False)
    late_driving = night_hours([Leg(60.0, 721.0, True), Leg(60.0, 0.0, False)], hired=False)
    found = [
        _finding(hours_findings(hours, "x", own=OWN, off_duty_before_h=10.0), WINDOW).status
        for hours in (late_work, late_driving)
    ]
    assert found == ["ok", "broken"]


def test_the_users_own_limits_stand_apart_and_count_exempt_hours_too() -> None:
    hours = night_hours([Leg(600.0, 0.0, True, ((0.0, 100.0),))], hired=False, season="open")
    found = hours_findings(hours, "x", own=OWN, off_duty_before_h=10.0)
    own = _finding(found, "driving hours, own limit")
    assert _finding(found, "driving hours").measured == 0.0
    assert (own.measured, own.limit, own.status) == (10.0, 9.0, "broken")
    assert (own.force, own.source) == ("own figure", OWN.source)


def test_rest_before_the_night_is_unknown_until_it_is_told() -> None:
    hours = night_hours([Leg(60.0, 0.0, True)], hired=False)
    check = "hours off duty before the night"
    told = [
        _finding(hours_findings(hours, "x", own=OWN, off_duty_before_h=rest), check).status
        for rest in (None, 9.9, 10.0)
    ]
    assert told == ["unknown", "broken", "ok"]


def test_sixty_hours_in_seven_nights_and_not_in_eight() -> None:
    first = dt.date(2027, 4, 1)
    nights = {first + dt.timedelta(days=day): 8.5 for day in range(8)}
    assert week_finding(nights, "x").measured == 7 * 8.5
    assert week_finding(nights, "x").status == "ok"
    assert week_finding({**nights, first: 10.0}, "x").status == "broken"  # 10 + 6 x 8.5 = 61
    assert week_finding({}, "x").measured == 0.0


def test_a_hired_carrier_never_gets_the_beekeepers_exemption() -> None:
    legs = [Leg(60.0, 30.0, True, ((0.0, 40.0),))]
    hired = night_hours(legs, hired=True, season="open")
    own = night_hours(legs, hired=False, season="open")
    assert "neither the beekeeper's exemption" in hired.rule
    assert "driver qualification" in own.rule
    assert hired.model_copy(update={"terms": ()}) == own.model_copy(update={"terms": ()})


@pytest.mark.parametrize(
    ("season", "sentence"),
    [("open", "Applied: the"), ("closed", "season is closed"), ("not known", "season was not given")],
)
def test_the_terms_say_whether_the_agricultural_exception_was_applied(season: Season, sentence: str) -> None:
    legs = [Leg(60.0, 30.0, True, ((0.0, 40.0),))]
    hours = night_hours(legs, hired=False, season=season)
    assert sentence in hours.rule
    assert hours.counted_duty_min == (0.0 if season == "open" else 90.0)


def test_a_night_far_from_the_bees_says_that_the_exception_does_not_reach() -> None:
    hours = night_hours([Leg(60.0, 0.0, False)], hired=False, season="open")
    assert "no leg lies within 150 air miles" in hours.rule


def test_a_light_vehicle_is_not_counted_by_part_395() -> None:
    legs = [Leg(60.0, 30.0, True)]
    light = night_hours(legs, hired=False, rating_lb=10_000.0)
    assert (light.counted_duty_min, light.duty_min) == (0.0, 90.0)
    assert "under 10,001 lb" in light.rule
    assert night_hours(legs, hired=False, rating_lb=10_001.0).counted_duty_min == 90.0


def _degrees(spans: tuple[tuple[float, float], ...]) -> list[tuple[int, int]]:
    return [(round(start / 60.0), round(end / 60.0)) for start, end in spans]


def test_legs_of_two_trips_know_their_sources_and_destinations() -> None:
    # Base 44, loads at 45, sets down at 46, loads at 47, sets down at 48, home: 60 air miles a degree.
    latitudes = [44.0, 45.0, 46.0, 47.0, 48.0, 44.0]
    legs = night_legs(
        [(latitude, -90.0) for latitude in latitudes], [False, True, False, True, False],
        drive_min=[60.0] * 5, stop_min=[30.0] * 5,
    )
    assert [_degrees(leg.sources_air_mi) for leg in legs] == [
        [(1, 0)], [(0, 1)], [(1, 2), (1, 0)], [(0, 1)], [(1, 3)]
    ]
    assert [_degrees(leg.destinations_air_mi) for leg in legs] == [[], [(1, 0)], [], [(1, 0)], []]


def test_what_is_loaded_on_the_way_keeps_the_first_source() -> None:
    legs = night_legs(
        [(44.0, -90.0), (45.0, -90.0), (46.0, -90.0), (44.0, -90.0)], [True, True, True],
        drive_min=[60.0] * 3, stop_min=[30.0] * 3,
    )
    assert math.isclose(legs[2].sources_air_mi[0][1], 0.0, abs_tol=1e-9)
    assert math.isclose(legs[0].destinations_air_mi[0][0], 0.0, abs_tol=1e-9)  # the load ends where it began


def test_stops_and_legs_that_do_not_agree_are_refused() -> None:
    with pytest.raises(ValueError, match="2 stops, 2 legs"):
        night_legs([(44.0, -90.0), (45.0, -90.0)], [True, False], drive_min=[1.0, 1.0], stop_min=[1.0, 1.0])
