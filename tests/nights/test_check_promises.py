"""Each falsehood about the terms of a contract, or about what was delivered, is caught by its own rule."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.changed_plans import APRIL, JUNE, on_night, with_delivery, with_row, with_unkept
from fixtures.tiny import tiny_plan
from routing.nights.check import check_plan
from routing.plan_record import Plan, Unkept
from routing.strength.group import group_strength

Change = Callable[[Plan], Plan]
FALSE_ROW = Unkept(
    contract="Early cherries",
    kind="late",
    colonies=4,
    cost_usd=20.0,
    reason="none",
    remedies=(),
    proven=False,
)


FALSEHOODS: tuple[tuple[str, Change, str], ...] = (
    (
        "hives come before they are wanted",
        lambda p: with_row(p, "contracts", in_from=dt.date(2027, 4, 25)),
        "set down on a night taken",
    ),
    (
        "hives come after the last late night",
        lambda p: on_night(p, APRIL, days=4),
        "set down on a night taken",
    ),
    (
        "hives leave a day early",
        lambda p: with_row(p, "contracts", out_from=dt.date(2027, 5, 12)),
        "taken out within the window",
    ),
    ("hives leave after the last night", lambda p: on_night(p, JUNE, days=4), "taken out within the window"),
    (
        "hives leave that were to stay",
        lambda p: with_row(p, "contracts", petal_fall_on=None, out_from=None, out_until=None, spray_on=None),
        "taken out within the window",
    ),
    (
        "more hives come than are taken",
        lambda p: with_row(p, "contracts", index=1, colonies=21),
        "no more than promised",
    ),
    # A pallet of four may bring three more than promised, not four: 16 hives for 13 promised, not for 12.
    (
        "a whole pallet comes too many",
        lambda p: with_row(p, "contracts", colonies=12),
        "no more than promised",
    ),
    (
        "single colonies are too weak",
        lambda p: with_row(p, "contracts", min_colony_frames=9.5),
        "single colonies strong enough",
    ),
    (
        "the average is too weak",
        lambda p: with_row(p, "contracts", min_average_frames=8.75),
        "average strength",
    ),
    ("a delivery is told too high", lambda p: with_delivery(p, 1, delivered=24), "delivery as told"),
    ("a promise is told too low", lambda p: with_delivery(p, 1, promised=22), "delivery as told"),
    (
        "a share is told of another group",
        lambda p: with_delivery(p, 0, shares=p.deliveries[1].shares),
        "delivery as told",
    ),
    ("an average is told too high", lambda p: with_delivery(p, 0, average_frames=8.8), "delivery as told"),
    ("a fee is told a cent too high", lambda p: with_delivery(p, 0, fee_usd=960.01), "delivery as told"),
    ("a bonus is told that is not earned", lambda p: with_delivery(p, 0, bonus_usd=1.0), "delivery as told"),
    ("a penalty is left out", lambda p: with_delivery(p, 1, penalty_usd=0.0), "delivery as told"),
    (
        "a first night is told wrong",
        lambda p: with_delivery(p, 0, first_in=dt.date(2027, 4, 23)),
        "delivery as told",
    ),
    (
        "a last night out is told wrong",
        lambda p: with_delivery(p, 0, out_until=dt.date(2027, 5, 14)),
        "delivery as told",
    ),
    (
        "a contract is not told of",
        lambda p: p.model_copy(update={"deliveries": p.deliveries[1:]}),
        "delivery as told",
    ),
    (
        "one of two missing colonies is told",
        lambda p: with_unkept(p, 0, colonies=1),
        "unkept promises as told",
    ),
    (
        "what they cost is told a cent too low",
        lambda p: with_unkept(p, 0, cost_usd=169.99),
        "unkept promises as told",
    ),
    (
        "a broken promise is kept silent",
        lambda p: p.model_copy(update={"unkept": ()}),
        "unkept promises as told",
    ),
    (
        "a kept promise is told as broken",
        lambda p: p.model_copy(update={"unkept": (*p.unkept, FALSE_ROW)}),
        "unkept promises as told",
    ),
    (
        "a broken promise is told twice",
        lambda p: p.model_copy(update={"unkept": (*p.unkept, *p.unkept)}),
        "unkept promises as told",
    ),
)


def _broken(plan: Plan) -> set[str]:
    return {finding.check for finding in check_plan(plan) if finding.status == "broken"}


@pytest.mark.parametrize(
    ("change", "check"), [row[1:] for row in FALSEHOODS], ids=[row[0] for row in FALSEHOODS]
)
def test_a_falsehood_about_a_promise_is_caught_by_its_rule(change: Change, check: str) -> None:
    assert check in _broken(change(tiny_plan()))


def test_the_last_pallet_may_bring_up_to_three_hives_more_than_promised() -> None:
    # 16 hives on pallets of four: 13 promised is the fewest that they may serve.
    assert "no more than promised" not in _broken(with_row(tiny_plan(), "contracts", colonies=13))


def test_hives_on_a_late_night_count_and_must_be_told_as_late() -> None:
    # In on the 27th, the one late night allowed: 16 hives x 1 night x 5 USD.
    plan = on_night(tiny_plan(), APRIL, days=3)
    assert "set down on a night taken" not in _broken(plan)
    assert "unkept promises as told" in _broken(plan)
    late = FALSE_ROW.model_copy(update={"colonies": 16, "cost_usd": 80.0})
    assert "unkept promises as told" not in _broken(plan.model_copy(update={"unkept": (*plan.unkept, late)}))


def test_a_weak_lot_taken_at_a_price_is_no_fault_but_must_be_told() -> None:
    plan = with_row(tiny_plan(), "contracts", min_average_frames=9.0, weak_usd_per_frame=10.0)
    assert "average strength" not in _broken(plan)
    assert "unkept promises as told" in _broken(plan)


@pytest.mark.parametrize(("dearer_usd", "is_told"), [(1e-9, False), (0.0049, False), (0.0051, True)])
def test_a_weakness_is_a_shortfall_from_half_a_cent_on(dearer_usd: float, is_told: bool) -> None:
    # 16 hives at 10 USD a frame: an average of x frames above theirs costs 160 x USD.
    plan = tiny_plan()
    frames = group_strength(plan.operation, plan.operation.hive_groups[0]).counted_frames
    asked = frames + dearer_usd / 160.0
    weak = with_row(plan, "contracts", min_average_frames=asked, weak_usd_per_frame=10.0)
    faults = [one.subject for one in check_plan(weak) if one.check == "unkept promises as told" and one.status == "broken"]
    assert ("Early cherries, weak" in faults) is is_told


def test_hives_left_in_the_orchard_must_be_told() -> None:
    plan = tiny_plan()
    stays = plan.model_copy(update={"truck_nights": plan.truck_nights[:JUNE]})
    faults = [
        one.subject
        for one in check_plan(stays)
        if one.check == "unkept promises as told" and one.status == "broken"
    ]
    assert faults == ["Late blueberries, not taken out in time"]
