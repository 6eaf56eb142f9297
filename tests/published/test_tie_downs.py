"""Tie-downs against the printed table of working load limits and the quoted rules."""

import pytest

from routing.formulas.tiedown import (
    TieDownSet,
    aggregate_wll_lb,
    default_wll,
    least_aggregate_wll_lb,
    least_tie_downs,
    tie_downs_needed,
)
from routing.limits import limit, rows

# J. J. Keller, Default working load limits (49 CFR 393.108): pounds, chain of the sizes below.
CHAIN = {
    "30": (1_300, 1_900, 2_650, 3_700, 4_500, 6_900),
    "43": (2_600, 3_900, 5_400, 7_200, 9_200, 13_000),
    "70": (3_150, 4_700, 6_600, 8_750, 11_300, 15_800),
}
SIZES = ("1/4", "5/16", "3/8", "7/16", "1/2", "5/8")


@pytest.mark.parametrize("grade", sorted(CHAIN))
def test_chain_by_grade_and_size(grade: str) -> None:
    found = [default_wll("chain", f"{size} in grade {grade}") for size in SIZES]
    assert tuple(row.value for row in found if row is not None) == CHAIN[grade]


def test_webbing_by_width() -> None:
    # The same table: 1-3/4 in 1,750; 2 in 2,000; 3 in 3,000; 4 in 4,000.
    found = [default_wll("webbing strap", f"{width} in") for width in ("1-3/4", "2", "3", "4")]
    assert [row.value for row in found if row is not None] == [1_750, 2_000, 3_000, 4_000]


def test_the_whole_table_is_there_and_says_how_sure_it_is() -> None:
    # 28 chain, 4 webbing and 7 wire rope rows were read; 2 of wire rope and 4 x 6 of rope are from memory.
    table = [row for name, row in rows().items() if name.startswith("wll_")]
    assert len([row for row in table if row.status == "read"]) == 28 + 4 + 7
    assert len([row for row in table if row.status == "from memory"]) == 2 + 4 * 6
    assert all("393.108" in row.source and row.force == "law" for row in table)


def test_articles_not_blocked_in_front() -> None:
    # 49 CFR 393.110, FMCSA cargo securement rules: one to 5 ft and 1,100 lb; two when heavier or to 10 ft;
    # beyond, two for the first 10 ft and one more for every 10 ft or part.
    assert least_tie_downs(5.0, 1_100.0, blocked=False) == 1
    assert least_tie_downs(4.0, 1_101.0, blocked=False) == 2
    assert least_tie_downs(7.0, 500.0, blocked=False) == 2
    assert least_tie_downs(20.0, 5_000.0, blocked=False) == 2 + 1


def test_articles_blocked_in_front() -> None:
    # 49 CFR 393.110, the same page: one for every 10 ft or part.
    assert least_tie_downs(20.0, 5_000.0, blocked=True) == 2


def test_thirty_thousand_pounds_ask_for_fifteen_thousand() -> None:
    # 49 CFR 393.106(d), example of an insurance broker's page on the cargo securement rules.
    assert least_aggregate_wll_lb(30_000.0) == 15_000.0


def test_four_straps_of_four_inches_count_full_over_the_load_and_half_on_one_side() -> None:
    # 49 CFR 393.106(d) as quoted by a maker of straps: 4 x 4,000 = 16,000; back to the same side 8,000.
    assert aggregate_wll_lb([TieDownSet(4, 4_000.0, True)]) == 16_000.0
    assert aggregate_wll_lb([TieDownSet(4, 4_000.0, False)]) == 8_000.0


def test_a_deck_of_hives_worked_by_both_rules() -> None:
    # 24,000 lb on 24 ft, 4 in webbing over: by weight 12,000 / 4,000 = 3; by length 2 + 2 = 4, blocked 3.
    assert tie_downs_needed(24.0, 24_000.0, blocked=False, counted_each_lb=4_000.0) == 4
    assert tie_downs_needed(24.0, 24_000.0, blocked=True, counted_each_lb=4_000.0) == 3


def test_forces_that_cargo_must_stand() -> None:
    # 49 CFR 393.102: 0.8 g forward, 0.5 g rearward, 0.5 g to either side.
    names = ("securement_forward_g", "securement_rearward_g", "securement_sideways_g")
    assert [limit(name).value for name in names] == [0.8, 0.5, 0.5]


def test_a_front_end_structure_is_four_feet_high_or_blocks_the_cargo_and_holds_half_of_it() -> None:
    # 49 CFR 393.114(b) and (c): 4 ft; 0.5 of the cargo's weight under 6 ft, 0.4 from 6 ft on (the shares from memory).
    names = ("headboard_height_in", "headboard_high_from_in", "headboard_low_holds_share", "headboard_high_holds_share")
    assert [limit(name).value for name in names] == [48.0, 72.0, 0.5, 0.4]


def test_the_drivers_handbook_adds_half_of_each_end_that_is_hooked_to_the_vehicle() -> None:
    # Driver's Handbook on Cargo Securement, chapter 2, as truckingtruth.com shows it: 50 % of each end section at an anchor
    # point. Four straps over the load have eight such ends, A to H; the handbook's own letters, our 4,000 lb each.
    ends = [0.5 * 4_000.0] * 8
    assert aggregate_wll_lb([TieDownSet(4, 4_000.0, True)]) == sum(ends)
    # From the vehicle to the cargo only one end is at an anchor: the law as amended counts that half and no more.
    assert aggregate_wll_lb([TieDownSet(4, 4_000.0, False)]) == sum(ends[:4])
