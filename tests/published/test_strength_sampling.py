"""Sampling, acceptance and what a frame is, against published figures and two statistics libraries.

Sources beside each check. "From memory" marks a book that was not at hand.
"""

import datetime as dt
import math

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.proportion import proportion_confint
from statsmodels.stats.weightstats import DescrStatsW

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant, Operation
from routing.limits import limit, rows
from routing.strength.acceptance import Inspecting, floor_chance, inspecting, known_lot_chance
from routing.strength.coverage import COVERED, coverage_factor, same_bees_factor
from routing.strength.hives import seen_of_all
from routing.strength.inspection import inspection
from routing.strength.on_date import strength_on
from routing.strength.passing import pass_chance
from routing.strength.sampling import half_width, hives_to_open
from routing.strength.student import t_quantile

TINY = tiny_operation()
DAY = dt.date(2027, 4, 20)


def own(frames_seen: str, hives: int, **figures: float) -> Operation:
    group = TINY.hive_groups[0].model_copy(update={"frames_seen": frames_seen, "hives": hives, "inspected_on": DAY})
    constants = tuple(Constant(name=name, value=value, source="the check") for name, value in figures.items())
    return TINY.model_copy(update={"hive_groups": (group,), "constants": constants})


def test_cochrans_sample_for_a_mean_in_a_finite_population() -> None:
    # W. G. Cochran, Sampling Techniques, 3rd edition, section 4.6 (from memory): a seed bed of 430 feet, S^2 = 85.6,
    # mean 19, within 10 % at 95 %: n0 = 95, n = 95 / (1 + 95/430) = 78.
    assert hives_to_open(430, math.sqrt(85.6), within=1.9, confidence=0.95) == 78


@pytest.mark.parametrize("opened", [5, 12, 30])
def test_the_interval_of_a_large_group_is_that_of_statsmodels(opened: int) -> None:
    frames = np.random.default_rng(opened).normal(8.0, 1.3, opened)
    low, high = DescrStatsW(frames).tconfint_mean(alpha=0.10)
    width = half_width(float(frames.std(ddof=1)), opened=opened, hives=10**9, quantile=t_quantile(0.95, opened - 1))
    assert width == pytest.approx((high - low) / 2, rel=1e-6)


def test_the_bound_counted_on_is_the_one_sided_bound_of_statsmodels() -> None:
    # 5,000 hives, 12 opened: the finite population takes off 0.12 % of the standard error.
    frames = [7.0, 7.5, 8.0, 8.0, 8.5, 8.5, 9.0, 9.0, 9.5, 10.0, 10.5, 11.0]
    operation = own(", ".join(map(str, frames)), 5000, strength_confidence=0.95)
    low, _ = DescrStatsW(frames).tconfint_mean(alpha=0.05, alternative="larger")
    assert strength_on(operation, operation.hive_groups[0], DAY).counted_frames == pytest.approx(low, abs=0.001)


def test_pennsylvania_opens_a_tenth_and_lets_a_tenth_be_below() -> None:
    # Rutgers (2015), Assessment of honeybee colony size and strength: at least 10 % of colonies are inspected, and
    # 10 % of the lot below the standard is acceptable if 10 % are above.
    asked = inspecting(TINY, TINY.contracts[0], 200)
    assert (asked.opened, asked.weak_allowed) == (20, 2)
    expected = stats.hypergeom.cdf(2, 200, 20, 20)
    assert floor_chance(200, 20, opened=20, weak_allowed=2) == pytest.approx(expected, abs=1e-12)
    lot = [5.0] * 20 + [8.0] * 180
    alone = Inspecting(opened=20, average_frames=0.0, floor_frames=6.0, weak_allowed=2)
    assert known_lot_chance(lot, alone) == pytest.approx(expected, abs=1e-9)


def test_fifty_one_of_340_hives_opened_stand_for_all() -> None:
    # blog.strombotne.com/pollination-contract: 51 of 340 opened, 7 at 12 frames or more: 7/51 x 340 = 46.67 hives,
    # at 200 USD 9,333.33.
    operation = own("8x44, 12x7", 340)
    strong = sum(one >= 12.0 for one in seen_of_all(operation, inspection(operation.hive_groups[0])))
    assert strong == pytest.approx(7 / 51 * 340, abs=1.0)
    assert math.ceil(0.15 * 340) == 51


def test_the_share_passing_in_many_samples_lies_in_the_interval_of_statsmodels() -> None:
    frames = "6x3, 7x6, 8x12, 9x6, 10x3"
    operation = own(frames, 30)
    contract = TINY.contracts[0].model_copy(update={"min_average_frames": 7.8, "min_colony_frames": 6.5})
    told = pass_chance(operation, contract, {"H1": 30}, DAY)
    hives = np.repeat([6, 7, 8, 9, 10], [3, 6, 12, 6, 3])
    rng = np.random.default_rng(9)
    samples = np.array([rng.permutation(hives)[: told.opened] for _ in range(8000)])
    passed = int(((samples.mean(axis=1) >= 7.8) & (samples.min(axis=1) >= 6.5)).sum())
    low, high = proportion_confint(passed, 8000, alpha=0.001, method="wilson")
    assert told.method == "exact"
    assert low <= told.chance <= high


def test_a_frame_two_thirds_covered_holds_2400_bees() -> None:
    # Good Fruit Grower, pollination tips: 8 and 10 frames two thirds covered are 19,200 and 24,000 bees.
    assert [frames * limit("bees_per_frame").value for frames in (8, 10)] == [19_200.0, 24_000.0]


def test_what_a_frame_is_differs_by_source_and_is_converted_without_gain() -> None:
    # Two thirds: PNW 623, COLOSS BEEBOOK 5.4. Full: Nova Scotia, 8 frames at 100 % equivalent.
    assert COVERED == {"two thirds": 2 / 3, "three quarters": 0.75, "full": 1.0}
    assert 12 * coverage_factor("two thirds", "full") == pytest.approx(8.0)
    assert 8 * coverage_factor("full", "two thirds") == 8.0
    assert 8 * same_bees_factor("full", "two thirds") == pytest.approx(12.0)


def test_no_rule_on_strength_is_shown_as_law() -> None:
    # Washington's WAC 16-602-030 was repealed (WSR 01-11-146, effective 2001-06-30).
    told = [one for one in rows().values() if "frames" in one.unit or "strength" in one.name or "opened" in one.name]
    assert told
    assert [one.name for one in told if one.force == "law" or "Washington" in one.source] == []


def test_published_losses_lie_within_the_spread_between_years() -> None:
    # Winters: 22.5 % (JAR 52(2) 2013), 23.7 % (Lee et al. 2015), 31.1 % (preliminary), 37.4 % (2022-23).
    winters = [0.225, 0.237, 0.311, 0.374]
    assert limit("loss_winter_share").value == max(winters)
    assert np.std(winters, ddof=1) == pytest.approx(0.069, abs=0.001)
    assert limit("loss_year_sd_share").value == pytest.approx(np.std(winters), abs=0.001)
