"""Places on the right side of the world, drops near their gate, distances that can be driven."""

from collections.abc import Callable
from typing import Any

import pytest

Told = Callable[[dict[str, Any]], list[str]]

# The worked example: Home yard at 44.1 N 90.2 W, the gate at 44.2 N 90.1 W.


def far_yard(latitude: float, longitude: float) -> dict[str, Any]:
    yard = {"name": "Far yard", "latitude_deg": latitude, "longitude_deg": longitude}
    return {"yards": [{}, yard]}


SLIPS = [
    (-90.0, 44.1, "latitude and longitude look swapped"),
    (44.1, 90.2, "the minus sign of the longitude looks lost"),
    (-44.1, -90.2, "the sign of the latitude looks wrong"),
]


@pytest.mark.parametrize(("latitude", "longitude", "slip"), SLIPS)
def test_a_place_on_the_wrong_side_of_the_world_is_told_with_the_slip_that_explains_it(
    told: Told, latitude: float, longitude: float, slip: str
) -> None:
    (sentence,) = told(far_yard(latitude, longitude))
    assert sentence.startswith(f"yards[1].latitude_deg: latitude {latitude:g}, longitude {longitude:g} | ")
    assert sentence.endswith(f"; {slip}")


@pytest.mark.parametrize(("longitude", "faults"), [(-119.5, 0), (-121.0, 1)])
def test_a_place_more_than_1500_miles_from_the_rest_is_told(
    told: Told, longitude: float, faults: int
) -> None:
    # At 44.1 N a degree of longitude is 49.8 miles along the parallel; the geodesic cuts the corner:
    # 29.3 deg are about 1,443 miles and 30.8 deg about 1,515 (geographiclib).
    assert len(told(far_yard(44.1, longitude))) == faults


def test_no_orchard_lies_beyond_the_polar_circle(told: Told) -> None:
    assert told(far_yard(62.0, -96.0)) == []
    (sentence,) = told(far_yard(66.5, -90.2))
    assert "between -66 and 66" in sentence


def test_a_drop_lies_within_five_miles_of_its_gate(told: Told) -> None:
    # One degree of latitude is about 69 miles: 0.06 deg is 4.1 miles, 0.08 deg is 5.5.
    assert told({"drops": [{"latitude_deg": 44.26}]}) == []
    (sentence,) = told({"drops": [{"latitude_deg": 44.28}]})
    assert sentence.startswith("drops[0].latitude_deg: a drop 5.5 miles from its gate | at most 5 miles")


def test_no_road_is_shorter_than_the_straight_line(told: Told) -> None:
    # Home yard to the gate: 0.1 deg of latitude is 6.9 miles, of longitude 5.0; together 8.5.
    assert told({"distances": [{"miles": 8.6}]}) == []
    (sentence,) = told({"distances": [{"miles": 7.9}]})
    assert sentence == "distances[0].miles: 7.9 | at least the straight line between the two, 8.5 mi"


@pytest.mark.parametrize(("minutes", "faults"), [(12.0, 1), (12.3, 0)])
def test_no_truck_drives_faster_than_ninety_miles_an_hour(told: Told, minutes: float, faults: int) -> None:
    # 18.4 mi / 90 mph x 60 = 12.27 min
    assert len(told({"distances": [{"minutes": minutes}]})) == faults


def test_a_distance_from_a_place_to_itself_is_told(told: Told) -> None:
    assert told({"distances": [{"destination": "Home yard"}]}) == [
        "distances[0].destination: 'Home yard' | another place"
    ]


def test_a_stray_place_is_told_once_and_not_by_its_distances_too(told: Told) -> None:
    found = told({"yards": [{"longitude_deg": 90.2}]})
    assert [one.split(":")[0] for one in found] == ["yards[0].latitude_deg"]
