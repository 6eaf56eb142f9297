"""Tie-downs: the two rules together, and sizes as people write them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.formulas.tiedown import (
    Kind,
    TieDownSet,
    aggregate_wll_lb,
    default_wll,
    least_aggregate_wll_lb,
    least_tie_downs,
    tie_downs_needed,
)


@pytest.mark.parametrize(
    ("length_ft", "weight_lb", "blocked", "count"),
    [
        (5.0, 1_100.0, False, 1), (5.01, 1_100.0, False, 2), (5.0, 1_100.1, False, 2),
        (10.0, 9_000.0, False, 2), (10.01, 9_000.0, False, 3), (20.0, 9_000.0, False, 3),
        (20.1, 9_000.0, False, 4),
        (5.0, 9_000.0, True, 1), (10.0, 9_000.0, True, 1), (10.01, 9_000.0, True, 2), (20.0, 0.0, True, 2),
        (0.1, 0.0, True, 1),
    ],
)
def test_count_just_under_at_and_over_each_step(
    length_ft: float, weight_lb: float, blocked: bool, count: int
) -> None:
    assert least_tie_downs(length_ft, weight_lb, blocked=blocked) == count


@settings(max_examples=80, deadline=None)
@given(st.floats(0.1, 60.0), st.floats(0.0, 80_000.0), st.booleans(), st.floats(500.0, 6_000.0))
def test_what_is_needed_meets_both_rules_and_one_fewer_breaks_one(
    length_ft: float, weight_lb: float, blocked: bool, each_lb: float
) -> None:
    needed = tie_downs_needed(length_ft, weight_lb, blocked=blocked, counted_each_lb=each_lb)
    by_length = least_tie_downs(length_ft, weight_lb, blocked=blocked)
    assert needed >= by_length
    assert needed * each_lb >= least_aggregate_wll_lb(weight_lb) * (1 - 1e-12)
    assert needed == by_length or (needed - 1) * each_lb < least_aggregate_wll_lb(weight_lb)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 60.0), st.floats(0.0, 80_000.0))
def test_blocking_never_asks_for_more(length_ft: float, weight_lb: float) -> None:
    blocked = least_tie_downs(length_ft, weight_lb, blocked=True)
    assert 1 <= blocked <= least_tie_downs(length_ft, weight_lb, blocked=False)


def test_twenty_feet_added_up_from_inches_is_not_a_hair_more() -> None:
    assert least_tie_downs(sum([0.1] * 200), 9_000.0, blocked=True) == 2  # sum is 20.000000000000018


@pytest.mark.parametrize(
    ("kind", "size", "wll_lb"),
    [
        ("webbing strap", "4 in", 4_000), ("webbing strap", '4"', 4_000),
        ("webbing strap", "2 in x 27 ft", 2_000), ("webbing strap", "1-3/4 in", 1_750),
        ("webbing strap", "1 3/4", 1_750), ("webbing strap", "3.5 in", 3_000),
        ("webbing strap", "100 mm", 3_000),  # 3.94 in: the 3 in row
        ("chain", "3/8", 2_650), ("chain", "3/8 in grade 70", 6_600), ("chain", "G70 3/8 in x 20 ft", 6_600),
        ("chain", "5/16 gr. 43", 3_900), ("chain", "1/2 g7", 11_300),
        ("chain", "1/2 g700", 11_300), ("chain", "3/8 grade 120", 2_650),
        ("rope", "1/2 in nylon", 525), ("rope", "1/2 in synthetic", 625), ("rope", "1/2 in", 315),
        ("wire rope", "1/2 in", 5_300), ("wire rope", "9/16 in", 5_300),
    ],
)
def test_an_unmarked_tie_down_counts_by_its_size_as_written(kind: Kind, size: str, wll_lb: float) -> None:
    row = default_wll(kind, size)
    assert row is not None
    assert row.value == wll_lb


@pytest.mark.parametrize(
    ("kind", "size"),
    [("webbing strap", "1 in"), ("webbing strap", "wide"), ("webbing strap", ""), ("webbing strap", "5 cm"),
     ("webbing strap", "2 or 4 in"), ("chain", "3/0"), ("rope", "1/4 in nylon")],
)
def test_a_size_that_the_table_lacks_or_nobody_can_read_is_not_known(kind: Kind, size: str) -> None:
    assert default_wll(kind, size) is None


def test_half_counts_back_to_the_same_side() -> None:
    # 4 x 4,000 over + 2 x 2,000 / 2 back to the same side
    sets = [TieDownSet(4, 4_000.0, True), TieDownSet(2, 2_000.0, False)]
    assert aggregate_wll_lb(sets) == 16_000.0 + 2_000.0
    assert aggregate_wll_lb([]) == 0.0


def test_nothing_to_hold_or_nothing_to_hold_with_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 0 ft"):
        least_tie_downs(0.0, 100.0, blocked=True)
    with pytest.raises(ValueError, match="holds nothing"):
        tie_downs_needed(10.0, 100.0, blocked=True, counted_each_lb=0.0)
