"""Land about an orchard: shapes of the right kind near their gate; places on land."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

from routing.inputs.land import BUFFER_FIGURES
from routing.inputs.tables import table
from routing.limits import limit
from routing.limits.shore import in_open_water

Told = Callable[[dict[str, Any]], list[str]]

# The worked example's gate is at 44.2 N, 90.1 W, its block some 13 acres to the east of it.

def test_every_kind_but_tracks_shade_and_bloom_has_a_buffer_in_the_rows() -> None:
    kinds = set(table("land_features").column("kind").choices)
    assert kinds - set(BUFFER_FIGURES) == {"track", "shade", "competing bloom"}
    assert {limit(name).unit for name in BUFFER_FIGURES.values()} == {"ft"}


NO_SHAPE = [
    ("track", "LINESTRING(-90.1 44.2", "which is not WKT"),
    ("track", "POINT(-90.1 44.2)", "a point as track"),
    ("track", "LINESTRING(-90.1 44.2,-90.1 44.2)", "a line of no length"),
    ("wet ground", "LINESTRING(-90.1 44.2,-90.09 44.2)", "a linestring as wet ground"),
    ("house", "MULTIPOINT(-90.1 44.2,-90.09 44.2)", "a multipoint"),
    ("water", "POLYGON((-90.1 44.2,-90.09 44.21,-90.09 44.2,-90.1 44.21,-90.1 44.2))", "crosses or touches itself"),
    ("house", "POINT(2103456 512340)", "feet or metres of a grid that is not named"),
    ("house", "POINT EMPTY", "an empty point"),
]


@pytest.mark.parametrize(("kind", "shape", "found"), NO_SHAPE)
def test_what_cannot_be_on_the_land_is_told(told: Told, kind: str, shape: str, found: str) -> None:
    (sentence,) = told({"land_features": [{"kind": kind, "shape": shape}]})
    assert sentence.startswith("land_features[0].shape: ")
    assert found in sentence


@pytest.mark.parametrize(("kind", "faults"), [("house", 1), ("spray neighbour", 0), ("competing bloom", 0)])
def test_what_bees_meet_may_lie_farther_off_than_what_a_truck_drives_round(told: Told, kind: str, faults: int) -> None:
    # 0.12 deg of longitude at 44.2 N is 6.0 miles: over the 5 for a house, under the 15 for a field in bloom.
    shape = "POLYGON((-89.98 44.2,-89.97 44.2,-89.97 44.21,-89.98 44.2))"
    assert len(told({"land_features": [{"kind": kind, "shape": shape}]})) == faults


def test_a_shape_of_an_unknown_contract_and_one_that_stands_twice_are_told(told: Told) -> None:
    (unknown,) = told({"land_features": [{"contract": "Nowhere"}]})
    assert "land_features[0].contract: 'Nowhere'" in unknown
    (twice,) = told({"land_features": [{}, {}]})
    assert twice.startswith("land_features[1].name: ")


def test_an_outline_in_feet_of_an_unnamed_grid_is_told_as_such(told: Told) -> None:
    grid = "POLYGON((2103456 512340,2104456 512340,2104456 513340,2103456 512340))"
    (sentence,) = told({"blocks": [{"outline": grid}]})
    assert "corners such as 2,103,456, 512,340, which are feet or metres of a grid that is not named" in sentence


def square(side_deg: float) -> str:
    west, south = -90.1, 44.2
    east, north = west + side_deg, south + side_deg
    return f"POLYGON(({west} {south},{east} {south},{east} {north},{west} {north},{west} {south}))"


def test_a_block_of_three_square_feet_and_one_of_three_thousand_square_miles_are_told(told: Told) -> None:
    # One degree at 44.2 N: 364,600 ft north, 262,000 ft east. 5.6e-6 deg: 2.04 ft x 1.47 ft = 3.0 square feet.
    (small,) = told({"blocks": [{"outline": square(5.6e-6), "acres": 0.00007}]})
    assert "an outline of 3.0" in small or "an outline of 2.99" in small
    assert "square feet | at least 2,178 square feet" in small
    # 1 deg x 1 deg is 69.05 x 49.7 = some 3,430 square miles; 0.935 deg: 3,000.
    (large,) = told({"blocks": [{"outline": square(0.935), "acres": 12.0}]})
    assert "square miles | at most 31 square miles" in large
    assert 2950 < float(large.split("an outline of ")[1].split()[0].replace(",", "")) < 3050


def test_three_square_feet_without_an_outline_are_told_too(told: Told) -> None:
    (small,) = told({"blocks": [{"outline": None, "acres": 3 / 43560}]})
    assert small == "blocks[0].acres: 3 square feet | at least 2,178 square feet"


def shifted(by_deg: float) -> str:
    west, east = -90.101 + by_deg, -90.098 + by_deg
    return f"POLYGON(({west} 44.2,{east} 44.2,{east} 44.202,{west} 44.202,{west} 44.2))"


def test_blocks_that_lie_over_each_other_are_told_once_and_neighbours_are_not(told: Told) -> None:
    # Half of 0.003 deg lies over the other: 13.2 / 2 = 6.6 acres.
    (sentence,) = told({"blocks": [{}, {"name": "Block 2", "outline": shifted(0.0015)}]})
    assert sentence == "blocks[1].outline: an outline with 6.6 acres of block 'Block 1' in it | ground that no other block has"
    assert told({"blocks": [{}, {"name": "Block 2", "outline": shifted(0.003)}]}) == []
    # 1 % of the width: two outlines drawn along one lane.
    assert told({"blocks": [{}, {"name": "Block 2", "outline": shifted(0.00297)}]}) == []


def test_one_field_under_two_crops_is_no_overlap_and_under_one_crop_it_is(told: Told) -> None:
    dates = {"in_at_percent_bloom": None, "in_from": dt.date(2027, 4, 14), "in_until": dt.date(2027, 4, 16)}
    contracts = [{}, {"name": "Second crop", "crop": "squash", **dates}]
    gates = [{}, {"contract": "Second crop"}]
    blocks = [{}, {"contract": "Second crop"}]
    assert told({"contracts": contracts, "gates": gates, "blocks": blocks}) == []
    contracts[1]["crop"] = "Pear"
    (sentence,) = told({"contracts": contracts, "gates": gates, "blocks": blocks})
    assert "of block 'Block 1' of 'Lower pears' in it" in sentence


def test_a_gate_in_a_great_lake_is_told_in_one_sentence_with_its_blocks(told: Told) -> None:
    # The middle of Lake Michigan.
    rows = {
        "yards": [{"latitude_deg": 43.66, "longitude_deg": -86.3}],
        "gates": [{"latitude_deg": 43.5, "longitude_deg": -87.0}],
        "blocks": [{"outline": None}], "drops": [{"latitude_deg": 43.5, "longitude_deg": -87.0}],
        "land_features": [{"shape": "LINESTRING(-87 43.5,-87.01 43.5)"}], "distances": [{"miles": 50.0, "minutes": 90.0}],
    }  # fmt: skip
    (sentence,) = told(rows)
    assert sentence == "gates[0].latitude_deg: latitude 43.5, longitude -87 | a place on land; this is open water"


WATER = [(43.5, -87.0), (47.5, -88.5), (40.0, -70.0), (36.0, -124.0), (0.0, 0.0), (-40.0, 20.0)]
# Towns on shores, islands and at lakes: none may be refused.
LAND = [(43.23, -86.25), (41.28, -70.08), (24.55, -81.8), (45.65, -85.55), (21.13, -157.0), (47.6, -122.34), (38.7, -27.2),
        (-41.3, 174.8), (44.2, -90.1), (41.9, -87.62), (29.95, -90.07), (66.3, -90.0),
        (65.5, -147.0), (65.6, -150.0)]  # fmt: skip


@pytest.mark.parametrize(("latitude", "longitude"), WATER)
def test_the_open_sea_and_the_middle_of_a_great_lake_are_water(latitude: float, longitude: float) -> None:
    assert in_open_water(latitude, longitude)


@pytest.mark.parametrize(("latitude", "longitude"), LAND)
def test_shores_and_islands_are_land(latitude: float, longitude: float) -> None:
    assert not in_open_water(latitude, longitude)
