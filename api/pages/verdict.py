"""What the first page of a plan says: how good it is, what is kept, what is not and why, what is yet to be done."""

import datetime as dt
from dataclasses import dataclass

from routing.finding import Finding
from routing.nights.tour import TruckNight
from routing.plan_record import Delivery, Plan, Unkept
from routing.sheets.checks import check_rows
from routing.sheets.summary import nothing_planned


@dataclass(frozen=True)
class NightRow:
    """One night of a plan with the trucks that go out."""

    night: dt.date
    truck_nights: tuple[TruckNight, ...]

    @property
    def hives(self) -> int:
        """Hives lifted in that night."""
        return sum(hives_moved(one) for one in self.truck_nights)


def hives_moved(truck_night: TruckNight) -> int:
    """Return the hives that a truck picks up in a night."""
    return sum(lot.hives for stop in truck_night.stops for lot in stop.picked_up)


def nights_of(plan: Plan) -> tuple[NightRow, ...]:
    """Return the nights of a plan in order, each with its truck-nights."""
    found: dict[dt.date, list[TruckNight]] = {}
    for one in sorted(plan.truck_nights, key=lambda one: one.night):
        found.setdefault(one.night, []).append(one)
    return tuple(NightRow(night, tuple(rows)) for night, rows in found.items())


def kept_contracts(plan: Plan) -> int:
    """Return how many of the contracts that a plan serves keep all that was promised; offers are in no plan."""
    unkept = {one.contract for one in plan.unkept}
    return sum(one.contract not in unkept for one in plan.deliveries)


@dataclass(frozen=True)
class Verdict:
    """The plan's first page."""

    plan: Plan

    @property
    def kept(self) -> int:
        """Contracts all of whose promises are kept."""
        return kept_contracts(self.plan)

    @property
    def could_save_usd(self) -> float:
        """What another plan could cost less, at the very most. [USD]"""
        return self.plan.cost_usd - self.plan.lower_bound_usd

    @property
    def bound_is_known(self) -> bool:
        """Whether there is a bound worth telling."""
        return self.plan.lower_bound_usd > 0 or self.plan.cost_usd == 0

    @property
    def empty(self) -> str:
        """Why nothing is planned; empty when something is."""
        return nothing_planned(self.plan)

    @property
    def unkept(self) -> tuple[Unkept, ...]:
        """Promises not kept; none are told of a plan that was stopped before it began."""
        return () if self.empty else self.plan.unkept

    @property
    def nights(self) -> tuple[NightRow, ...]:
        """Nights of the plan."""
        return nights_of(self.plan)

    @property
    def checks(self) -> dict[str, int]:
        """Checks counted by how they came out."""
        rows = check_rows(self.plan)
        return {status: sum(row.status == status for row in rows) for status in ("ok", "broken", "unknown")}

    @property
    def broken(self) -> tuple[Finding, ...]:
        """Every broken check of the plan, once."""
        found = [*self.plan.findings]
        found += [one for night in self.plan.truck_nights for one in night.findings]
        found += [one for load in self.plan.loads for one in load.findings]
        return tuple(dict.fromkeys(one for one in found if one.status == "broken"))

    def deliveries(self) -> tuple[tuple[int, Delivery, bool], ...]:
        """Deliveries with their contract's number, and whether all is kept; in the order of the season."""
        unkept = {one.contract for one in self.plan.unkept}
        numbers = {contract.name: number for number, contract in enumerate(self.plan.operation.contracts)}
        rows = sorted(self.plan.deliveries, key=lambda one: one.in_from)
        return tuple((numbers[one.contract], one, one.contract not in unkept) for one in rows)
