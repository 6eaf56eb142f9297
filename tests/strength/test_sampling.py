"""How many hives to open: against scipy's t, Cochran's worked example, brute force and simulation."""

import itertools
import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.sampling import group_sample, half_width, hives_to_open, yard_sample

TINY = tiny_operation()


def only(*groups: HiveGroup) -> Operation:
    return TINY.model_copy(update={"hive_groups": groups})


def group(name: str = "H1", **changed: Any) -> HiveGroup:
    return TINY.hive_groups[0].model_copy(update={"name": name, "hives": 60} | changed)


def test_cochrans_seed_bed_is_reproduced() -> None:
    # Cochran, Sampling Techniques, 3rd edition, section 4.6 (from memory): N = 430, S^2 = 85.6, within 10 % of
    # the mean of 19 at 95 %: n0 = 4 x 85.6 / 1.9^2 = 95, n = 95 / (1 + 95/430) = 78.
    assert hives_to_open(430, math.sqrt(85.6), within=1.9, confidence=0.95) == 78


@pytest.mark.parametrize("hives", [6, 24, 60, 400])
@pytest.mark.parametrize("spread", [0.4, 1.0, 2.5])
def test_the_fewest_hives_bear_the_interval_and_one_fewer_does_not(hives: int, spread: float) -> None:
    found = hives_to_open(hives, spread, within=0.5, confidence=0.90)

    def width(opened: int) -> float:
        return float(stats.t.ppf(0.95, opened - 1)) * spread * math.sqrt((1 - opened / hives) / opened)

    assert found == hives or width(found) <= 0.5
    assert found == 2 or width(found - 1) > 0.5


def test_after_a_pilot_the_quantile_stays_that_of_the_pilot() -> None:
    # Stein: t(0.95, 4) = 2.1318; (2.1318 x 1 / 0.5)^2 = 18.2, with 200 hives 18.2 / (1 + 18.2/200) = 16.7.
    assert hives_to_open(200, 1.0, within=0.5, confidence=0.90, pilot=5) == 17
    assert hives_to_open(200, 1.0, within=0.5, confidence=0.90) == 13


def test_alike_hives_need_no_more_than_two_and_a_small_group_is_opened_whole() -> None:
    assert hives_to_open(50, 0.0, within=0.5, confidence=0.90) == 2
    assert hives_to_open(3, 5.0, within=0.5, confidence=0.90) == 3
    assert hives_to_open(1, 5.0, within=0.5, confidence=0.90) == 1


@pytest.mark.parametrize(("hives", "within", "confidence"), [(0, 0.5, 0.9), (9, 0.0, 0.9), (9, 0.5, 1.0)])
def test_what_cannot_be_sampled_is_refused(hives: int, within: float, confidence: float) -> None:
    with pytest.raises(ValueError, match="not to be sampled"):
        hives_to_open(hives, 1.0, within=within, confidence=confidence)


def test_nine_in_ten_samples_of_that_size_are_within_half_a_frame() -> None:
    rng = np.random.default_rng(5)
    inside = 0
    for _ in range(3000):
        lot = rng.normal(8.0, 1.2, 60)
        pilot = rng.permutation(lot)
        spread = float(pilot[:8].std(ddof=1))
        opened = hives_to_open(60, spread, within=0.5, confidence=0.90, pilot=8)
        inside += abs(pilot[:opened].mean() - lot.mean()) <= 0.5
    # Standard error 0.55 points; Stein's interval is a little wider than need be for a whole number of hives.
    assert 0.89 <= inside / 3000 <= 0.95


def test_before_any_inspection_the_spread_is_assumed_and_said_to_be() -> None:
    found = group_sample(TINY, group(frames_seen=None, hives=40))
    assert found.to_open == hives_to_open(40, 2.5, within=0.5, confidence=0.90)
    assert found.known_within_frames is None
    assert "taken as 2.5 frames" in found.basis


def test_how_near_the_average_is_known_today_is_told() -> None:
    found = group_sample(TINY, group(frames_seen="7x2, 8x2, 9x2", hives=30))
    spread = np.std([7, 7, 8, 8, 9, 9], ddof=1)
    expected = stats.t.ppf(0.95, 5) * spread * math.sqrt((1 - 6 / 30) / 6)
    assert found.known_within_frames == pytest.approx(expected)
    assert found.more == found.to_open - 6 > 0


def test_a_group_all_opened_needs_no_more() -> None:
    found = group_sample(TINY, group(hives=6, frames_seen="4, 5, 6, 8, 9, 10"))
    assert (found.to_open, found.more, found.known_within_frames) == (6, 0, 0.0)


@pytest.mark.parametrize(("first", "second"), [("8, 9", "5, 9"), ("6, 9", "7, 9"), ("8, 8.5", "8, 11"), ("7, 9", "7, 9")])
def test_a_yards_hives_are_shared_out_within_a_hive_of_the_best_of_all_ways(first: str, second: str) -> None:
    groups = (group("A", frames_seen=first, hives=12), group("B", frames_seen=second, hives=8))
    found = yard_sample(only(*groups), "Home yard")
    spreads = [np.std([float(one) for one in seen.split(",")], ddof=1) for seen in (first, second)]
    ways = []
    for opened in itertools.product(range(2, 13), range(2, 9)):
        parts = [(n / 20 * s) ** 2 * (1 / k - 1 / n) for n, s, k in zip((12, 8), spreads, opened, strict=True)]
        loose = sum(part**2 / (k - 1) for part, k in zip(parts, opened, strict=True))
        freedom = math.floor(sum(parts) ** 2 / loose + 1e-9) if loose else 1
        ways.append((sum(opened), stats.t.ppf(0.95, freedom) * math.sqrt(sum(parts))))
    fewest = min(number for number, width in ways if width <= 0.5)
    assert fewest <= found.to_open <= fewest + 1


def test_a_yard_needs_fewer_than_its_groups_each_known_as_well() -> None:
    operation = demo_operation()
    unseen = {"frames_seen": None, "frames_mean": None}
    groups = tuple(one.model_copy(update=unseen) for one in operation.hive_groups)
    fresh = operation.model_copy(update={"hive_groups": groups})
    yard = yard_sample(fresh, "Brindle home yard")
    alone = sum(group_sample(fresh, one).to_open for one in fresh.hive_groups if one.yard == "Brindle home yard")
    assert yard.to_open < alone
    assert sum(yard.of_groups.values()) == yard.to_open


def test_a_yard_without_hives_is_told() -> None:
    with pytest.raises(ValueError, match="No hives stand in the yard 'Far yard'"):
        yard_sample(TINY, "Far yard")


def test_half_width_is_nothing_once_all_are_opened() -> None:
    assert half_width(2.0, opened=9, hives=9, quantile=2.0) == 0.0
