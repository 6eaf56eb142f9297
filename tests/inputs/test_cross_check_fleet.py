"""Trucks, axle groups and pallets fit each other."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

Told = Callable[[dict[str, Any]], list[str]]

# The worked example: a straight truck, axle groups at 0 and 190 in, empty 6,200 + 7,400 = 13,600 lb.


def test_a_truck_has_at_least_two_axle_groups(told: Told) -> None:
    second = {"name": "New red"}
    assert told({"trucks": [{}, second]}) == [
        "trucks[1].name: 'New red' with no axle groups | at least two rows in axle groups"
    ]
    found = told({"trucks": [{}, second], "axle_groups": [{}, {}, {"truck": "New red"}]})
    assert found == ["trucks[1].name: 'New red' with 1 axle group | at least two rows in axle groups"]


def test_axle_groups_stand_at_places_without_a_gap(told: Told) -> None:
    (sentence,) = told({"axle_groups": [{}, {"position": 3}]})
    assert sentence.startswith("trucks[0].name: 'Old blue' with axle groups at 1, 3 | ")


GROUPS = [
    ([{"centre_in": 5.0}, {}], "axle_groups[0].centre_in: 5 | 0 for the steer axle"),
    ([{}, {"centre_in": 0.0}], "axle_groups[1].centre_in: 0 | 24 or more, as the group ahead of it is at 0"),
    ([{"rating_lb": 6000.0}, {}], "axle_groups[0].rating_lb: 6000 | at least"),
    ([{"spread_in": 50.0}, {}], "axle_groups[0].spread_in: 50 | 0 for a single axle"),
    ([{}, {"axles": 2}], "axle_groups[1].spread_in: 0 | more than 0"),
    ([{"unit": "trailer"}, {"unit": "trailer"}], "axle_groups[0].unit: 'trailer' | 'truck'"),
]


@pytest.mark.parametrize(("groups", "found"), GROUPS)
def test_an_axle_group_that_cannot_be_is_told(told: Told, groups: list[dict[str, Any]], found: str) -> None:
    sentences = told({"axle_groups": groups, "trucks": [{"coupling_in": 100.0}]})
    assert any(sentence.startswith(found) for sentence in sentences)


def test_a_group_may_weigh_its_rating_when_empty_and_no_more(told: Told) -> None:
    assert told({"axle_groups": [{"rating_lb": 6200.0}]}) == []
    assert len(told({"axle_groups": [{"rating_lb": 6199.0}]})) == 1


@pytest.mark.parametrize(("gross_lb", "faults"), [(13600.0, 1), (13601.0, 0)])
def test_the_empty_truck_weighs_less_than_its_gross_rating(told: Told, gross_lb: float, faults: int) -> None:
    assert len(told({"trucks": [{"gross_rating_lb": gross_lb}]})) == faults


TRAILER_AXLES = [{}, {}, {"position": 3, "unit": "trailer", "centre_in": 200.0, "empty_lb": 3000.0}]


def test_a_trailer_has_a_coupling_and_an_axle_group(told: Told) -> None:
    whole = {"trucks": [{"deck_on": "trailer", "coupling_in": 180.0}], "axle_groups": TRAILER_AXLES}
    assert told(whole) == []
    (no_coupling,) = told(whole | {"trucks": [{"deck_on": "trailer"}]})
    assert no_coupling.startswith("trucks[0].coupling_in: nothing | how far the coupling is behind")
    (no_axle,) = told(whole | {"axle_groups": []})
    assert no_axle.startswith("trucks[0].deck_on: a deck on the trailer without an axle group under the trailer")


def test_centres_of_truck_and_trailer_are_counted_from_their_own_zero(told: Told) -> None:
    groups = [{}, {}, TRAILER_AXLES[2] | {"centre_in": 100.0}]
    assert told({"trucks": [{"coupling_in": 180.0}], "axle_groups": groups}) == []


@pytest.mark.parametrize(("centre_in", "faults"), [(23.9, 1), (24.0, 0)])
def test_wheels_stand_two_feet_behind_the_group_or_the_coupling_ahead_of_them(
    told: Told, centre_in: float, faults: int
) -> None:
    # A trailer's first group right under its coupling would leave nothing to divide its load by.
    trailer = [{}, {}, TRAILER_AXLES[2] | {"centre_in": centre_in}]
    assert len(told({"trucks": [{"coupling_in": 180.0}], "axle_groups": trailer})) == faults
    assert len(told({"axle_groups": [{}, {"centre_in": centre_in}]})) == faults


def test_groups_of_the_truck_come_before_those_of_the_trailer(told: Told) -> None:
    groups = [{}, {"position": 3, "centre_in": 250.0}, TRAILER_AXLES[2] | {"position": 2}]
    (sentence,) = told({"trucks": [{"coupling_in": 180.0}], "axle_groups": groups})
    assert sentence.startswith("axle_groups[1].unit: 'truck' | 'trailer'")


@pytest.mark.parametrize(("length_in", "faults"), [(96.0, 0), (97.0, 0), (240.0, 0), (241.0, 1)])
def test_a_pallet_fits_on_one_deck_at_least_whichever_way_it_is_turned(
    told: Told, length_in: float, faults: int
) -> None:
    # The deck is 240 by 96 in.
    assert len(told({"pallets": [{"length_in": length_in, "width_in": 37.0}]})) == faults


def test_a_pallet_wider_than_the_deck_both_ways_is_told(told: Told) -> None:
    (sentence,) = told({"pallets": [{"length_in": 97.0, "width_in": 97.0}]})
    assert sentence.startswith("pallets[0].length_in: 97 by 97 in | a pallet that fits")


def test_the_last_night_available_is_not_before_the_first(told: Told) -> None:
    dates = {"available_from": dt.date(2027, 5, 2), "available_until": dt.date(2027, 5, 1)}
    (sentence,) = told({"trucks": [dates]})
    assert sentence.startswith(
        "trucks[0].available_until: 2027-05-01 | 2027-05-02, its first night, or later"
    )
