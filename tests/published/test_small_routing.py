"""Split delivery SD1, least distance 228.28: the judge, who knows no solver, comes to the same number.

Sources of the instance and of its value stand in ``data/split_delivery_sd1.csv``.
"""

import pytest

from routing.inputs.operation import Operation
from routing.nights.check import check_plan, is_feasible, recost
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
