"""The ground in pieces: all of the acres, along the rows, each with its exact share of the hives."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from routing.drops.demand import PieceOfGround, distances_ft, pieces_of, shares_of
from routing.drops.ground import ground_of
from routing.drops.problem import PARTS
from routing.inputs.operation import Operation

Draw = Callable[..., Operation]
Box = Callable[[float, float, float, float], str]


def pieces(operation: Operation, most: int) -> tuple[PieceOfGround, ...]:
    return pieces_of(ground_of(operation, "Early cherries"), most)


def test_pieces_have_all_the_planted_acres_of_every_block(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 0, 1000, 871.2), "B": box(1100, 0, 1600, 435.6)})
    found = pieces(operation, 100)
    by_block = {name: sum(piece.acres for piece in found if piece.block == name) for name in ("A", "B")}
    # 1000 x 871.2 / 43,560 = 20 acres; 500 x 435.6 / 43,560 = 5.
    assert by_block == {"A": pytest.approx(20.0), "B": pytest.approx(5.0)}
    assert 80 <= len(found) <= 130
    assert max(piece.acres for piece in found) < 0.35


def test_acres_are_those_planted_not_those_outlined(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 0, 1000, 871.2)})
    planted = operation.blocks[0].model_copy(update={"acres": 17.0})
    assert sum(one.acres for one in pieces(operation.model_copy(update={"blocks": (planted,)}), 50)) == pytest.approx(17.0)


@pytest.mark.parametrize("bearing", [0.0, 30.0, 90.0, 200.0])
def test_pieces_lie_along_the_rows(orchard: Draw, box: Box, bearing: float) -> None:
    # Rows 20 ft apart and pieces of some 100 ft: across the rows, middles are whole rows apart.
    operation = orchard(blocks={"A": box(0, 0, 1200, 1200)}, row_bearing_deg=bearing, row_spacing_ft=20.0)
    found = pieces(operation, 144)
    turn = np.radians(bearing)
    whole = max(one.acres for one in found) * 0.999
    across = np.array([one.middle.x * np.cos(turn) - one.middle.y * np.sin(turn) for one in found if one.acres > whole])
    steps = np.diff(np.unique(np.round(across, 1)))
    # 5 rows of 20 ft.
    assert steps.min() == pytest.approx(100.0, abs=0.3)
    assert np.allclose(steps % 100.0 % 99.9, 0.0, atol=0.3)


@given(acres=st.lists(st.floats(0.01, 5.0), min_size=1, max_size=60), hives=st.integers(1, 500))
def test_shares_sum_exactly_and_follow_the_acres(acres: list[float], hives: int) -> None:
    ground = tuple(PieceOfGround("A", Point(0, 0), one, None) for one in acres)
    shares = shares_of(ground, hives)
    assert shares.sum() == hives * PARTS
    assert (shares > 0).all()
    exact = np.array(acres) / sum(acres) * hives * PARTS
    assert np.abs(shares - exact).max() <= len(acres) + 1


def test_one_hive_over_many_small_pieces_leaves_none_without_a_share() -> None:
    # 1,000 parts over 300 pieces, 200 of them too small for one part by their acres.
    ground = tuple(PieceOfGround("A", Point(0, 0), acres, None) for acres in [1.0] * 100 + [0.0001] * 200)
    shares = shares_of(ground, 1)
    assert shares.min() == 1
    assert shares.sum() == PARTS
    assert shares.max() <= 10


def test_distances_are_straight_and_a_foot_across_rows_may_count_more() -> None:
    rows_north = PieceOfGround("A", Point(300, 400), 1.0, 0.0)
    no_rows = PieceOfGround("B", Point(300, 400), 1.0, None)
    rows_east = PieceOfGround("C", Point(300, 400), 1.0, 90.0)
    gate = np.array([[0.0, 0.0]])
    assert distances_ft(gate, (rows_north, no_rows)).tolist() == [[pytest.approx(500.0), pytest.approx(500.0)]]
    # Across rows that run north lie 300 ft, along them 400; for rows that run east the other way about.
    twice = distances_ft(gate, (rows_north, no_rows, rows_east), crossing=2.0)[0]
    assert twice[0] == pytest.approx(np.hypot(600, 400))
    assert twice[1] == pytest.approx(500.0)
    assert twice[2] == pytest.approx(np.hypot(300, 800))
