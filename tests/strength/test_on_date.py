"""Strength on a day: inspections, the curve since, the room of the boxes, and what a plan counts on."""

import datetime as dt
import math
from typing import Any

import pytest
from scipy import stats

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.inspections import InspectionRow
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.strength.group import group_strength, share_below
from routing.strength.inspection import inspections, latest_inspection
from routing.strength.on_date import share_below_for, share_below_on, strength_for, strength_on

TINY = tiny_operation()
SEEN = dt.date(2027, 4, 1)


def group(**changed: Any) -> HiveGroup:
    told = {"hives": 20, "inspected_on": SEEN, "frames_seen": "8x4, 9x6, 10x2"}
    return TINY.hive_groups[0].model_copy(update=told | changed)


def own(*rows: InspectionRow, **figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants, "inspections": rows})


def row(day: dt.date, frames_seen: str, **changed: Any) -> InspectionRow:
    return InspectionRow(group="H1", inspected_on=day, frames_seen=frames_seen, **changed)


def once_inspected(operation: Operation) -> list[HiveGroup]:
    return [one for one in operation.hive_groups if len(inspections(operation, one)) == 1]


@pytest.mark.parametrize("operation", [TINY, demo_operation()], ids=["tiny", "demo"])
@pytest.mark.parametrize("days", [0, 9, 40])
def test_with_the_defaults_a_plan_in_spring_counts_on_what_it_did_before(operation: Operation, days: int) -> None:
    for one in once_inspected(operation):
        counted = strength_on(operation, one, one.inspected_on + dt.timedelta(days=days)).counted_frames
        assert counted == pytest.approx(group_strength(operation, one).counted_frames, abs=1e-12)


def test_growth_of_april_and_may_is_expected_at_each_months_own_rate() -> None:
    # 29 days of April at 0.75 and 7 days of May at 1.5 frames a week: 29/7 x 0.75 + 1.5 = 4.607.
    found = strength_on(own(), group(frames_seen="6x12"), dt.date(2027, 5, 8))
    assert found.growth_frames == pytest.approx(30 / 7 * 0.75 + 1.5)
    assert found.mean_frames == pytest.approx(6.0 + 30 / 7 * 0.75 + 1.5)
    assert found.counted_growth_frames == 0.0


def test_growth_counted_on_brings_its_own_spread_into_the_bound() -> None:
    operation = own(growth_counted_share=1.0)
    found = strength_on(operation, group(), SEEN + dt.timedelta(days=14))
    mean, spread = 8.0 + 10 / 12, 0.7177405625652734
    grown = 2 * 0.75
    error = math.sqrt(spread**2 / 12 * (1 - 12 / 20) + (0.5 * grown) ** 2)
    assert found.mean_sd_frames == pytest.approx(error)
    assert found.counted_frames == pytest.approx(mean + grown - stats.t.ppf(0.80, 11) * error)


def test_a_decline_is_counted_whole_whatever_the_share_of_growth() -> None:
    autumn = dt.date(2027, 9, 1)
    found = strength_on(own(), group(inspected_on=autumn), autumn + dt.timedelta(days=14))
    assert found.growth_frames == pytest.approx(-2.0)
    assert found.counted_growth_frames == found.growth_frames
    assert found.counted_frames < group_strength(own(), group()).counted_frames - 2.0


def test_boxes_cap_what_a_colony_can_show() -> None:
    # A 10-frame box, and one with 8 frames beside a feeder: 18.
    found = strength_on(own(growth_counted_share=1.0), group(frames_seen="17x20"), SEEN + dt.timedelta(days=28))
    assert (found.mean_frames, found.room_frames) == (18.0, 18.0)
    assert found.counted_frames <= 18.0


def test_an_inspection_after_the_day_is_not_looked_at() -> None:
    operation = own(row(SEEN + dt.timedelta(days=14), "12x12"))
    before = strength_on(operation, group(), SEEN + dt.timedelta(days=7))
    assert before.counted_frames == strength_on(own(), group(), SEEN + dt.timedelta(days=7)).counted_frames
    assert [one.inspected for one in inspections(operation, group())] == [12, 12]
    assert latest_inspection(operation, group(), SEEN).mean_frames == pytest.approx(8.8333, abs=1e-4)


def test_the_last_inspection_is_what_a_plan_without_a_day_counts_on() -> None:
    operation = own(row(SEEN + dt.timedelta(days=14), "12x12"))
    assert group_strength(operation, group()).mean_frames == 12.0


def test_two_inspections_of_all_hives_tell_the_growth_themselves() -> None:
    # 8 frames on April 1, 10 two weeks on: 2 frames where the curve has 1.5, so k = 4/3.
    operation = own(row(SEEN + dt.timedelta(days=14), "10x20"))
    found = strength_on(operation, group(frames_seen="8x20"), SEEN + dt.timedelta(days=28))
    assert found.mean_frames == pytest.approx(12.0, abs=1e-3)
    assert found.mean_sd_frames < 0.01


def test_two_small_samples_move_the_growth_only_as_far_as_they_bear() -> None:
    one_more = row(SEEN + dt.timedelta(days=14), "10x2, 12x2")
    found = strength_on(own(one_more), group(frames_seen="7x2, 9x2"), SEEN + dt.timedelta(days=14))
    alone = strength_on(own(), group(frames_seen="10x2, 12x2"), SEEN)
    # The first sample says 8 + 1.5 = 9.5, the second 11: the joint mean lies between, nearer the second.
    assert 10.25 < found.mean_frames < 11.0
    assert found.mean_sd_frames < alone.mean_sd_frames


