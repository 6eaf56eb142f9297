"""The chance to pass: exact and simulated agree, the prediction interval of t is met, and 90 % means 90 %."""

import datetime as dt
import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.strength.draws import draw_averages, draw_opened, group_model
from routing.strength.passing import pass_chance

TINY = tiny_operation()
DAY = dt.date(2027, 4, 20)
CONTRACT = TINY.contracts[0]


def group(**changed: Any) -> HiveGroup:
    told = {"hives": 40, "inspected_on": DAY, "frames_seen": "8x4, 9x6, 10x2"}
    return TINY.hive_groups[0].model_copy(update=told | changed)


def own(*groups: HiveGroup, **figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants, "hive_groups": groups})


def asks(**changed: Any) -> Any:
    return CONTRACT.model_copy(update={"min_colony_frames": 0.0} | changed)


@pytest.mark.parametrize("opened", [4, 10, 25])
@pytest.mark.parametrize("line", [8.2, 8.9, 9.3])
def test_an_average_alone_passes_as_the_prediction_interval_of_students_t_says(opened: int, line: float) -> None:
    # Hahn and Meeker, Statistical Intervals, chapter 4, with both finite population corrections.
    frames = np.array([8.05] * 4 + [9.0] * 6 + [10.0] * 2)
    operation = own(group(frames_seen="8.05x4, 9x6, 10x2"))
    contract = asks(min_average_frames=line, opened_share=opened / 40, opened_least_hives=1)
    found = pass_chance(operation, contract, {"H1": 40}, DAY)
    scale = frames.std(ddof=1) * math.sqrt(1 / 12 + 1 / opened - 2 / 40)
    expected = stats.t.sf((line - frames.mean()) / scale, 11)
    assert found.method == "simulated"
    assert found.chance == pytest.approx(expected, abs=4 * found.standard_error + 0.004)
    assert found.chance == found.average_chance


def test_every_hive_opened_is_exact_and_the_simulation_comes_near() -> None:
    frames = "6x2, 7x4, 8x8, 9x4, 10x2"
    contract = asks(min_average_frames=7.8, min_colony_frames=6.5, opened_least_hives=6)
    exact = pass_chance(own(group(hives=20, frames_seen=frames)), contract, {"H1": 20}, DAY)
    assert (exact.method, exact.standard_error, exact.opened) == ("exact", 0.0, 6)
    # No weak hive among 6 of 20 with 2 weak ones.
    assert exact.floor_chance == pytest.approx(stats.hypergeom.cdf(0, 20, 2, 6), abs=1e-9)
    rng = np.random.default_rng(1)
    hives = np.repeat([6, 7, 8, 9, 10], [2, 4, 8, 4, 2])
    samples = np.array([rng.choice(hives, 6, replace=False) for _ in range(20_000)])
    drawn = ((samples.mean(axis=1) >= 7.8) & (samples.min(axis=1) >= 6.5)).mean()
    assert exact.chance == pytest.approx(drawn, abs=0.015)


def test_a_lot_of_several_whole_groups_is_exact_and_of_parts_is_simulated() -> None:
    groups = (group(hives=4, frames_seen="8x4"), group(name="L1", hives=4, frames_seen="10x4"))
    contract = asks(min_average_frames=9.0, opened_least_hives=4)
    whole = pass_chance(own(*groups), contract, {"H1": 4, "L1": 4}, DAY)
    # 4 of 8 opened; at least 2 of the strong ones.
    assert whole.chance == pytest.approx(stats.hypergeom.sf(1, 8, 4, 4), abs=1e-9)
    part = pass_chance(own(*groups), contract, {"H1": 2, "L1": 4}, DAY)
    assert part.method == "simulated"
    assert part.chance == pytest.approx(stats.hypergeom.sf(1, 6, 4, 4), abs=0.01)


