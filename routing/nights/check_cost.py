"""What does it cost? The judge's own sums, to the cent.

Law 1: a truck-night costs its miles, its night and its wages; a hired driver's wage is in the truck's price.
Law 2: each line is summed exactly and rounded once, to the cent; the cost is the sum of the lines.
"""

from collections.abc import Iterator
from math import fsum

from routing.finding import Finding
from routing.inputs.constants import constant
from routing.nights.check_account import Account, account
from routing.nights.check_arranged import ahead, changes_usd
from routing.nights.check_case import Case, duty_span, legs, minutes
from routing.nights.check_rule import CENT_USD, Rule
from routing.nights.tour import TruckNight
from routing.plan_record import CostLine, Plan

OWN = "miles, hours and terms of the operation"
NIGHT = Rule(check="cost of a truck-night", tolerance=CENT_USD, unit="USD", force="own figure", source=OWN)
LINE = Rule(check="lines of the bill", tolerance=CENT_USD, unit="USD", force="own figure", source=OWN)
TOTAL = Rule(
    check="cost of the plan",
    tolerance=CENT_USD,
    unit="USD",
    force="own figure",
    source="the lines of the bill",
)
INCOME = Rule(
    check="income",
    tolerance=CENT_USD,
    unit="USD",
    force="own figure",
    source="fees and bonus of the contracts",
)
BOUND = Rule(
    check="lower bound",
    tolerance=CENT_USD,
    unit="USD",
    force="own figure",
    source="a bound above the cost of a plan that exists is no bound",
)
GAP = Rule(check="gap", force="own figure", source="gap = (cost - bound) / cost")


def accounts_of(case: Case) -> dict[str, Account]:
    """Return the account of every contract."""
    return {contract.name: account(case, contract) for contract in case.operation.contracts}


def bill(case: Case, accounts: dict[str, Account]) -> tuple[CostLine, ...]:
    """Return every line of the bill, also those of 0 USD, each rounded to the cent."""
    rows = case.truck_nights
    had = tuple(accounts.values())
    return (
        _line("miles", [_miles_usd(case, row) for row in rows]),
        _line("truck-nights", [case.trucks[row.truck].cost_usd_per_night for row in rows]),
        _line("wages", [_wages_usd(case, row) for row in rows]),
        _line("late", [one.late_usd for one in had]),
        _line("short: lost fees", [one.lost_fees_usd for one in had]),
        _line("short: penalties", [one.short_usd for one in had]),
        _line("weak", [one.weak_usd for one in had]),
        _line("left in", [one.left_in_usd for one in had]),
        _line("bonus not earned", [one.bonus_missed_usd for one in had]),
    )


def check_cost(case: Case, plan: Plan, *, accounts: dict[str, Account]) -> tuple[Finding, ...]:
    """Return the findings on every sum of money in the plan, and on its bound and gap."""
    changes = (_line("changes", [changes_usd(case)]),) if ahead(case.operation) else ()
    own = (*bill(case, accounts), *changes)
    return (
        *NIGHT.tell(_night(case, row) for row in case.truck_nights),
        *LINE.tell(_lines(plan, own)),
        *TOTAL.tell(_totals(plan, own)),
        *INCOME.tell([_income(plan, accounts)]),
        *BOUND.tell(_bound(plan)),
        *GAP.tell([_gap(plan)]),
    )


def _line(name: str, parts: list[float]) -> CostLine:
    return CostLine.model_validate({"name": name, "usd": round(fsum(parts), 2)})


def _miles_usd(case: Case, row: TruckNight) -> float:
    return (
        sum(case.roads.miles(a.place, b.place) for a, b in legs(row))
        * case.trucks[row.truck].cost_usd_per_mile
    )


def _wages_usd(case: Case, row: TruckNight) -> float:
    truck = case.trucks[row.truck]
    driver = None if truck.hired else case.drivers.get(row.driver)
    hourly = truck.helpers * constant(case.operation, "helper_wage_usd_per_hour")
    hourly += 0.0 if driver is None else driver.wage_usd_per_hour
    return minutes(*duty_span(row)) / 60.0 * hourly


def _night(case: Case, row: TruckNight) -> Finding | None:
    true = fsum((_miles_usd(case, row), case.trucks[row.truck].cost_usd_per_night, _wages_usd(case, row)))
    return NIGHT.equal(row.id, measured=row.cost_usd, limit=round(true, 2))


def _lines(plan: Plan, true: tuple[CostLine, ...]) -> Iterator[Finding | None]:
    for line in true:
        told = [row.usd for row in plan.cost_lines if row.name == line.name]
        yield LINE.equal(line.name, measured=fsum(told), limit=line.usd)
        yield LINE.at_most(line.name, measured=len(told), limit=1, note="lines of this name")


def _totals(plan: Plan, true: tuple[CostLine, ...]) -> Iterator[Finding | None]:
    own = fsum(line.usd for line in true)
    told = fsum(row.usd for row in plan.cost_lines)
    yield TOTAL.equal("plan", measured=plan.cost_usd, limit=own, note="against the judge's own bill")
    yield TOTAL.equal("plan", measured=plan.cost_usd, limit=told, note="against the plan's own lines")


def _income(plan: Plan, accounts: dict[str, Account]) -> Finding | None:
    own = fsum(one.fee_usd + one.bonus_usd for one in accounts.values())
    return INCOME.equal("plan", measured=plan.income_usd, limit=round(own, 2))


def _bound(plan: Plan) -> Iterator[Finding | None]:
    yield BOUND.at_most("plan", measured=plan.lower_bound_usd, limit=plan.cost_usd)
    note = "the plan does not say which plans its bound holds for"
    yield BOUND.holds("plan", bool(plan.bound_covers.strip()), note=note)


def _gap(plan: Plan) -> Finding | None:
    gap = (plan.cost_usd - plan.lower_bound_usd) / plan.cost_usd if plan.cost_usd else 0.0
    return GAP.equal("plan", measured=plan.gap, limit=gap)
