"""The judge: is this plan possible, and does it cost what it says?

It knows nothing of the solver. It reads which truck goes where, when, with which lots, works out every figure
anew from the operation and the limits, and compares. It judges a plan made by hand as well as one of ours.
"""

from collections.abc import Iterable, Iterator

from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.nights.check_arranged import check_arranged
from routing.nights.check_case import open_case
from routing.nights.check_cost import accounts_of, bill, check_cost
from routing.nights.check_fleet import check_fleet
from routing.nights.check_hours import check_hours
from routing.nights.check_promises import check_terms, check_told
from routing.nights.check_rule import Rule
from routing.nights.check_stock import check_decked, check_stock
from routing.nights.check_times import check_times, check_told_windows
from routing.nights.tour import TruckNight
from routing.plan_record import CostLine, Plan

__all__ = ["check_plan", "is_feasible", "recost"]

NAMES = Rule(check="names are known", force="own figure", source="tables of the operation")
REST_OF_PLAN = Rule(check="everything else", force="own figure", source="tables of the operation")


def check_plan(plan: Plan) -> tuple[Finding, ...]:
    """Return every finding on a plan; it can be carried out as told when none of them is broken.

    Parameters
    ----------
    plan
        Any plan, from the planner or made by hand. Its figures are compared, never trusted.

    Returns
    -------
    tuple[Finding, ...]
        For each family of checks its faults, then one ``ok`` line with the number of checks that held.
        When the plan names something that the operation does not have, the other families stay unknown.

    Examples
    --------
    >>> from fixtures.tiny import tiny_plan
    >>> is_feasible(check_plan(tiny_plan()))
    True
    """
    named = NAMES.tell(_names(plan.operation, plan.truck_nights))
    if not is_feasible(named):
        note = "not checked: the plan names something that the operation does not have"
        return (*named, REST_OF_PLAN.unknown("plan", note=note))
    case = open_case(plan.operation, plan.truck_nights)
    accounts = accounts_of(case)
    return (
        *named,
        *check_times(case),
        *check_told_windows(case, plan.windows),
        *check_hours(case),
        *check_fleet(case),
        *check_stock(case),
        *check_arranged(case),
        *check_decked(case, plan.loads),
        *check_terms(case, accounts),
        *check_told(case, accounts, deliveries=plan.deliveries, unkept=plan.unkept),
        *check_cost(case, plan, accounts=accounts),
    )


def is_feasible(findings: Iterable[Finding]) -> bool:
    """Return whether no finding is broken. A finding that is unknown is for a person to look at."""
    return all(finding.status != "broken" for finding in findings)


def recost(operation: Operation, truck_nights: tuple[TruckNight, ...]) -> tuple[CostLine, ...]:
    """Return the judge's own bill for what the trucks do: nine lines, each rounded to the cent.

    Parameters
    ----------
    operation
        Prices, wages, terms, roads.
    truck_nights
        Stops, times and lots; their own sums are not read. Every name must be known to ``operation``.

    Returns
    -------
    tuple[CostLine, ...]
        Every line, also those of 0 USD; the cost is their sum. [USD]
    """
    case = open_case(operation, truck_nights)
    return bill(case, accounts_of(case))


def _names(operation: Operation, truck_nights: tuple[TruckNight, ...]) -> Iterator[Finding | None]:
    known_places = set(places(operation))
    trucks = {truck.name for truck in operation.trucks}
    groups = {group.name for group in operation.hive_groups}
    ids = [row.id for row in truck_nights]
    for row in truck_nights:
        yield NAMES.holds(row.id, row.truck in trucks, note=f"no truck is called {row.truck}")
        yield NAMES.holds(
            row.id, len(row.stops) >= 2, note="a truck-night has at least two stops: from its base and back"
        )
        yield NAMES.holds(row.id, ids.count(row.id) == 1, note="two truck-nights have this name")
        lots = [lot for stop in row.stops for lot in (*stop.picked_up, *stop.set_down)]
        for name in dict.fromkeys(
            [
                *(stop.place for stop in row.stops),
                *(end for lot in lots for end in (lot.origin, lot.destination)),
            ]
        ):
            yield NAMES.holds(row.id, name in known_places, note=f"no place is called {name}")
        for name in dict.fromkeys(lot.group for lot in lots):
            yield NAMES.holds(row.id, name in groups, note=f"no hive group is called {name}")
