"""The estimate: geodesic times circuity, each part of a way at the speed of its band."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.formulas.geodesy import geodesic_miles
from routing.inputs.operation import Constant, Operation
from routing.inputs.places import places
from routing.inputs.yard import Yard
from routing.roads.estimate import BandSpeeds, EstimatedRoads, driving_minutes, estimated_roads

SPEEDS = BandSpeeds(short_mph=30.0, middle_mph=42.0, long_mph=52.0)
MILES = st.floats(0.0, 4000.0)
MPH = st.floats(1.0, 90.0)


def test_the_first_eight_miles_go_at_the_short_speed() -> None:
    assert driving_minutes(6.0, SPEEDS) == pytest.approx(6 / 30 * 60)  # 12 min


def test_only_the_part_beyond_eight_miles_goes_faster() -> None:
    assert driving_minutes(29.0, SPEEDS) == pytest.approx(8 / 30 * 60 + 21 / 42 * 60)  # 16 + 30 min


def test_only_the_part_beyond_forty_miles_goes_at_the_long_speed() -> None:
    assert driving_minutes(92.0, SPEEDS) == pytest.approx((8 / 30 + 32 / 42 + 52 / 52) * 60)


@given(shorter=MILES, more=MILES, speeds=st.builds(BandSpeeds, MPH, MPH, MPH))
def test_a_longer_way_never_takes_less_time(shorter: float, more: float, speeds: BandSpeeds) -> None:
    assert driving_minutes(shorter + more, speeds) >= driving_minutes(shorter, speeds) - 1e-9


@given(end=st.sampled_from([8.0, 40.0]), speeds=st.builds(BandSpeeds, MPH, MPH, MPH))
def test_minutes_do_not_jump_where_a_band_ends(end: float, speeds: BandSpeeds) -> None:
    # A millionth of a mile at 1 mph is 0.00006 minutes.
    assert driving_minutes(end + 1e-6, speeds) - driving_minutes(end, speeds) <= 0.0001


def test_road_miles_are_straight_miles_times_circuity() -> None:
    yards = (_yard("A", 44.0, -90.0), _yard("B", 44.3, -90.4))
    legs = EstimatedRoads(1.25, SPEEDS).legs(tuple(places(_operation(yards)).values()))
    straight = geodesic_miles([(44.0, -90.0), (44.3, -90.4)])[0][1]
    assert legs["A", "B"].miles == pytest.approx(1.25 * straight)
    assert legs["A", "B"] == legs["B", "A"]
    assert "straight line times 1.25" in legs["A", "B"].basis


def test_the_users_own_constants_are_used() -> None:
    own = Constant(name="circuity_factor", value=1.4, source="our odometer")
    assert estimated_roads(_operation((), own)).circuity_factor == 1.4
    assert estimated_roads(_operation(())).circuity_factor == 1.2


@pytest.mark.parametrize("speed", [0.0, -5.0, float("nan")])
def test_a_speed_that_is_not_above_zero_is_refused_by_name(speed: float) -> None:
    with pytest.raises(ValueError, match="speed_middle_mph"):
        BandSpeeds(short_mph=30.0, middle_mph=speed, long_mph=52.0)


def test_a_circuity_below_one_is_refused() -> None:
    with pytest.raises(ValueError, match=r"circuity_factor is 0\.99"):
        EstimatedRoads(0.99, SPEEDS)


def test_a_negative_length_is_refused() -> None:
    with pytest.raises(ValueError, match="-1"):
        driving_minutes(-1.0, SPEEDS)


def _yard(name: str, latitude_deg: float, longitude_deg: float) -> Yard:
    return Yard(
        name=name, latitude_deg=latitude_deg, longitude_deg=longitude_deg, access="semi", capacity_hives=10
    )


def _operation(yards: tuple[Yard, ...], *constants: Constant) -> Operation:
    return Operation.model_validate(
        {
            "name": "Roads",
            "time_zone": "America/Chicago",
            "first_night": dt.date(2027, 4, 1),
            "last_night": dt.date(2027, 4, 30),
            "yards": yards,
            "constants": constants,
        }
    )
