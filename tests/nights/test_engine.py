"""The engine on the tiny operation: plans that the judge takes, a bound below them, the same plan again."""

import pytest

from fixtures.tiny import tiny_operation
from routing.nights.bound import Season, lower_bounds
from routing.nights.check import check_plan, is_feasible
from routing.nights.draft import DraftNight, DraftStop, bill, clock
from routing.nights.found import Found
from routing.nights.lots import rides
from routing.nights.problem import read_problem
from routing.nights.relaxation import relax
from routing.nights.ruin import first_plan
from routing.nights.search import improve
from routing.nights.segments import events, segments, together
from routing.plan import make_plan


@pytest.fixture(scope="module")
def plan():
    return make_plan(tiny_operation(), seed=1, steps=4)


def test_the_judge_finds_nothing_broken_in_the_plan(plan):
    findings = check_plan(plan)
    assert is_feasible(findings), [one for one in findings if one.status == "broken"]


def test_the_bound_is_proven_and_below_the_cost(plan):
    assert 0.0 < plan.lower_bound_usd <= plan.cost_usd
    assert plan.gap == pytest.approx((plan.cost_usd - plan.lower_bound_usd) / plan.cost_usd)


def test_the_lines_of_the_bill_add_up(plan):
    assert plan.cost_usd == pytest.approx(sum(line.usd for line in plan.cost_lines), abs=0.005)


def test_the_short_promise_is_named_and_proven(plan):
    # 24 promised; H1 has 16 hives and L1 has 6 strong enough: 22, so 2 are missing in every plan.
    assert [(one.contract, one.kind, one.colonies, one.proven) for one in plan.unkept] == [
        ("Late blueberries", "short", 2, True)
    ]


def test_the_same_seed_and_steps_give_the_same_truck_nights(plan):
    again = make_plan(tiny_operation(), seed=1, steps=4)
    assert again.truck_nights == plan.truck_nights


def test_every_event_lies_in_a_segment_and_shares_nights_with_its_set():
    problem = read_problem(tiny_operation())
    pieces = segments(problem)
    for event in events(problem):
        held = [piece for piece in pieces if event in piece.events]
        assert held
        assert all(any(event in chosen.events for chosen in together(piece)) for piece in held)


def test_bounds_only_rise_and_never_pass_a_plan():
    problem = read_problem(tiny_operation())
    relaxed = relax(problem)
    season = Season(relaxed)
    usd = []
    for bound in lower_bounds(season, season.price(rounds=8), seconds_each=2.0):
        usd.append(bound.usd)
        if len(usd) > 12:
            break
    nights = first_plan(problem, (), seed=0)
    found = Found(nights, bill(problem, nights).total, 0, "first plan")
    best = list(improve(problem, found, seed=0, stop=lambda: False, steps=6))[-1]
    assert usd == sorted(usd)
    assert usd[-1] <= best.cost_usd + 0.01
    assert best.cost_usd <= found.cost_usd


def test_the_season_solved_afresh_has_the_same_value_and_prices_that_bear_the_same_bound():
    season = Season(relax(read_problem(tiny_operation())))
    priced = season.price(rounds=8)
    again = season.solved_afresh()
    value = sum(column.cost * one for column, one in zip(priced.columns, priced.values, strict=True))
    assert again.objective_value() == pytest.approx(value, abs=0.01)
    assert len(again.dual_values()) == len(season.model.rows)


def test_a_night_too_long_for_the_dark_has_no_clock():
    problem = read_problem(tiny_operation())
    yard = problem.operation.yards[0].name
    orchard = next(iter(problem.promises))
    night = problem.promises[orchard].in_first
    shuttle = (DraftStop(yard, ((0, 1),), ()), DraftStop(orchard, (), ((0, 1),)))
    assert clock(problem, DraftNight(0, night, shuttle)) is not None
    assert clock(problem, DraftNight(0, night, shuttle * 40)) is None


def test_hives_of_a_yard_may_not_go_to_another_yard():
    problem = read_problem(tiny_operation())
    first, second = (yard.name for yard in problem.operation.yards[:2])
    move = (DraftStop(first, ((0, 1),), ()), DraftStop(second, (), ((0, 1),)))
    assert rides(problem, DraftNight(0, 0, move)) is None


def test_an_empty_plan_costs_every_fee_and_penalty():
    problem = read_problem(tiny_operation())
    owed = sum(
        one.colonies * (one.fee_usd_per_colony + one.short_usd_per_colony) for one in problem.operation.contracts
    )
    assert bill(problem, ()).total == pytest.approx(owed)
