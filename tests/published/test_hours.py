"""Hours of service against the quoted rules and official guidance."""

import pytest

from routing.formulas.hours import OwnLimits, hours_findings, night_hours
from routing.formulas.hours_legs import Leg, air_miles
from routing.limits import limit

OWN = OwnLimits(driving_h=11.0, duty_h=14.0, source="as the law")


@pytest.mark.parametrize(
    ("name", "hours"),
    [
        # FMCSA safety planner on 49 CFR 395.3: 11 h driving, 14 h window, 10 h off duty, 60 h in 7 days,
        # 70 h in 8 days, restart after 34 h.
        ("hours_driving_h", 11), ("hours_window_h", 14), ("hours_off_duty_h", 10),
        ("hours_week_7_days_h", 60), ("hours_week_8_days_h", 70), ("hours_restart_h", 34),
    ],
)
def test_limits_of_the_safety_planner(name: str, hours: float) -> None:
    row = limit(name)
    assert (row.value, row.force, row.status) == (hours, "law", "read")


def test_a_hundred_and_fifty_air_miles_are_172_6_statute_miles() -> None:
    # FMCSA FAQ, covered farm vehicle: 150 air miles = 172.6 statute miles = 277.8 km.
    assert air_miles(172.6) == pytest.approx(limit("agricultural_air_miles").value, abs=0.1)
    assert limit("agricultural_air_miles").value == 277_800.0 / 1852.0


def test_insects_on_a_trip_of_three_hundred_air_miles_are_exempt_and_the_empty_return_is_in_part() -> None:
    # Kansas Highway Patrol, FAQ 216, and mmta.com: loaded, within 150 air miles of source or destination,
    # exempt; returning empty, subject to hours of service until within 150 air miles of the source.
    loaded = Leg(360.0, 60.0, True, sources_air_mi=((0.0, 300.0),), destinations_air_mi=((300.0, 0.0),))
    empty = Leg(360.0, 0.0, False, sources_air_mi=((300.0, 0.0),))
    assert night_hours([loaded], hired=True, season="open").counted_duty_min == 0.0
    both = night_hours([loaded, empty], hired=True, season="open")
    assert both.counted_driving_min == 360.0 * 150.0 / 300.0


def test_way_out_empty_is_exempt_within_the_radius_of_where_bees_will_be_loaded() -> None:
    # FMCSA guidance on 49 CFR 395.1, question 34 (83 FR 26374).
    way_out = Leg(120.0, 60.0, False, sources_air_mi=((100.0, 0.0),))
    assert night_hours([way_out], hired=False, season="open").counted_duty_min == 0.0


def test_beyond_the_radius_hours_count_until_the_driver_is_back_within_it() -> None:
    # The same guidance, question 35: out 200 air miles and back, 240 min each way, a quarter of it outside.
    # The destination's own radius (2021) is left out here, as in the guidance of 2018.
    legs = [Leg(240.0, 60.0, True, ((0.0, 200.0),)), Leg(240.0, 0.0, False, ((200.0, 0.0),))]
    hours = night_hours(legs, hired=False, season="open")
    assert hours.counted_driving_min == pytest.approx(60.0 + 60.0)
    assert hours.counted_window_min == pytest.approx(60.0 + 60.0 + 60.0)


def test_eight_hours_with_bees_on_board_need_no_break() -> None:
    # FAST Act exemption, Safety+Health Magazine 14461; 85 FR 74909.
    found = {}
    for bees in (True, False):
        hours = night_hours([Leg(540.0, 0.0, bees)], hired=False)
        findings = hours_findings(hours, "x", own=OWN, off_duty_before_h=10.0)
        found[bees] = next(one.status for one in findings if "without a break" in one.check)
    assert found == {True: "ok", False: "broken"}


def test_a_commercial_vehicle_begins_at_10_001_pounds() -> None:
    # 49 CFR 390.5 as quoted by J. J. Keller: rated 10,000 lb it is none, 10,001 lb it is one.
    assert night_hours([Leg(60.0, 0.0, False)], hired=False, rating_lb=10_000.0).counted_duty_min == 0.0
    assert night_hours([Leg(60.0, 0.0, False)], hired=False, rating_lb=10_001.0).counted_duty_min == 60.0
