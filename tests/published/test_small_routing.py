"""Split delivery SD1, least distance 228.28: judge, bound and search come to the same number.

Sources of the instance and of its value stand in ``data/split_delivery_sd1.csv``.
"""

import pytest

from routing.inputs.operation import Operation
from routing.nights.bound import Season, lower_bounds
from routing.nights.check import check_plan, is_feasible, recost
from routing.nights.draft import bill
from routing.nights.found import Found
from routing.nights.problem import read_problem
from routing.nights.relaxation import relax
from routing.nights.ruin import first_plan
from routing.nights.search import improve
from tests.published.split_delivery import sites, split_delivery
from tests.published.split_delivery_plan import plan_of

LEAST = 228.28
# Four trips to the outer ring, each filled up for the customer on its way; two that serve what is left of the
# inner ring, two neighbours each: 4 x 2 x 20 + 2 x (10 + 14.14 + 10) = 228.28.
ROUTES = (
    (("1", 4), ("5", 6)),
    (("2", 1), ("6", 9)),
    (("3", 4), ("7", 6)),
    (("4", 1), ("8", 9)),
    (("1", 2), ("2", 8)),
    (("3", 2), ("4", 8)),
)


@pytest.fixture(scope="module")
def sd1() -> Operation:
    return split_delivery("sd1", capacity=10, decimals=2, nights=8)


def test_the_instance_carried_has_the_demands_of_the_published_one() -> None:
    # 4 x 60 + 4 x 90 = 600 in the file, tens here; 21 customers and 22,500 in eil22, hundreds here.
    assert sum(row.demand for row in sites("sd1")) == 60
    assert (len(sites("eil22")) - 1, sum(row.demand for row in sites("eil22"))) == (21, 225)


def test_the_judge_finds_the_published_routes_possible_and_their_cost_the_published_distance(
    sd1: Operation,
) -> None:
    findings = check_plan(plan_of(sd1, ROUTES))
    assert [finding for finding in findings if finding.status == "broken"] == []
    assert is_feasible(findings)
    assert round(sum(line.usd for line in recost(sd1, plan_of(sd1, ROUTES).truck_nights)), 2) == LEAST


def test_a_colony_more_on_one_of_the_trips_is_too_many(sd1: Operation) -> None:
    crowded = ((("1", 5), ("5", 6)), *ROUTES[1:4], (("1", 1), ("2", 8)), ROUTES[5])
    broken = {one.check for one in check_plan(plan_of(sd1, crowded)) if one.status == "broken"}
    assert broken == {"room on the deck", "payload"}


def test_the_bound_proves_that_no_plan_costs_less_than_the_published_distance(sd1: Operation) -> None:
    season = Season(relax(read_problem(sd1)))
    bounds = [bound.usd for bound in lower_bounds(season, season.price(rounds=14), seconds_each=20.0)]
    assert bounds == sorted(bounds)
    assert bounds[-1] == pytest.approx(LEAST, abs=0.005)


def test_the_search_finds_a_plan_that_costs_no_less_and_little_more(sd1: Operation) -> None:
    problem = read_problem(sd1)
    nights = first_plan(problem, (), seed=0)
    first = Found(nights, bill(problem, nights).total, 0, "first plan")
    found = list(improve(problem, first, seed=0, stop=lambda: False, steps=4))[-1]
    assert LEAST - 0.005 <= found.cost_usd <= 1.06 * LEAST


def test_the_bound_of_the_larger_instance_lies_below_its_published_distance() -> None:
    season = Season(relax(read_problem(split_delivery("eil22", capacity=60, decimals=0, nights=5))))
    first = next(lower_bounds(season, season.price(rounds=14), seconds_each=0.1))
    # The linear program with its cuts alone reaches more than 0.85 of 375.
    assert 0.85 * 375 <= first.usd <= 375.0
