"""The bridge formula as a function: what must hold whatever the axles."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.formulas.bridge import axle_set_limits, bridge_table_lb

GAPS = st.lists(st.floats(3.0, 30.0), min_size=1, max_size=7)


def _positions(gaps_ft: list[float]) -> list[float]:
    return [0.0, *itertools.accumulate(gaps_ft)]


@settings(max_examples=80, deadline=None)
@given(GAPS)
def test_every_run_of_axles_is_listed_once_and_none_may_pass_the_gross_limit(gaps_ft: list[float]) -> None:
    positions = _positions(gaps_ft)
    count = len(positions)
    sets = axle_set_limits(positions)
    assert len({(one.first, one.last) for one in sets}) == len(sets) == count * (count - 1) // 2
    assert all(20_000.0 <= one.limit_lb <= 80_000.0 and one.limit_lb % 500.0 == 0.0 for one in sets)


@settings(max_examples=80, deadline=None)
@given(st.floats(0.0, 60.0), st.floats(0.0, 10.0), st.integers(2, 9))
def test_longer_is_never_less_by_the_table(length_ft: float, more_ft: float, axles: int) -> None:
    assert bridge_table_lb(length_ft + more_ft, axles) >= bridge_table_lb(length_ft, axles)


@settings(max_examples=80, deadline=None)
@given(st.floats(8.01, 60.0), st.integers(2, 9))
def test_the_table_is_never_above_the_formula_at_its_full_length(length_ft: float, axles: int) -> None:
    raw = 500.0 * (length_ft * axles / (axles - 1) + 12 * axles + 36)
    assert bridge_table_lb(length_ft, axles) <= raw + 250.0


def test_a_length_added_up_from_inches_keeps_its_foot() -> None:
    almost = 51.0 - 1e-12
    assert bridge_table_lb(almost, 5) == bridge_table_lb(51.0, 5) == 80_000.0
    assert bridge_table_lb(50.9, 5) == 79_000.0  # 500 (50 x 5/4 + 60 + 36) = 79,250, a tie, goes down


def test_axles_within_forty_inches_count_as_one_in_a_longer_group() -> None:
    # Steer, then two axles 36 in apart: two axles over 15 ft, capped at 2 x 20,000.
    sets = {(one.first, one.last): one for one in axle_set_limits([0.0, 12.0, 15.0])}
    assert sets[2, 3].rule == "single axle"
    assert sets[2, 3].limit_lb == 20_000.0
    assert sets[1, 3].limit_lb == 40_000.0


def test_two_tandem_sets_need_both_to_be_tandems() -> None:
    # A spread axle, 10 ft apart, is no tandem: four axles over 38 ft go by the formula, 67,500.
    assert axle_set_limits([0.0, 4.0, 28.0, 38.0])[2].limit_lb == 67_500.0
    assert axle_set_limits([0.0, 4.0, 34.0, 38.0])[2].limit_lb == 68_000.0


def test_a_group_of_one_axle_or_out_of_order_is_refused() -> None:
    with pytest.raises(ValueError, match="two axles or more"):
        bridge_table_lb(20.0, 1)
    with pytest.raises(ValueError, match="0 ft or more"):
        bridge_table_lb(-1.0, 2)
    with pytest.raises(ValueError, match="front to back"):
        axle_set_limits([0.0, 20.0, 16.0])


def test_one_axle_alone_has_no_run() -> None:
    assert axle_set_limits([0.0]) == ()
