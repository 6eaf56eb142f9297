"""Inputs -> Plan: the rooms in order; the one loop between them (a truck-night that no deck carries) is in ``feedback``."""

import time
from collections.abc import Callable
from dataclasses import dataclass

from routing.bloom.check import window_findings
from routing.bloom.window import window_faults
from routing.errors import OperationError
from routing.feedback.loop import Ridden, that_ride
from routing.feedback.taken_out import told_why
from routing.finding import Finding, not_checked
from routing.inputs.faults import Fault
from routing.inputs.offers import signed_only
from routing.inputs.operation import Operation
from routing.keepable.explain import unkept
from routing.nights.check import check_plan
from routing.nights.deliver import cost_lines, deliveries
from routing.nights.draft import missing
from routing.nights.engine import Reached, run
from routing.nights.problem import Problem, read_problem
from routing.nights.schedule import windows
from routing.plan_record import Plan
from routing.readiness import readiness
from routing.roads.check import road_findings
from routing.roads.driven import driven_findings
from routing.strength.check import strength_findings

BOUND_COVERS = (
    "every plan that moves whole pallets as they stand (or whole loose hives) into an orchard, out of it, on to the "
    "next or back to a yard, whatever the shape of its tours and the nights it uses, at the lowest wage of an able driver"
)
CAUTIONS = (
    "Night driving: keep to the posted limits, rest before you are tired; the plan's hours are limits, not aims.",
    "Lifting: a full hive is heavier than one person should lift; use gear or two people.",
    "Stings: carry what your physician advises, work with veil and light, tell others where you are.",
    "Sprays: call the pesticide contact before the move; no hive goes in or stays while a label forbids it.",
    "Loads: weights are estimates until a scale says so; posted limits and State rules come before this plan.",
    "This plan defers to local codes and to licensed practice.",
)
SHARE_FOR_SEARCH = 0.8
LATE, GRACE_S = 1.1, 5.0
"""After so much of the time, and so many seconds, what cannot ride is no longer planned otherwise, but taken out. [s]"""


@dataclass(frozen=True)
class Progress:
    """How far planning is."""

    seconds: float
    cost_usd: float
    lower_bound_usd: float
    gap: float
    unkept_colonies: int
    note: str


def planning_faults(operation: Operation) -> tuple[Fault, ...]:
    """Return what only planning finds wrong: dates of a contract that its bloom rows contradict."""
    return window_faults(operation)


def make_plan(
    operation: Operation,
    *,
    seed: int = 0,
    seconds: float = 60.0,
    steps: int | None = None,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Plan:
    """Plan an operation.

    Parameters
    ----------
    operation
        What is had and owed.
    seed
        Seed of every random choice.
    seconds
        Time for the whole plan. [s] > 0.
    steps
        Search steps; with them time does not end the search, and the same steps give the same truck-nights.
    progress
        Called with how far planning is, after each step.
    stop
        Asked between steps; True ends the search with the best plan so far.

    Returns
    -------
    Plan
        The plan with its cost, bound, gap and every promise that it does not keep.

    Raises
    ------
    OperationError
        If dates of a contract contradict each other.
    """
    faults = planning_faults(operation)
    if faults:
        raise OperationError(faults)
    begun = time.monotonic()
    problem = read_problem(signed_only(operation))
    asked = stop or (lambda: False)

    def enough() -> bool:
        return asked() or (steps is None and time.monotonic() - begun > seconds * SHARE_FOR_SEARCH)

    def late() -> bool:
        return steps is None and time.monotonic() - begun > seconds * LATE + GRACE_S

    searched_s = seconds * SHARE_FOR_SEARCH
    reached = Reached((), 0.0, 0.0, 0, "")
    for reached in run(problem, seed=seed, stop=enough, steps=steps, seconds=searched_s):
        _tell(progress, problem, reached, begun)
    plan = _plan(problem, reached, that_ride(problem, reached.nights, seed=seed, late=late), seed=seed)
    plan = plan.model_copy(update={"stopped_early": asked(), "seconds": round(time.monotonic() - begun, 3)})
    judged = tuple(one for one in check_plan(plan) if one.status != "ok")
    return plan.model_copy(update={"findings": plan.findings + judged + _offers(operation)})


def _offers(operation: Operation) -> tuple[Finding, ...]:
    """Return what is said of contracts not signed: they are no promises, and nothing of them is planned."""
    note = "an offer, not signed: nothing of it is planned; the season says whether to take it, a quote at what fee"
    return tuple(
        not_checked("contract not signed", one.name, force="own figure", source="column signed of the contract", note=note)
        for one in operation.contracts if not one.signed
    )


def _plan(problem: Problem, reached: Reached, ridden: Ridden, *, seed: int) -> Plan:
    """Return the plan; the bound stays that of the tours, since a load that cannot ride only forbids plans."""
    nights, truck_nights = ridden.nights, ridden.truck_nights
    lines = cost_lines(problem, nights, truck_nights)
    got = deliveries(problem, nights)
    cost_usd = round(sum(line.usd for line in lines), 2)
    bound_usd = min(round(reached.bound_usd, 2), cost_usd)
    ready = readiness(problem.operation, truck_nights)
    return Plan(
        cost_usd=cost_usd, lower_bound_usd=bound_usd, gap=(cost_usd - bound_usd) / cost_usd if cost_usd else 0.0,
        bound_covers=BOUND_COVERS, unkept=told_why(unkept(problem, nights), ridden.out, ridden.lost),
        seconds=0.0, seed=seed, steps=reached.steps,
        stopped_early=False, income_usd=round(sum(one.fee_usd + one.bonus_usd for one in got), 2), cost_lines=lines,
        truck_nights=truck_nights, loads=ridden.loads, deliveries=got, tasks=ready.tasks, gear=ready.gear,
        windows=windows(problem, truck_nights), cautions=CAUTIONS,
        findings=(*_findings(problem), *driven_findings(problem.operation, truck_nights)),
        operation=problem.operation,
    )


def _findings(problem: Problem) -> tuple[Finding, ...]:
    operation = problem.operation
    found = list(road_findings(operation, problem.roads))
    for group in operation.hive_groups:
        found += strength_findings(operation, group)
    for contract in operation.contracts:
        found += window_findings(operation, contract)
    return tuple(one for one in found if one.status != "ok")


def _tell(progress: Callable[[Progress], None] | None, problem: Problem, reached: Reached, begun: float) -> None:
    if progress is None:
        return
    short = sum(missing(problem, name, reached.nights) for name in problem.promises)
    cost, bound = reached.cost_usd, reached.bound_usd
    progress(Progress(
        seconds=time.monotonic() - begun, cost_usd=round(cost, 2), lower_bound_usd=round(bound, 2),
        gap=(cost - bound) / cost if cost else 0.0, unkept_colonies=short, note=reached.note,
    ))
