"""Mixed decks: the densest row of one size, and a bound on every mix."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.loads.capacity import slots
from routing.loads.mixed import Row, Sized, densest_row, most_worth

SIDE_IN = st.integers(28, 60).map(float)


def test_the_densest_row_turns_a_pallet_so_that_it_takes_least_of_the_length() -> None:
    # Two across either way on 96 in: 37 in of length for two, not 45.
    assert densest_row(96.0, length_in=45.0, width_in=37.0) == Row(37.0, 2)
    # Four across take 14 in (3.5 in each), six across 22 in (3.67 in each).
    assert densest_row(88.0, length_in=22.0, width_in=14.0) == Row(14.0, 4)


def test_a_pallet_wider_than_the_deck_either_way_makes_no_row() -> None:
    assert densest_row(30.0, length_in=45.0, width_in=37.0) is None


def test_a_mix_may_be_worth_more_than_either_size_alone() -> None:
    sizes = (Sized(45.0, 37.0, 1 / 12), Sized(44.0, 42.0, 1 / 10))
    # 246 in: six rows of 37 (1.0), five of 42 (1.0), or two of 37 and four of 42: 242 in, 4/12 + 8/10.
    assert most_worth(246.0, 96.0, sizes[:1]) == pytest.approx(1.0)
    assert most_worth(246.0, 96.0, sizes[1:]) == pytest.approx(1.0)
    assert most_worth(246.0, 96.0, sizes) == pytest.approx(4 / 12 + 8 / 10)


@given(SIDE_IN, SIDE_IN, st.integers(60, 300).map(float), st.integers(60, 110).map(float))
def test_the_bound_is_never_under_what_alike_units_fill(
    length_in: float, width_in: float, deck_in: float, across_in: float
) -> None:
    places = slots(deck_in, across_in, length_in=length_in, width_in=width_in)
    assert most_worth(deck_in, across_in, (Sized(length_in, width_in, 1.0),)) >= len(places)


@given(st.tuples(SIDE_IN, SIDE_IN), st.tuples(SIDE_IN, SIDE_IN), st.integers(90, 300).map(float))
def test_the_bound_is_never_under_any_stretches_of_densest_rows(
    first: tuple[float, float], second: tuple[float, float], deck_in: float
) -> None:
    rows = [densest_row(96.0, length_in=size[0], width_in=size[1]) for size in (first, second)]
    bound = most_worth(deck_in, 96.0, (Sized(*first, 3.0), Sized(*second, 2.0)))
    for many in product(range(11), repeat=2):
        used = [(row.length_in * n, row.units * n) for row, n in zip(rows, many, strict=True) if row]
        if sum(length for length, _ in used) <= deck_in:
            assert bound >= 3.0 * used[0][1] + 2.0 * used[1][1] - 1e-9