def test_the_joint_estimate_is_that_of_generalised_least_squares_written_out() -> None:
    import numpy as np

    first, second = "6x2, 8x3, 9", "9x3, 11x2, 12"
    operation = own(row(SEEN + dt.timedelta(days=21), second))
    found = strength_on(operation, group(frames_seen=first), SEEN + dt.timedelta(days=21))
    samples = [np.array([6, 6, 8, 8, 8, 9.0]), np.array([9, 9, 9, 11, 11, 12.0])]
    variance = [x.var(ddof=1) / 6 * (1 - 6 / 20) for x in samples]
    # y1 = m - 2.25 k, y2 = m, 1 = k with sd 0.5.
    design = np.array([[1.0, -2.25], [1.0, 0.0], [0.0, 1.0]])
    weight = np.diag([1 / variance[0], 1 / variance[1], 1 / 0.25])
    covariance = np.linalg.inv(design.T @ weight @ design)
    mean, _ = covariance @ design.T @ weight @ np.array([samples[0].mean(), samples[1].mean(), 1.0])
    assert found.mean_frames == pytest.approx(mean, rel=1e-6)
    assert found.mean_sd_frames == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-6)


def test_inspections_of_long_ago_teach_nothing() -> None:
    old = row(SEEN - dt.timedelta(days=61), "2x12")
    assert strength_on(own(old), group(), SEEN).mean_frames == strength_on(own(), group(), SEEN).mean_frames
    near = row(SEEN - dt.timedelta(days=60), "2x12")
    assert strength_on(own(near), group(), SEEN).mean_frames != strength_on(own(), group(), SEEN).mean_frames


def test_nothing_written_down_counts_for_nothing() -> None:
    found = strength_on(own(), group(frames_seen=None), SEEN)
    assert (found.counted_frames, found.inspected, found.on) == (0.0, 0, SEEN)


def test_single_hives_under_the_floor_grow_with_the_others_as_far_as_counted() -> None:
    late = SEEN + dt.timedelta(days=14)
    assert share_below(own(), group(), 9.0) == pytest.approx(4 / 12)
    assert share_below_on(own(), group(), 9.0, late) == pytest.approx(4 / 12)
    assert share_below_on(own(growth_counted_share=1.0), group(), 9.0, late) == 0.0


def test_a_frame_two_thirds_covered_is_two_thirds_of_a_full_one() -> None:
    contract = TINY.contracts[0].model_copy(update={"frame_coverage": "full"})
    found = strength_for(own(), group(frame_coverage="two thirds", frames_seen="9x20"), contract, SEEN)
    assert found.mean_frames == pytest.approx(6.0)
    assert "0.67 of a frame" in found.basis
    # Its floor is 6 full frames: 9 frames two thirds covered.
    assert share_below_for(own(), group(frame_coverage="two thirds", frames_seen="8.9x20"), contract, SEEN) == 1.0
    assert share_below_for(own(), group(frame_coverage="two thirds", frames_seen="9x20"), contract, SEEN) == 0.0


def test_a_full_frame_is_no_more_than_one_where_two_thirds_are_enough() -> None:
    contract = TINY.contracts[0].model_copy(update={"frame_coverage": "two thirds"})
    found = strength_for(own(), group(frame_coverage="full", frames_seen="8x20"), contract, SEEN)
    assert found.mean_frames == 8.0
    assert "same bees would cover 1.50" in found.basis


def test_not_told_what_counts_as_a_frame_is_said() -> None:
    contract = TINY.contracts[0].model_copy(update={"frame_coverage": "full"})
    assert "not told for your inspection" in strength_for(own(), group(), contract, SEEN).basis


def test_led_back_to_an_earlier_day_growth_is_taken_off() -> None:
    found = strength_on(own(), group(frames_seen="9x20"), SEEN - dt.timedelta(days=7))
    # The last week of March at 0.75 a week.
    assert found.mean_frames == pytest.approx(9.0 - 0.75)
    assert strength_on(own(growth_counted_share=1.0), group(frames_seen="9x20"), SEEN - dt.timedelta(days=7)).counted_frames < 8.3


def test_several_inspections_and_the_growth_that_they_show_are_told() -> None:
    operation = own(row(SEEN + dt.timedelta(days=14), "10x20"))
    basis = strength_on(operation, group(frames_seen="8x20"), SEEN + dt.timedelta(days=28)).basis
    assert "2 inspections taken together, growth so far 1.33 times the curve's" in basis


@pytest.mark.parametrize("operation", [TINY, demo_operation()], ids=["tiny", "demo"])
def test_with_the_defaults_each_contract_counts_on_what_a_plan_counts_on_without_a_day(operation: Operation) -> None:
    # A plan may ask for each contract's first night: while no growth is counted on, nothing changes.
    for contract in operation.contracts:
        for one in once_inspected(operation):
            day = one.inspected_on + dt.timedelta(days=21)
            counted = strength_for(operation, one, contract, day).counted_frames
            assert counted == pytest.approx(group_strength(operation, one).counted_frames, abs=1e-12)
            floor = contract.min_colony_frames
            assert share_below_for(operation, one, contract, day) == share_below(operation, one, floor)
