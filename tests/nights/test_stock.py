"""Hives are where a draft takes them, and yards hold what comes back."""

from dataclasses import replace

import pytest

from fixtures.tiny import tiny_operation
from routing.nights.draft import DraftNight
from routing.nights.problem import Problem, read_problem
from routing.nights.ruin import first_plan
from routing.nights.stock import stock_holds


@pytest.fixture(scope="module")
def problem() -> Problem:
    return read_problem(tiny_operation())


@pytest.fixture(scope="module")
def nights(problem: Problem) -> tuple[DraftNight, ...]:
    return first_plan(problem, (), seed=0)


def test_the_stock_of_a_first_plan_holds(problem: Problem, nights: tuple[DraftNight, ...]) -> None:
    assert stock_holds(problem, nights)


def test_hives_never_brought_cannot_be_taken_out(problem: Problem, nights: tuple[DraftNight, ...]) -> None:
    assert not stock_holds(problem, nights[1:])


def test_a_yard_gives_no_more_than_it_has(problem: Problem, nights: tuple[DraftNight, ...]) -> None:
    fewer = replace(problem, stock={key: units - 1 for key, units in problem.stock.items()})
    assert not stock_holds(fewer, nights)


def test_a_yard_takes_no_more_than_it_holds(problem: Problem, nights: tuple[DraftNight, ...]) -> None:
    back = nights[-1].stops[-1]
    elsewhere = next(yard.name for yard in problem.operation.yards if yard.name != back.place)
    last = replace(nights[-1], stops=(*nights[-1].stops[:-1], replace(back, place=elsewhere)))
    cramped = tuple(
        one.model_copy(update={"capacity_hives": 1}) if one.name == elsewhere else one for one in problem.operation.yards
    )
    full = replace(problem, operation=problem.operation.model_copy(update={"yards": cramped}))
    assert not stock_holds(full, (*nights[:-1], last))
