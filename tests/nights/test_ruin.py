"""Plans by insertion, by routes for flows, by ruin and recreate: possible, the same for the same seed, never worse."""

from collections import Counter

import pytest

from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation
from routing.nights.begin import sound
from routing.nights.check import check_plan
from routing.nights.draft import bill, delivered, missing, taken
from routing.nights.flows.solve import flows
from routing.nights.haul.start import hauled
from routing.nights.mix_rows import decks_hold
from routing.nights.problem import read_problem
from routing.nights.ruin import first_plan, ruin_and_recreate, settled
from routing.nights.stock import stock_holds
from routing.nights.working import Working
from routing.plan import make_plan


def never():
    return False


@pytest.fixture(scope="module")
def problem():
    return read_problem(demo_beginning(contracts=4))


@pytest.fixture(scope="module")
def first(problem):
    return first_plan(problem, (), seed=0)


def test_the_first_plan_brings_what_can_be_brought_and_is_possible(problem, first):
    assert sound(problem, first) == first
    assert stock_holds(problem, first)
    assert all(decks_hold(problem, one) for one in first)
    promised = sum(one.colonies for one in problem.promises.values())
    assert sum(missing(problem, name, first) for name in problem.promises) <= 0.1 * promised


def test_every_hive_that_goes_in_comes_out_or_is_counted_as_left(problem, first):
    for name, promise in problem.promises.items():
        if promise.out:
            assert taken(first, name) <= delivered(first, name)


def test_ruin_and_recreate_only_gets_better_and_is_the_same_for_the_same_seed(problem, first):
    runs = [list(ruin_and_recreate(problem, first, seed=4, progress=lambda turn: turn / 30, stop=never)) for _ in range(2)]
    usd = [cost for _, cost in runs[0]]
    assert usd == sorted(usd, reverse=True)
    assert usd[-1] < bill(problem, first).total
    assert runs[0][-1] == runs[1][-1]
    best = runs[0][-1][0]
    assert sound(problem, best) == best
    assert stock_holds(problem, best)
    assert all(decks_hold(problem, one) for one in best)


def test_a_working_plan_gives_back_the_draft_that_it_was_made_of(problem, first):
    assert Working(problem, first).drafts() == first


def test_hives_that_are_not_there_are_left_out(problem, first):
    ins = [one for one in first if any(stop.place in problem.promises and stop.set_down for stop in one.stops)]
    without = settled(problem, [one for one in first if one != ins[0]])
    assert stock_holds(problem, without)


def test_flows_take_no_more_than_there_is_and_bring_no_more_than_is_taken(problem):
    moved = flows(problem, seconds=5.0)
    out, into = Counter(), Counter()
    for (origin, destination, kind), units in moved.items():
        out[origin, kind] += units
        into[destination] += units * problem.kinds[kind].hives
    back = Counter({(place, kind): units for (_, place, kind), units in moved.items()})
    for (place, kind), units in out.items():
        if place not in problem.promises:
            assert units <= problem.stock.get((place, kind), 0) + back[place, kind]
    for name, promise in problem.promises.items():
        assert into[name] <= promise.colonies + promise.over
    served = sum(min(into[name], promise.colonies) for name, promise in problem.promises.items())
    assert served >= 0.9 * sum(promise.colonies for promise in problem.promises.values())


def test_routes_for_the_flows_are_possible_plans(problem):
    plans = list(hauled(problem, seed=0, seconds=3.0, stop=never))
    assert plans
    for nights in plans:
        assert sound(problem, nights) == nights
        assert stock_holds(problem, nights)
        assert all(decks_hold(problem, one) for one in nights)


def test_a_plan_of_few_steps_holds_before_the_judge():
    plan = make_plan(tiny_operation(), seed=3, steps=1)
    assert not [one for one in check_plan(plan) if one.status == "broken"]
