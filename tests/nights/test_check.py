"""The judge accepts the hand-made plan, tells how much it checked, and what it could not check."""

import datetime as dt
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixtures.changed_plans import (
    APRIL,
    FIVE_MIN,
    shifted,
    with_line,
    with_lot,
    with_night,
    with_row,
    with_stop,
)
from fixtures.tiny import tiny_operation, tiny_plan
from routing.nights.check import check_plan, is_feasible, recost
from routing.plan_record import Plan


def broken_checks(plan: Plan) -> set[str]:
    return {finding.check for finding in check_plan(plan) if finding.status == "broken"}


def test_the_hand_made_plan_has_no_fault_and_nothing_is_left_unchecked() -> None:
    findings = check_plan(tiny_plan())
    assert [finding for finding in findings if finding.status != "ok"] == []
    assert is_feasible(findings)


def test_every_family_tells_how_many_checks_it_made() -> None:
    told = {finding.check: finding.measured for finding in check_plan(tiny_plan())}
    # 4 + 5 + 5 stops, of which 2 + 3 + 3 lift hives; 3 truck-nights.
    assert told["road miles"] == 14
    assert told["work in the dark hours"] == 8
    assert told["duty in one night"] == 3
    # One driver, three nights: two rests between them.
    assert told["rest between nights"] == 2


def test_a_broken_figure_tells_what_was_measured_and_by_how_much_it_fails() -> None:
    findings = check_plan(with_row(tiny_plan(), "yards", index=1, capacity_hives=15))
    (fault,) = (finding for finding in findings if finding.status == "broken")
    assert (fault.measured, fault.limit, fault.margin, fault.unit) == (16.0, 15.0, -1.0, "hives")
    assert fault.subject == "Far yard, night of 2027-06-05"


@pytest.mark.parametrize(
    "change",
    [
        lambda plan: with_night(plan, APRIL, truck="Old green"),
        lambda plan: with_stop(plan, (APRIL, 2), place="Nowhere"),
        lambda plan: with_lot(plan, APRIL, letter="A", group="Z9"),
        lambda plan: with_night(plan, APRIL, stops=()),
        lambda plan: with_night(plan, APRIL, id=plan.truck_nights[1].id),
    ],
    ids=["truck", "place", "group", "no stops", "name used twice"],
)
def test_unknown_names_are_told_and_leave_the_rest_unchecked(change: Callable[[Plan], Plan]) -> None:
    findings = check_plan(change(tiny_plan()))
    assert {finding.check for finding in findings if finding.status == "broken"} == {"names are known"}
    assert findings[-1].status == "unknown"


def test_a_plan_without_deck_plans_is_unknown_not_fine() -> None:
    findings = check_plan(tiny_plan().model_copy(update={"loads": ()}))
    told = [finding.status for finding in findings if finding.check == "deck plan for every hive"]
    assert told == ["unknown", "ok"]


@settings(max_examples=30, deadline=None)
@given(night=st.integers(0, 2), stop=st.integers(1, 2), seconds=st.integers(4, 5 * 3600), early=st.booleans())
def test_any_single_time_that_hurries_the_road_by_more_than_three_seconds_is_caught(
    night: int, stop: int, seconds: int, early: bool
) -> None:
    # Coming earlier hurries the road before a stop, leaving later the road after it.
    plan = tiny_plan()
    field, shift = ("arrive", -seconds) if early else ("leave", seconds)
    moment = getattr(plan.truck_nights[night].stops[stop], field) + dt.timedelta(seconds=shift)
    assert "time to drive" in broken_checks(with_stop(plan, (night, stop), **{field: moment}))


@settings(max_examples=30, deadline=None)
@given(name=st.sampled_from(["miles", "truck-nights", "wages", "late", "weak"]), cents=st.integers(1, 9999))
def test_any_line_told_a_cent_or_more_too_high_is_caught(name: str, cents: int) -> None:
    plan = with_line(tiny_plan(), name, more_usd=cents / 100)
    assert broken_checks(plan) == {"lines of the bill", "cost of the plan", "gap"}


def test_the_bill_is_worked_out_from_the_stops_alone() -> None:
    bare = tuple(
        night.model_copy(update={"miles": 0.0, "driving_min": 0.0, "duty_min": 0.0, "cost_usd": 0.0})
        for night in tiny_plan().truck_nights
    )
    bill = {line.name: line.usd for line in recost(tiny_operation(), bare)}
    # (48 + 80 + 70) mi x 1.20; 3 x 60; (139 + 232 + 202) min x (25 + 20) / 60; 2 x 70; 2 x 15
    assert (bill["miles"], bill["truck-nights"], bill["wages"]) == (237.60, 180.00, 429.75)
    assert (bill["short: lost fees"], bill["short: penalties"]) == (140.0, 30.0)
    assert round(sum(bill.values()), 2) == 1017.35


def test_a_stop_may_wait() -> None:
    # Five minutes more at the cherries, all later stops five minutes later: dearer, but possible.
    later = shifted(tiny_plan(), APRIL, by=FIVE_MIN, start=3)
    waited = with_stop(later, (APRIL, 2), leave=later.truck_nights[APRIL].stops[2].leave + FIVE_MIN)
    assert broken_checks(waited) == {
        "sums of a truck-night",
        "cost of a truck-night",
        "lines of the bill",
        "cost of the plan",
    }
