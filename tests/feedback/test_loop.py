"""A shown plan never has a load that cannot ride: planned otherwise where that can be, taken out and told where not."""

from dataclasses import replace

import pytest

from fixtures.tiny import tiny_operation
from routing.feedback.loop import that_ride
from routing.feedback.taken_out import told_why
from routing.inputs.rigging import RoadLimit
from routing.keepable.explain import unkept
from routing.loads.verdict import can_ride
from routing.nights.check import check_plan, is_feasible
from routing.nights.draft import DraftNight, bill, delivered, missing
from routing.nights.problem import Problem, read_problem
from routing.plan import make_plan
from tests.feedback.conftest import BLUEBERRIES, CHERRIES, JUNE_4, moves, with_rear_axle, with_truck

Nights = tuple[DraftNight, ...]


@pytest.fixture(scope="module")
def weak_axle():
    # 600 lb are left on the rear axle: four pallets of 522 lb put at least 861 lb there, two at most 574.
    return make_plan(with_rear_axle(tiny_operation(), 7000.0), seed=1, steps=2)


def test_a_truck_that_carries_half_goes_twice(weak_axle):
    assert all(can_ride(load) for load in weak_axle.loads)
    assert is_feasible(check_plan(weak_axle))
    assert {load.truck_night for load in weak_axle.loads} == {one.id for one in weak_axle.truck_nights}
    assert max(sum(unit.hives for unit in load.placements) for load in weak_axle.loads) < 16
    # Every promise is kept as far as any plan can: the blueberries lack two hives in every plan.
    assert [(row.contract, row.colonies, row.proven) for row in weak_axle.unkept] == [(BLUEBERRIES, 2, True)]


def test_the_bound_is_that_of_the_tours_and_stays_below(weak_axle):
    strong = make_plan(tiny_operation(), seed=1, steps=2)
    assert weak_axle.cost_usd > strong.cost_usd
    assert 0.0 < weak_axle.lower_bound_usd <= strong.cost_usd


def test_a_plan_whose_loads_ride_is_left_as_it_is(tiny: Problem, draft: Nights):
    ridden = that_ride(tiny, draft, seed=0)
    assert (ridden.nights, ridden.out, ridden.lost) == (draft, (), frozenset())
    assert len(ridden.loads) == 3


def test_a_truck_that_may_not_be_on_the_road_is_taken_out_and_told():
    # 104 in wide, where the law allows 102: no deck plan cures that.
    problem = read_problem(with_truck(tiny_operation(), deck_width_in=104.0))
    ridden = that_ride(problem, moves(), seed=0)
    assert (ridden.nights, ridden.loads) == ((), ())
    assert ridden.lost == {CHERRIES, BLUEBERRIES}
    first = told_why(unkept(problem, ridden.nights), ridden.out, ridden.lost)[0]
    assert first.contract == CHERRIES
    assert "No deck plan was found that carries 16 hives on Old blue on the night of 23 April 2027" in first.reason
    assert "width of deck and load (104 for 102 in)" in first.reason
    assert any("another truck or trailer than Old blue" in told for told in first.remedies)


def test_a_low_bridge_on_the_way_to_one_orchard_leaves_the_other_served():
    low = RoadLimit(where="underpass", kind="height", value=60.0, places=BLUEBERRIES, source="the sign")
    problem = read_problem(tiny_operation().model_copy(update={"road_limits": (low,)}))
    ridden = that_ride(problem, moves(), seed=0)
    assert all(can_ride(load) for load in ridden.loads)
    # The cherries get their hives and are emptied; nothing goes to the blueberries.
    assert missing(problem, CHERRIES, ridden.nights) == 0
    assert bill(problem, ridden.nights).left_in == 0.0
    assert delivered(ridden.nights, BLUEBERRIES) == {}
    assert ridden.lost == {BLUEBERRIES}


def test_another_truck_takes_what_one_cannot_carry():
    tiny = with_truck(tiny_operation(), deck_width_in=104.0)
    sister = tiny.trucks[0].model_copy(update={"name": "Old green", "deck_width_in": 96.0})
    axles = tuple(one.model_copy(update={"truck": "Old green"}) for one in tiny.axle_groups)
    both = tiny.model_copy(update={"trucks": (*tiny.trucks, sister), "axle_groups": (*tiny.axle_groups, *axles)})
    problem = read_problem(both)
    ridden = that_ride(problem, moves(), seed=0)
    assert {load.truck for load in ridden.loads} == {"Old green"}
    assert ridden.lost == frozenset()


def test_when_it_is_late_what_cannot_ride_is_taken_out_at_once():
    problem = read_problem(with_rear_axle(tiny_operation(), 7000.0))
    ridden = that_ride(problem, moves(), seed=0, late=lambda: True)
    # Four pallets cannot ride; without them May and June carry six loose hives, which can.
    assert [one.night for one in ridden.nights] == [20, 45]
    assert all(can_ride(load) for load in ridden.loads)
    assert ridden.lost == {CHERRIES, BLUEBERRIES}


def test_a_done_night_stays_whatever_its_load_was():
    problem = replace(read_problem(with_rear_axle(tiny_operation(), 7000.0)), next_night=JUNE_4)
    ridden = that_ride(problem, moves(), seed=0, late=lambda: True)
    assert ridden.nights[:2] == moves()[:2]
    assert not can_ride(ridden.loads[0])
    assert all(can_ride(load) for load in ridden.loads[2:])


def test_the_same_draft_and_seed_give_the_same_plan():
    problem = read_problem(with_rear_axle(tiny_operation(), 7000.0))
    first, again = (that_ride(problem, moves()[:1], seed=3) for _ in range(2))
    assert first == again
    assert first.out != ()
