"""The average of a lot of several groups: its bound against formulas written out, and how often it holds."""

import datetime as dt
import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.strength.lot import lot_strength
from routing.strength.on_date import strength_on

TINY = tiny_operation()
DAY = dt.date(2027, 4, 20)


def group(name: str, hives: int, frames_seen: str | None, **changed: Any) -> HiveGroup:
    told = {"name": name, "hives": hives, "inspected_on": DAY, "frames_seen": frames_seen}
    return TINY.hive_groups[0].model_copy(update=told | changed)


def own(*groups: HiveGroup, **figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants, "hive_groups": groups})


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_a_whole_group_counts_for_what_it_counts_for_alone(share: float) -> None:
    operation = demo_operation()
    figure = Constant(name="growth_counted_share", value=share, source="the test")
    operation = operation.model_copy(update={"constants": (*operation.constants, figure)})
    day = dt.date(2027, 4, 28)
    for one in operation.hive_groups:
        alone = strength_on(operation, one, day)
        found = lot_strength(operation, {one.name: one.hives}, day)
        assert found.counted_frames == pytest.approx(alone.counted_frames, abs=1e-4)
        assert found.mean_frames == pytest.approx(alone.mean_frames)


def test_two_groups_are_weighted_by_their_hives_and_their_variances_add() -> None:
    first, second = [7, 8, 8, 9, 9, 10], [10, 10, 11, 12, 12]
    operation = own(group("A", 30, "7, 8x2, 9x2, 10"), group("B", 10, "10x2, 11, 12x2"))
    found = lot_strength(operation, {"A": 12, "B": 6}, DAY)
    samples = ((2 / 3, np.array(first), 12, 30), (1 / 3, np.array(second), 6, 10))
    parts = [w * w * x.var(ddof=1) * (1 / len(x) - 1 / n + 1 / h - 1 / n) for w, x, h, n in samples]
    freedom = math.floor(sum(parts) ** 2 / (parts[0] ** 2 / 5 + parts[1] ** 2 / 4))
    mean = sum(w * x.mean() for w, x, _, _ in samples)
    assert found.mean_frames == pytest.approx(mean)
    assert found.mean_sd_frames == pytest.approx(math.sqrt(sum(parts)), rel=1e-6)
    assert found.counted_frames == pytest.approx(mean - stats.t.ppf(0.80, freedom) * math.sqrt(sum(parts)), rel=1e-6)


def test_a_part_of_a_group_is_less_sure_than_all_of_it() -> None:
    operation = own(group("A", 30, "7, 8x2, 9x2, 10"))
    counted = [lot_strength(operation, {"A": hives}, DAY).counted_frames for hives in (4, 12, 30)]
    assert counted == sorted(counted)


def test_a_late_spring_is_late_for_all_groups() -> None:
    groups = [group(name, 10, "8x10") for name in "AB"]
    operation = own(*groups, growth_counted_share=1.0)
    later = DAY + dt.timedelta(days=7)
    # All opened: only the growth is unsure, half of 0.75, and it does not even out over the groups.
    assert lot_strength(operation, {"A": 10, "B": 10}, later).mean_sd_frames == pytest.approx(0.375, abs=1e-3)


def test_eight_in_ten_lots_are_at_least_as_strong_as_the_bound() -> None:
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(1500):
        truth = {"A": rng.normal(8.0, 1.2, 40), "B": rng.normal(9.5, 0.8, 20)}
        groups = [group(name, len(all_), ", ".join(f"{one:.2f}" for one in all_[:8])) for name, all_ in truth.items()]
        bound = lot_strength(own(*groups), {"A": 20, "B": 10}, DAY).counted_frames
        sent = np.concatenate([rng.permutation(truth["A"])[:20], rng.permutation(truth["B"])[:10]])
        held += sent.mean() >= bound
    # Standard error 1.0 point; degrees of freedom rounded down make the bound a little low.
    assert 0.78 <= held / 1500 <= 0.84


def test_a_group_never_opened_counts_for_nothing() -> None:
    operation = own(group("A", 10, "8x10"), group("B", 10, None))
    assert lot_strength(operation, {"A": 10, "B": 10}, DAY).mean_frames == 4.0


@pytest.mark.parametrize("lot", [{}, {"Z": 1}, {"A": 11}, {"A": 0}])
def test_a_lot_that_cannot_be_is_refused(lot: dict[str, int]) -> None:
    with pytest.raises(ValueError, match="lot"):
        lot_strength(own(group("A", 10, "8x10")), lot, DAY)
