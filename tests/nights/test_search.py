"""The search's own parts: truck-nights planned anew, promises that want, rows that speak of visits."""

from dataclasses import replace

import pytest

from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation
from routing.nights.anew import planned_anew
from routing.nights.begin import sound
from routing.nights.draft import DraftNight, bill, delivered, missing, taken
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem, read_problem
from routing.nights.ruin import first_plan
from routing.nights.segments import segments
from routing.nights.slot import Slot, Task


@pytest.fixture(scope="module")
def problem() -> Problem:
    return read_problem(tiny_operation())


@pytest.fixture(scope="module")
def nights(problem: Problem) -> tuple[DraftNight, ...]:
    return first_plan(problem, (), seed=0)


def test_a_truck_night_planned_anew_keeps_to_the_smaller_deck(problem: Problem, nights: tuple[DraftNight, ...]) -> None:
    first = nights[0]
    half = tuple(
        replace(rig, fit={kind: units // 2 for kind, units in rig.fit.items()}) if index == first.rig else rig
        for index, rig in enumerate(problem.rigs)
    )
    smaller = replace(problem, rigs=half)
    again = planned_anew(smaller, nights, freed=frozenset({(first.night, first.rig)}), seed=0)
    assert sound(problem, again) is not None
    kept = [one for one in nights if (one.night, one.rig) != (first.night, first.rig)]
    assert all(one in again for one in kept)
    for one in again:
        if one not in kept:
            picked = [dict(stop.picked_up) for stop in one.stops]
            assert all(units <= smaller.rigs[one.rig].fit[kind] for stop in picked for kind, units in stop.items())


def test_a_rig_that_carries_nothing_any_more_leaves_a_plan_whose_hives_are_where_it_takes_them(
    problem: Problem, nights: tuple[DraftNight, ...]
) -> None:
    first = nights[0]
    none = tuple(
        replace(rig, fit=dict.fromkeys(rig.fit, 0)) if index == first.rig else rig for index, rig in enumerate(problem.rigs)
    )
    again = planned_anew(replace(problem, rigs=none), nights, freed=frozenset({(first.night, first.rig)}), seed=0)
    for name in problem.promises:
        assert taken(again, name) <= delivered(again, name)


def test_rows_that_speak_of_visits_forbid_no_plan() -> None:
    # Two orchards, everything free: the model with its rows finds a plan that keeps both promises in and out.
    problem = read_problem(demo_beginning(2))
    pieces = segments(problem)
    slots = tuple(
        Slot(rig, nights, number)
        for number, piece in enumerate(pieces) for rig in (0, 1)
        if (nights := tuple(night for night in piece.nights if night in problem.rigs[rig].nights))
    )
    every = frozenset(name for piece in pieces for name in piece.outward())
    found = solve_jointly(Task(problem, pieces, (), slots, every, most_stops=5), work=2.0, seed=0)
    assert found
    assert sound(problem, found) is not None
    # 12 of 24 strong colonies can be had for one of the two, and all of the other.
    assert sorted(missing(problem, name, found) for name in problem.promises) == [0, 12]
    assert bill(problem, found).left_in == 0.0
