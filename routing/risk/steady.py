"""A plan chosen for the seasons that may come, not for the average one.

A few candidates are planned: as the contracts stand, with slack kept at the end of every window, with lots stronger than the
average asks, and both. Each is then held against the contracts as they stand and run through the very same seasons; the one
whose seasons cost least on average is chosen, lost fees, penalties and hives left in counted. What is chosen is as good as its
candidates: there may be better ones.
"""

import datetime as dt
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from routing.bloom.window import contract_window
from routing.changes.after import after
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.offers import signed_only
from routing.inputs.operation import Constant, Operation
from routing.keepable.explain import unkept
from routing.nights.check import check_plan
from routing.nights.deliver import cost_lines, deliveries
from routing.nights.problem import read_problem
from routing.plan import Progress, make_plan
from routing.plan_record import Plan
from routing.record import Record
from routing.risk.record import Risk
from routing.risk.simulate import simulate

CHANGES = ("change_usd_per_colony", "change_usd_per_truck_night")
ASIDE_SHARE = 0.25
"""Of the chance that a lot is weaker than counted on, so much is left where lots are to be stronger."""


class Candidate(Record):
    """One plan that was tried."""

    what: str
    planned_usd: float
    """On the contracts as they stand, when all goes as planned."""
    expected_usd: float
    """Mean over the seasons."""
    error_usd: float
    """Half of that mean's 95 % interval."""
    kept_colonies: float
    """Share of the promised colonies in on time, strong and out in time."""
    chosen: bool


class Steady(Record):
    """The plan chosen, its risk, and what it was chosen from."""

    plan: Plan
    risk: Risk
    candidates: tuple[Candidate, ...]
    seconds: float


@dataclass(frozen=True)
class _Way:
    """How a candidate is planned."""

    what: str
    slack_nights: int = 0
    stronger: bool = False


WAYS = (
    _Way("as the contracts stand"), _Way("one night of slack", 1), _Way("two nights of slack", 2),
    _Way("stronger lots", 0, True), _Way("one night of slack and stronger lots", 1, True),
)  # fmt: skip


def steady_plan(
    operation: Operation,
    *,
    seconds: float = 180.0,
    seed: int = 0,
    seasons: int = 1000,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Steady:
    """Return the candidate whose seasons cost least.

    Parameters
    ----------
    operation
        What is had and owed; offers are left out.
    seconds
        Time for all candidates together. [s] > 0.
    seed
        Of the searches and of the seasons.
    seasons
        How many are simulated.
    progress
        Called with how far the candidate now planned is.
    stop
        Asked between steps; True ends the search, and what is planned by then is compared.

    Raises
    ------
    OperationError
        If a contract's dates contradict each other.
    """
    begun, true = time.monotonic(), signed_only(operation)
    asked = stop or (lambda: False)
    first: Plan | None = None
    tried: list[tuple[_Way, Plan, Risk]] = []
    for way in WAYS:
        given = _narrowed(true, way) if first is None else _begun_from(_narrowed(true, way), first)
        told = _noted(progress, way.what)
        plan = make_plan(given, seed=seed, seconds=seconds / len(WAYS), progress=told, stop=stop)
        first = first or plan
        plan = _as_it_stands(plan, true, bound_usd=first.lower_bound_usd)
        tried.append((way, plan, simulate(plan, seasons=seasons, seed=seed, levers=False)))
        if asked():
            break
    best = min(tried, key=lambda one: one[2].cost_usd)
    rows = tuple(
        Candidate(
            what=way.what, planned_usd=risk.planned_usd, expected_usd=risk.cost_usd, error_usd=risk.cost_error_usd,
            kept_colonies=risk.kept_colonies, chosen=way is best[0],
        )
        for way, _, risk in tried
    )  # fmt: skip
    risk = simulate(best[1], seasons=seasons, seed=seed)
    return Steady(plan=best[1], risk=risk, candidates=rows, seconds=round(time.monotonic() - begun, 3))


def _noted(progress: Callable[[Progress], None] | None, words: str) -> Callable[[Progress], None] | None:
    if progress is None:
        return None
    return lambda one: progress(replace(one, note=f"{words}: {one.note}"))


def _narrowed(operation: Operation, way: _Way) -> Operation:
    """Return the operation that a candidate is planned for."""
    contracts = tuple(_with_slack(operation, one, way.slack_nights) for one in operation.contracts)
    update: dict[str, object] = {"contracts": contracts}
    if way.stronger:
        sure = 1.0 - ASIDE_SHARE * (1.0 - constant(operation, "strength_confidence"))
        own = tuple(one for one in operation.constants if one.name != "strength_confidence")
        update["constants"] = (*own, Constant(name="strength_confidence", value=sure, source="lots stronger than asked"))
    return operation.model_copy(update=update)


def _with_slack(operation: Operation, contract: Contract, nights: int) -> Contract:
    """Return a contract whose windows end some nights sooner, never before they begin."""
    if not nights:
        return contract
    window, sooner = contract_window(operation, contract), dt.timedelta(days=nights)
    update: dict[str, object] = {"in_until": max(window.in_from, window.in_until - sooner)}
    if window.out_from and window.out_until:
        update["out_until"] = max(window.out_from, window.out_until - sooner)
    return contract.model_copy(update=update)


def _begun_from(operation: Operation, plan: Plan) -> Operation:
    """Return an operation whose search begins with a plan's truck-nights; changing them costs nothing."""
    own = tuple(one for one in operation.constants if one.name not in CHANGES)
    free = tuple(Constant(name=name, value=0.0, source="nothing is told yet") for name in CHANGES)
    rows = operation.arranged or after(plan, operation.first_night).arranged
    return operation.model_copy(update={"arranged": rows, "constants": (*own, *free)})


def _as_it_stands(plan: Plan, operation: Operation, *, bound_usd: float) -> Plan:
    """Return a candidate as a plan of the operation itself: its bill, what each contract gets, and what is not kept."""
    own = plan.model_copy(update={"operation": operation})
    # Told on the side only to have the truck-nights in the numbers of the search.
    nights = read_problem(after(own, operation.first_night)).told.nights
    problem = read_problem(operation)
    lines, got = cost_lines(problem, nights, plan.truck_nights), deliveries(problem, nights)
    cost_usd = round(sum(line.usd for line in lines), 2)
    bound = min(bound_usd, cost_usd)
    stated = own.model_copy(update={
        "cost_usd": cost_usd, "lower_bound_usd": bound, "gap": (cost_usd - bound) / cost_usd if cost_usd else 0.0,
        "cost_lines": lines, "deliveries": got, "unkept": unkept(problem, nights),
        "income_usd": round(sum(one.fee_usd + one.bonus_usd for one in got), 2), "findings": (),
    })  # fmt: skip
    judged = tuple(one for one in check_plan(stated) if one.status != "ok")
    kept = tuple(one for one in plan.findings if one.status == "unknown" and one not in judged)
    return stated.model_copy(update={"findings": (*kept, *judged)})
