"""Heat: warmer is more below the best temperature, less above it; sums never fall."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.formulas.heat import degree_days_of_mean, degree_days_of_raised, degree_hours_of, growing_degree_hours

PAIRS = st.tuples(st.floats(-40.0, 60.0), st.floats(-40.0, 60.0)).map(sorted)


@given(PAIRS)
def test_a_warmer_hour_never_gives_less_below_the_best_and_never_more_above_it(pair: list[float]) -> None:
    cooler, warmer = (float(one) for one in degree_hours_of(pair))
    if pair[1] <= 25.0:
        assert warmer >= cooler
    if pair[0] >= 25.0:
        assert warmer <= cooler


@given(st.floats(-60.0, 60.0))
def test_an_hour_gives_between_nothing_and_twenty_one(temperature_c: float) -> None:
    assert 0.0 <= degree_hours_of([temperature_c])[0] <= 21.0


@given(st.lists(st.floats(-40.0, 120.0), min_size=1, max_size=100))
def test_growing_degree_hours_never_fall(temperatures_f: list[float]) -> None:
    assert (np.diff(growing_degree_hours(temperatures_f), prepend=0.0) >= 0.0).all()


@given(PAIRS, st.floats(-10.0, 20.0))
def test_raising_to_the_base_first_never_gives_less(pair: list[float], base: float) -> None:
    low, high = pair
    raised, mean = degree_days_of_raised(low, high, base=base), degree_days_of_mean(low, high, base=base)
    assert raised >= mean - 1e-9
    if low >= base:
        assert raised == pytest.approx(mean)


def test_the_curve_is_whole_at_its_three_points() -> None:
    # Just beside 4, 25 and 36 deg C nothing jumps.
    at = degree_hours_of([3.999, 4.001, 24.999, 25.001, 35.999, 36.001])
    assert at.tolist() == pytest.approx([0.0, 0.0, 21.0, 21.0, 0.0, 0.0], abs=0.01)
