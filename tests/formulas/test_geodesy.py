"""Straight distances: shape, symmetry, the triangle, and wrong points."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.formulas.geodesy import geodesic_miles

POINT = st.tuples(st.floats(-85.0, 85.0), st.floats(-180.0, 180.0))


def test_no_point_and_one_point_have_no_distance() -> None:
    assert geodesic_miles([]) == []
    assert geodesic_miles([(44.0, -90.0)]) == [[0.0]]


def test_a_degree_of_the_equator() -> None:
    # 2 pi x 6,378,137 m / 360 = 111,319.491 m; / 1609.344 = 69.1707 mi
    assert geodesic_miles([(0.0, 10.0), (0.0, 11.0)])[0][1] == pytest.approx(111_319.491 / 1609.344, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.lists(POINT, min_size=3, max_size=3))
def test_the_table_is_symmetric_and_no_detour_is_shorter(points: list[tuple[float, float]]) -> None:
    table = geodesic_miles(points)
    for i in range(3):
        assert table[i][i] == 0.0
        assert all(table[i][j] == table[j][i] for j in range(3))
    assert table[0][2] <= table[0][1] + table[1][2] + 1e-9


@pytest.mark.parametrize("wrong", [(90.5, 0.0), (0.0, 181.0), (float("nan"), 0.0)])
def test_a_point_off_the_globe_is_named(wrong: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="Point 2"):
        geodesic_miles([(44.0, -90.0), wrong])
