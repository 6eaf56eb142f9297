"""Outlines of blocks are polygons of about the acres given, near their gate."""

import math
from collections.abc import Callable
from typing import Any

import pytest
from shapely import from_wkt

from routing.inputs.cross_check_outlines import polygon_acres

Told = Callable[[dict[str, Any]], list[str]]

# The worked example: 0.003 deg of longitude (239.9 m at 44.2 N) by 0.002 deg of latitude (222.2 m):
# 53,300 m2 / 4,046.86 = 13.2 acres; 12 are given.


def outline(west: float, south: float, wide: float = 0.003, high: float = 0.002) -> str:
    east, north = west + wide, south + high
    return f"POLYGON(({west} {south},{east} {south},{east} {north},{west} {north},{west} {south}))"


def test_the_area_of_a_degree_square_on_the_equator_agrees_with_the_sphere_within_the_flattening() -> None:
    # On a sphere of 6,371.0072 km (equal area): R^2 x (pi/180) x sin(1 deg) = 12,363.7 km2.
    square = from_wkt("POLYGON((0 0,1 0,1 1,0 1,0 0))")
    sphere_m2 = 6371007.2**2 * math.radians(1.0) * math.sin(math.radians(1.0))
    assert polygon_acres(square) == pytest.approx(sphere_m2 / 4046.8564224, rel=0.005)


NO_POLYGON = [
    ("POLYGON((0 0,1 1", "which is not WKT"),
    ("somewhere", "which is not WKT"),
    ("POINT(-90.1 44.2)", "a point"),
    ("LINESTRING(-90.1 44.2,-90.0 44.2)", "a linestring"),
    ("MULTIPOLYGON(((-90.1 44.2,-90.09 44.2,-90.09 44.21,-90.1 44.2)))", "a multipolygon"),
    ("POLYGON EMPTY", "an empty polygon"),
    ("POLYGON((-90.1 44.2,-90.09 44.21,-90.09 44.2,-90.1 44.21,-90.1 44.2))", "crosses or touches itself"),
    ("POLYGON((-90.1 44.2,-90.1 44.2,-90.1 44.2,-90.1 44.2))", "crosses or touches itself"),
    ("POLYGON((-90.1 144.2,-90.09 144.2,-90.09 144.21,-90.1 144.2))", "latitude 144.2 to 144.21"),
]


@pytest.mark.parametrize(("text", "found"), NO_POLYGON)
def test_what_is_no_sound_polygon_is_told(told: Told, text: str, found: str) -> None:
    (sentence,) = told({"blocks": [{"outline": text}]})
    assert sentence.startswith("blocks[0].outline: ")
    assert found in sentence


@pytest.mark.parametrize(("acres", "faults"), [(4.3, 1), (4.5, 0), (39.0, 0), (40.0, 1)])
def test_acres_and_outline_agree_within_a_factor_of_three(told: Told, acres: float, faults: int) -> None:
    # 13.2 / 3 = 4.39; 13.2 x 3 = 39.5
    assert len(told({"blocks": [{"acres": acres}]})) == faults


def test_a_gate_lies_within_five_miles_of_its_block(told: Told) -> None:
    # The gate is at 90.1 W. One degree of longitude is 49.7 miles at 44.2 N: 0.09 deg is 4.5, 0.12 deg 6.0.
    assert told({"blocks": [{"outline": outline(-90.01, 44.2)}]}) == []
    (sentence,) = told({"blocks": [{"outline": outline(-89.98, 44.2)}]})
    assert "blocks[0].outline: an outline 6.0 miles from the nearest gate of 'Lower pears'" in sentence


def test_latitude_written_first_is_told_as_such(told: Told) -> None:
    found = told({"blocks": [{"outline": outline(44.2, -90.0, wide=0.002, high=0.003), "acres": 0.01}]})
    assert any(one.endswith("in WKT longitude comes first") for one in found)


def test_a_block_without_an_outline_is_no_fault(told: Told) -> None:
    assert told({"blocks": [{"outline": None}]}) == []
