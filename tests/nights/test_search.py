"""The search's own parts: promises that want, rows that speak of visits."""

import pytest

from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation
from routing.nights.begin import sound
from routing.nights.draft import DraftNight, bill, missing
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
