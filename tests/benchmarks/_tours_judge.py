"""The judge on the truck-nights of any planner: what is broken, what they cost to the cent, what stays unkept.

It is the independent checker of ``routing.nights`` without the checks on what a plan tells of itself: a peer tells
nothing but its truck-nights. Deck plans are not asked for either; room and payload of the deck are.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.nights.check_case import Case, open_case
from routing.nights.check_cost import accounts_of, bill
from routing.nights.check_fleet import check_fleet
from routing.nights.check_hours import check_hours
from routing.nights.check_promises import check_terms
from routing.nights.check_stock import check_stock
from routing.nights.check_times import check_times
from routing.nights.tour import TruckNight


@dataclass(frozen=True)
class Verdict:
    """What the judge finds."""

    cost_usd: float
    unkept: int
    """Colonies short, late, weak or left in, each counted once for each of these."""
    broken: tuple[Finding, ...]


def judged(operation: Operation, truck_nights: tuple[TruckNight, ...]) -> Verdict:
    """Return the verdict on truck-nights, whoever planned them."""
    case = open_case(operation, truck_nights)
    accounts = accounts_of(case)
    findings = (*check_times(case), *check_hours(case), *check_fleet(case), *check_stock(case), *check_terms(case, accounts))
    unkept = sum(
        one.missing + one.late_hives + one.left_in + (one.delivered if one.weak_usd > 0.005 else 0) for one in accounts.values()
    )
    cost_usd = round(sum(line.usd for line in bill(case, accounts)), 2)
    return Verdict(cost_usd, unkept, tuple(one for one in findings if one.status == "broken"))


def to_blame(operation: Operation, truck_nights: tuple[TruckNight, ...], broken: Iterable[Finding]) -> tuple[str, ...]:
    """Return the truck-nights, by id, to be left out so that what is broken is mended: one for each finding.

    A finding on a truck-night or its lots names it; of one on a group, yard, driver or contract the last truck-night
    that touches its subject goes.
    """
    case, found = open_case(operation, truck_nights), []
    for finding in broken:
        named = [row.id for row in truck_nights if row.id in finding.subject]
        touching = [row.id for row in truck_nights if _touches(row, finding.subject)]
        found += named[:1] or touching[-1:]
    return tuple(dict.fromkeys(found)) or _last(case)


def _touches(row: TruckNight, subject: str) -> bool:
    night_named = "night of " in subject
    if night_named and f"night of {row.night}" not in subject:
        return False
    lots = [lot for stop in row.stops for lot in (*stop.picked_up, *stop.set_down)]
    names = {row.truck, row.driver, *(stop.place for stop in row.stops), *(lot.group for lot in lots)}
    head = subject.split(", night of")[0]
    return any(head == name or head.startswith((f"{name},", f"{name} ")) or head.endswith(f" {name}") for name in names)


def _last(case: Case) -> tuple[str, ...]:
    return tuple(row.id for row in case.truck_nights[-1:])