def test_growth_raises_the_chance_only_when_it_is_counted_on() -> None:
    later = DAY + dt.timedelta(days=14)
    contract = asks(min_average_frames=9.5)
    operations = [own(group(), growth_counted_share=share) for share in (0.0, 0.5, 1.0)]
    chances = [pass_chance(operation, contract, {"H1": 40}, later).chance for operation in operations]
    assert chances == sorted(chances)
    assert chances[2] > chances[0] + 0.4
    assert pass_chance(own(group()), contract, {"H1": 40}, later, growth_share=1.0).chance == chances[2]


def test_a_stricter_floor_or_a_larger_share_opened_of_a_weak_lot_lowers_the_chance() -> None:
    operation = own(group(frames_seen="6x3, 8x6, 10x3"))
    rules = ({}, {"min_colony_frames": 6.5}, {"min_colony_frames": 6.5, "opened_share": 0.5, "weak_allowed_share": 0.0})
    chances = [pass_chance(operation, asks(min_average_frames=7.0, **rule), {"H1": 40}, DAY).chance for rule in rules]
    assert chances[0] > chances[1] > chances[2]


def test_the_same_seed_draws_the_same_lots_and_another_seed_others() -> None:
    contract = asks(min_average_frames=8.8)
    chances = [pass_chance(own(group()), contract, {"H1": 40}, DAY, seed=seed).chance for seed in (3, 3, 4)]
    assert chances[0] == chances[1] != chances[2]


def test_nothing_seen_never_passes() -> None:
    found = pass_chance(own(group(frames_seen=None)), asks(), {"H1": 40}, DAY)
    assert (found.method, found.chance) == ("nothing seen", 0.0)


@pytest.mark.parametrize("lot", [{}, {"H9": 3}, {"H1": 41}, {"H1": 0}])
def test_a_lot_that_cannot_be_is_refused(lot: dict[str, int]) -> None:
    with pytest.raises(ValueError, match="lot"):
        pass_chance(own(group()), asks(), lot, DAY)


def test_frames_of_the_contract_need_more_of_yours() -> None:
    operation = own(group(frame_coverage="two thirds"))
    alike = pass_chance(operation, asks(min_average_frames=8.0, frame_coverage="two thirds"), {"H1": 40}, DAY)
    full = pass_chance(operation, asks(min_average_frames=8.0, frame_coverage="full"), {"H1": 40}, DAY)
    assert alike.chance > 0.95
    assert full.chance < 0.01


def test_hives_drawn_have_the_mean_and_the_variance_that_they_should() -> None:
    operation = own(group(frames_seen="7.03, 8.2, 9.1, 8.7, 6.9, 7.7, 9.4, 8.1", hives=30))
    model = group_model(operation, operation.hive_groups[0], DAY)
    assert model is not None
    drawn = draw_opened({"H1": model}, {"H1": 30}, opened=6, draws=60_000, seed=2)
    frames = np.array([7.03, 8.2, 9.1, 8.7, 6.9, 7.7, 9.4, 8.1])
    # E[s^2 df / chi^2(df)] = s^2 df / (df - 2), here 7/5.
    variance = frames.var(ddof=1) * 7 / 5 * (1 / 8 + 1 / 6 - 2 / 30)
    assert drawn.averages.mean() == pytest.approx(frames.mean(), abs=0.01)
    assert drawn.averages.var() == pytest.approx(variance, rel=0.04)


def test_averages_drawn_for_a_season_are_those_of_the_forecast() -> None:
    later = DAY + dt.timedelta(days=14)
    drawn = draw_averages(own(group()), group(), later, draws=40_000, seed=0, growth_share=1.0)
    # 11 days of April at 0.75, 3 of May at 1.5 frames a week; half of it is its spread.
    grown = (11 * 0.75 + 3 * 1.5) / 7
    frames = np.array([8.0] * 4 + [9.0] * 6 + [10.0] * 2)
    variance = frames.var(ddof=1) * 11 / 9 / 12 * (1 - 12 / 40) + (0.5 * grown) ** 2
    assert drawn.mean() == pytest.approx(frames.mean() + grown, abs=0.02)
    assert drawn.var() == pytest.approx(variance, rel=0.05)
    assert draw_averages(own(), group(frames_seen=None), later, draws=3, seed=0).tolist() == [0.0, 0.0, 0.0]
