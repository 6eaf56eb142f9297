"""The judge's own sums: each kind of cost by hand, and every wrong cent caught."""

from collections.abc import Callable

import pytest

from fixtures.changed_plans import APRIL, on_night, with_line, with_night, with_row
from fixtures.tiny import tiny_operation, tiny_plan
from routing.nights.check import check_plan, recost
from routing.plan_record import Plan

Change = Callable[[Plan], Plan]

FALSEHOODS: tuple[tuple[str, Change, str], ...] = (
    ("miles cost a cent less", lambda p: with_line(p, "miles", more_usd=-0.01), "lines of the bill"),
    ("wages cost a cent more", lambda p: with_line(p, "wages", more_usd=0.01), "lines of the bill"),
    (
        "a line stands twice",
        lambda p: p.model_copy(update={"cost_lines": (*p.cost_lines, p.cost_lines[3])}),
        "lines of the bill",
    ),
    (
        "a line is left out",
        lambda p: p.model_copy(update={"cost_lines": p.cost_lines[1:]}),
        "lines of the bill",
    ),
    (
        "the cost is a cent less than its lines",
        lambda p: p.model_copy(update={"cost_usd": 1017.34}),
        "cost of the plan",
    ),
    (
        "a truck-night costs a cent less",
        lambda p: with_night(p, APRIL, cost_usd=221.84),
        "cost of a truck-night",
    ),
    ("the income is a cent more", lambda p: p.model_copy(update={"income_usd": 2500.01}), "income"),
    (
        "the bound is a cent above the cost",
        lambda p: p.model_copy(update={"lower_bound_usd": 1017.36}),
        "lower bound",
    ),
    ("the bound covers nothing", lambda p: p.model_copy(update={"bound_covers": " "}), "lower bound"),
    ("the gap is told too small", lambda p: p.model_copy(update={"gap": 0.01}), "gap"),
    ("a mile costs more", lambda p: with_row(p, "trucks", cost_usd_per_mile=1.21), "lines of the bill"),
    ("a night costs more", lambda p: with_row(p, "trucks", cost_usd_per_night=61.0), "lines of the bill"),
    ("the driver earns more", lambda p: with_row(p, "drivers", wage_usd_per_hour=26.0), "lines of the bill"),
    (
        "a missing colony costs more",
        lambda p: with_row(p, "contracts", index=1, short_usd_per_colony=16.0),
        "lines of the bill",
    ),
    ("a colony pays more", lambda p: with_row(p, "contracts", fee_usd_per_colony=61.0), "income"),
)


def _bill(plan: Plan) -> dict[str, float]:
    return {line.name: line.usd for line in recost(plan.operation, plan.truck_nights)}


@pytest.mark.parametrize(
    ("change", "check"), [row[1:] for row in FALSEHOODS], ids=[row[0] for row in FALSEHOODS]
)
def test_a_falsehood_about_money_is_caught_by_its_rule(change: Change, check: str) -> None:
    assert check in {
        finding.check for finding in check_plan(change(tiny_plan())) if finding.status == "broken"
    }


def test_without_any_truck_every_colony_promised_is_missing() -> None:
    bill = {line.name: line.usd for line in recost(tiny_operation(), ())}
    # 16 x 60 + 24 x 70 fees, (16 + 24) x 15 penalties
    assert bill["short: lost fees"] == 960.0 + 1680.0
    assert bill["short: penalties"] == 600.0
    assert sum(bill.values()) == 2640.0 + 600.0


def test_a_hired_drivers_wage_is_in_the_trucks_price_a_helpers_is_not() -> None:
    # 573 min on duty x 20 USD / 60, for the helper alone.
    assert _bill(with_row(tiny_plan(), "trucks", hired=True))["wages"] == 191.00


def test_hives_left_in_an_orchard_cost_their_worth() -> None:
    # 22 hives stay among the blueberries: 22 x 250.
    plan = tiny_plan()
    assert {row.name: row.usd for row in recost(plan.operation, plan.truck_nights[:2])}["left in"] == 5500.0


def test_late_hives_cost_each_night() -> None:
    # In on 27 April, one night after the 26th: 16 hives x 1 night x 5 USD.
    assert _bill(on_night(tiny_plan(), APRIL, days=3))["late"] == 80.0


def test_a_weak_lot_taken_at_a_price_costs_each_frame_missing() -> None:
    # H1 counts for 8.742631 frames: (9.0 - 8.742631) x 16 hives x 10 USD.
    plan = with_row(tiny_plan(), "contracts", min_average_frames=9.0, weak_usd_per_frame=10.0)
    assert _bill(plan)["weak"] == 41.18


def test_bonus_is_paid_up_to_its_top_and_the_rest_is_told_as_not_earned() -> None:
    # Above 8.0 frames, up to 9.0: H1 misses (9.0 - 8.742631) x 3 USD x 16 hives.
    plan = with_row(tiny_plan(), "contracts", bonus_usd_per_frame=3.0, bonus_up_to_frames=9.0)
    assert _bill(plan)["bonus not earned"] == 12.35


def test_colonies_beyond_the_promise_are_paid_only_where_the_contract_says_so() -> None:
    # 13 promised, 16 delivered at 60 USD: 13 x 60 or 16 x 60, and 1540 USD from the blueberries.
    plan = with_row(tiny_plan(), "contracts", colonies=13)
    unpaid = plan.model_copy(update={"income_usd": 780.0 + 1540.0})
    paid = with_row(plan, "contracts", over_delivery="paid").model_copy(update={"income_usd": 960.0 + 1540.0})
    for one in (unpaid, paid):
        assert "income" not in {finding.check for finding in check_plan(one) if finding.status == "broken"}
