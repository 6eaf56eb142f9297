"""Rows count colonies and money as the independent judge does, for each kind of broken promise."""

import datetime as dt
from typing import Any

import pytest

from fixtures.changed_plans import with_row
from fixtures.tiny import tiny_plan
from routing.keepable.explain import unkept
from routing.keepable.kept import Kept
from routing.nights.check import check_plan
from routing.nights.draft import DraftNight
from routing.nights.problem import read_problem
from routing.plan_record import Plan
from routing.strength.group import group_strength

Draft = tuple[DraftNight, ...]
CHANGES: tuple[tuple[dict[str, Any], tuple[tuple[str, str, int, float], ...]], ...] = (
    # Of 24 promised 22 come: 2 x (70 + 15).
    ({}, (("Late blueberries", "short", 2, 170.0),)),
    # In until 23 April: 16 hives come a night late, 16 x 5.
    ({"in_until": dt.date(2027, 4, 23)},
     (("Early cherries", "late", 16, 80.0), ("Late blueberries", "short", 2, 170.0))),
    # 16 hives count for 8.7426 frames each: 1 x 16 x (9 - 8.7426) = 4.12.
    ({"min_average_frames": 9.0, "weak_usd_per_frame": 1.0},
     (("Early cherries", "weak", 16, 4.12), ("Late blueberries", "short", 2, 170.0))),
)  # fmt: skip


def row_true(plan: Plan) -> bool:
    return all(one.status != "broken" for one in check_plan(plan) if one.check == "unkept promises as told")


@pytest.mark.parametrize(("values", "rows"), CHANGES)
def test_the_judge_agrees_with_every_row(
    tiny_draft: Draft, values: dict[str, Any], rows: tuple[tuple[str, str, int, float], ...]
) -> None:
    plan = with_row(tiny_plan(), "contracts", **values) if values else tiny_plan()
    found = unkept(read_problem(plan.operation), tiny_draft)
    assert [(one.contract, one.kind, one.colonies, one.cost_usd) for one in found] == list(rows)
    assert row_true(plan.model_copy(update={"unkept": found}))
    assert not row_true(plan.model_copy(update={"unkept": ()}))


def test_hives_left_in_are_told_as_the_judge_tells_them(tiny_draft: Draft) -> None:
    plan = tiny_plan().model_copy(update={"truck_nights": tiny_plan().truck_nights[:2]})
    found = unkept(read_problem(plan.operation), tiny_draft[:2])
    # 22 x 250.
    assert [(one.kind, one.colonies, one.cost_usd) for one in found] == [
        ("short", 2, 170.0), ("not taken out in time", 22, 5500.0),
    ]  # fmt: skip
    assert row_true(plan.model_copy(update={"unkept": found}))


@pytest.mark.parametrize(("weak_usd", "is_told"), [(1e-9, False), (0.0049, False), (0.0051, True)])
def test_a_weakness_is_told_from_half_a_cent_on_and_the_judge_agrees(
    tiny_draft: Draft, weak_usd: float, is_told: bool
) -> None:
    # 16 hives at 10 USD a frame: an average of x frames above theirs costs 160 x USD.
    operation = tiny_plan().operation
    asked = group_strength(operation, operation.hive_groups[0]).counted_frames + weak_usd / 160.0
    plan = with_row(tiny_plan(), "contracts", min_average_frames=asked, weak_usd_per_frame=10.0)
    found = unkept(read_problem(plan.operation), tiny_draft)
    assert ("weak" in [one.kind for one in found]) is is_told
    assert row_true(plan.model_copy(update={"unkept": found}))


def test_nothing_moved_is_everything_missing_and_nothing_else() -> None:
    found = unkept(read_problem(tiny_plan().operation), ())
    # 16 x (60 + 15) and 24 x (70 + 15).
    assert [(one.kind, one.colonies, one.cost_usd) for one in found] == [
        ("short", 16, 1200.0), ("short", 24, 2040.0),
    ]  # fmt: skip


def test_frames_are_summed_over_the_hives_of_each_group(tiny_draft: Draft) -> None:
    problem = read_problem(tiny_plan().operation)
    had = Kept(problem, problem.promises["Late blueberries"], tiny_draft)
    # 16 x 8.7426 + 6 x 8.4
    assert had.frames == pytest.approx(16 * 8.7426 + 6 * 8.4, abs=0.001)
    assert (had.hives, had.missing, had.late_hives, had.left_in) == (22, 2, 0, 0)
