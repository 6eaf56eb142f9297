"""Fees and moves of the demo against what pollination cost in the United States: plausible, no more is claimed."""

import pytest

from fixtures.demo import demo_operation
from routing.season.choose import plan_season

# USD a colony, with where it was published. USDA NASS, Cost of Pollination, for its regions and years.
PUBLISHED = {
    "highbush blueberry": (88.2, "NASS, region 1 (Michigan is in it), 2016, told by Bee Culture, Cost of pollination 2016"),
    "squash": (67.8, "NASS 2017, table 1 of a page of Michigan State University Extension (canr.msu.edu)"),
    "cucumber": (67.0, "NASS 2017, the same table"),
    "apple": (59.5, "NASS, region 5, 2023: 9.76 million USD for 164,000 colonies, told by Capital Press 2023-12-21"),
}
ASIDE = 0.25
"""Regions and years differ by about so much: blueberry had 53.7 in region 2 in the year of 88.2 in region 1."""


@pytest.mark.parametrize("crop", list(PUBLISHED))
def test_the_demos_fees_are_near_published_ones(crop: str) -> None:
    usd, source = PUBLISHED[crop]
    fees = [one.fee_usd_per_colony for one in demo_operation().contracts if one.crop == crop]
    assert fees, crop
    assert all(abs(fee - usd) <= ASIDE * usd for fee in fees), source


def test_a_seasons_moves_cost_a_part_of_its_fees_and_no_more() -> None:
    # A sideline beekeeper who rents at the published fees lives by it: moves take less than half of the fees, and more
    # than a twentieth (common practice, no source).
    lines = {line.name: line.usd for line in plan_season(demo_operation(), seconds=15.0).lines}
    assert 0.05 < -lines["moves"] / lines["fees"] < 0.5
