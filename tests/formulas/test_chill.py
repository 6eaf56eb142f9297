"""Chill: sums that never fall, hours that count nothing, the end of rest."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.formulas.chill import chill_portions, chilling_hours, rest_ends, utah_units

TEMPERATURES = st.lists(st.floats(-40.0, 110.0), min_size=1, max_size=200)


@given(TEMPERATURES)
def test_portions_and_chilling_hours_never_fall_and_keep_their_length(temperatures: list[float]) -> None:
    for sums in (chill_portions(temperatures), chilling_hours(temperatures)):
        assert len(sums) == len(temperatures)
        assert (np.diff(sums, prepend=0.0) >= 0.0).all()


@given(TEMPERATURES)
def test_no_hour_adds_or_takes_more_than_one_utah_unit(temperatures: list[float]) -> None:
    assert (np.abs(np.diff(utah_units(temperatures), prepend=0.0)) <= 1.0).all()


@given(TEMPERATURES, TEMPERATURES)
def test_portions_so_far_do_not_hang_on_what_comes_after(before: list[float], after: list[float]) -> None:
    assert chill_portions([*before, *after])[: len(before)] == pytest.approx(chill_portions(before))


@pytest.mark.parametrize(("temperature_f", "counts"), [(31.9, 0), (32.0, 1), (45.0, 1), (45.1, 0)])
def test_a_chilling_hour_is_from_32_to_45_degrees(temperature_f: float, counts: int) -> None:
    assert chilling_hours([temperature_f])[-1] == counts


def test_heat_in_midwinter_undoes_what_is_not_fixed_yet() -> None:
    # 20 hours at 43 F make no portion; ten more do, unless a hot day comes between.
    cold, hot = [42.8] * 20, [77.0] * 10
    assert chill_portions([*cold, *[42.8] * 15])[-1] > 0.0
    assert chill_portions([*cold, *hot, *[42.8] * 15])[-1] == 0.0


def test_constant_frost_and_constant_heat_bring_no_portion_and_no_error() -> None:
    assert chill_portions([-40.0] * 500)[-1] == pytest.approx(0.0, abs=1e-12)
    assert chill_portions([110.0] * 500)[-1] == pytest.approx(0.0, abs=1e-12)


def test_rest_ends_at_the_first_hour_that_has_enough() -> None:
    # 24.4326 portions in 720 hours at 6 deg C, the first in hour 30, all alike: 24 take (24 - 1) / 24.4326 of the rest.
    portions = chill_portions([42.8] * 720)
    ends = rest_ends(portions, 24.0)
    assert ends is not None
    assert portions[ends - 1] < 24.0 <= portions[ends]
    assert rest_ends(chill_portions([42.8] * 720), 25.0) is None
