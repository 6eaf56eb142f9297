"""Plan -> Risk: the plan in a thousand seasons, and what would help most in the very same seasons."""

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.plan_record import Delivery, Plan
from routing.risk.account import Outcome, cost_of, mean_with_error, outcome, promise_risk, share_of
from routing.risk.moves import Run, runs_of
from routing.risk.record import Lever, Risk
from routing.risk.repair import Driven, drive
from routing.risk.seasons import Flags, Floats, Seasons, draw_seasons
from routing.risk.strong import LotSeen, lot_of
from routing.risk.terms import NEVER, Nights, nights_of, shift_days

SPARE_COLONIES = 10
RULES = (
    "A contract whose hives come by percent bloom moves with the bloom of the season, in and out; nights agreed stand (unless "
    "agreed_dates_follow_bloom says otherwise).",
    "The bloom is seen coming: a truck-night may be moved up to 12 nights either way, as the rule of repair says.",
    "Rule of repair: truck-nights in the plan's order; one whose night is lost goes on the free night and able truck that "
    "serves most hives in time, then most hives late but taken, then the planned truck, then the nearest night. "
    "What that night does not serve is tried once more by itself, then only taken out to a yard; else it is lost.",
    "An able truck gets into every stop and holds and carries at least as much; a night given to another is not free.",
    "A warm evening shifts the whole night later; a truck-night whose last stop would then be too late is moved.",
    "A lot under its average leaves its weakest hives at home until the average holds, or pays where the contract says so.",
    "Strength is drawn about the inspection, with the growth that the plan counts on.",
)


@dataclass(frozen=True)
class Case:
    """A plan in its seasons."""

    plan: Plan
    runs: tuple[Run, ...]
    seasons: Seasons
    nights: dict[str, Nights]
    lots: dict[str, LotSeen]

    @property
    def operation(self) -> Operation:
        """The operation behind it."""
        return self.plan.operation


@dataclass(frozen=True)
class Tried:
    """A plan run through its seasons."""

    driven: Driven
    outcomes: dict[str, Outcome]
    cost: Floats


def simulate(
    plan: Plan, *, seasons: int = 1000, seed: int = 0, levers: bool = True, progress: Callable[[str], None] | None = None,
) -> Risk:  # fmt: skip
    """Return how a plan fares in seasons drawn by chance.

    Parameters
    ----------
    plan
        Any plan.
    seasons
        How many. >= 1.
    seed
        Same seed, same seasons: two plans of one operation may be held against each other.
    levers
        False: what would help is left out.
    progress
        Told what is being worked on.

    Returns
    -------
    Risk
        Shares with the intervals that so many seasons leave open, the spread of the cost, and the levers.

    Raises
    ------
    ValueError
        If ``seasons`` is less than 1.
    """
    if seasons < 1:
        raise ValueError(f"{seasons} seasons cannot be simulated; at least 1 can.")
    begun = time.monotonic()
    case = case_of(plan, seasons, seed=seed)
    base = run_through(case)
    found = tuple(_levers(case, base, progress or (lambda text: None))) if levers else ()
    return _risk(case, base, seed=seed).model_copy(update={
        "levers": tuple(sorted(found, key=lambda one: (-one.saves_usd, -one.kept_more))),
        "seconds": round(time.monotonic() - begun, 3),
    })  # fmt: skip


def case_of(plan: Plan, seasons: int, *, seed: int) -> Case:
    """Return a plan with its seasons drawn."""
    operation = plan.operation
    drawn = draw_seasons(operation, seasons, seed=seed)
    nights = {
        one.name: nights_of(operation, one, shift_days(operation, one, drawn.normal)) for one in operation.contracts
    }
    lots = {row.contract: lot_of(operation, row, drawn) for row in plan.deliveries}
    return Case(plan, runs_of(plan), drawn, nights, lots)


def run_through(case: Case, *, wider: str = "", spared: str = "", spare_for: str = "") -> Tried:
    """Return a plan run through its seasons, with at most one thing changed for one contract.

    Parameters
    ----------
    wider
        Contract with one more night on either end.
    spared
        Contract with ten more colonies at hand.
    spare_for
        Contract with a spare truck-night.
    """
    nights = {name: one.wider(1) if name == wider else one for name, one in case.nights.items()}
    driven = drive(case.operation, case.runs, case.seasons, nights=nights, spare_for=spare_for)
    outcomes = {
        one.name: outcome(
            case.operation, one, driven, lot=case.lots[one.name], nights=nights[one.name],
            spare=SPARE_COLONIES if one.name == spared else 0,
        )
        for one in case.operation.contracts if one.name in case.lots
    }  # fmt: skip
    return Tried(driven, outcomes, cost_of(driven, outcomes))


def _rows(case: Case) -> list[tuple[Contract, Delivery]]:
    rows = {row.contract: row for row in case.plan.deliveries}
    return [(one, rows[one.name]) for one in case.operation.contracts if one.name in rows]


def _risk(case: Case, base: Tried, *, seed: int) -> Risk:
    rows = _rows(case)
    count = case.seasons.count
    every: Flags = np.ones(count, dtype=np.bool_)
    for one in base.outcomes.values():
        every = every & one.kept
    promised = sum(contract.colonies for contract, _ in rows)
    good = sum((one.good for one in base.outcomes.values()), np.zeros(count))
    mean, error = mean_with_error(base.cost)
    low, middle, high = (float(one) for one in np.quantile(base.cost, (0.05, 0.5, 0.95)))
    went = base.driven.night != NEVER
    return Risk(
        seasons=count, seed=seed, all_kept=share_of(every), kept_colonies=float(good.mean()) / promised if promised else 1.0,
        promises=tuple(promise_risk(contract, row, base.outcomes[contract.name]) for contract, row in rows),
        cost_usd=round(mean, 2), cost_low_usd=round(low, 2), cost_median_usd=round(middle, 2), cost_high_usd=round(high, 2),
        cost_error_usd=round(error, 2), planned_usd=_planned_usd(case.plan),
        moved_truck_nights=round(float(base.driven.moved.sum()) / count, 3),
        lost_truck_nights=round(float((~went).sum()) / count, 3), levers=(), rules=_rules(case.operation), seconds=0.0,
    )  # fmt: skip


def _planned_usd(plan: Plan) -> float:
    """Return the plan's cost as the simulation counts it: without bonus not earned, or what changes cost."""
    return round(sum(line.usd for line in plan.cost_lines if line.name not in ("bonus not earned", "changes")), 2)


def _rules(operation: Operation) -> tuple[str, ...]:
    names = (
        "truck_out_share", "truck_out_nights", "driver_sick_share", "driver_sick_nights", "warm_night_share",
        "warm_night_delay_min", "growth_counted_share", "agreed_dates_follow_bloom",
    )  # fmt: skip
    return (*RULES, "Figures: " + ", ".join(f"{name} {constant(operation, name):g}" for name in names) + ".")


def _levers(case: Case, base: Tried, progress: Callable[[str], None]) -> list[Lever]:
    found = []
    for contract, _ in _rows(case):
        name = contract.name
        if bool(base.outcomes[name].kept.all()):
            continue
        progress(f"what would help {name}")
        tries = (
            ("one more night on either end", run_through(case, wider=name)),
            ("ten more colonies", run_through(case, spared=name)),
            ("a spare truck-night", run_through(case, spare_for=name)),
        )  # fmt: skip
        found += [_lever(what, name, base, tried) for what, tried in tries]
    return [one for one in found if one.saves_usd > 0.005 or one.kept_more > 0.0]


def _lever(what: str, name: str, base: Tried, tried: Tried) -> Lever:
    kept, kept_error = mean_with_error(tried.outcomes[name].kept.astype(float) - base.outcomes[name].kept.astype(float))
    saves, saves_error = mean_with_error(base.cost - tried.cost)
    return Lever.model_validate({
        "what": what, "contract": name, "kept_more": kept, "kept_low": kept - kept_error, "kept_high": kept + kept_error,
        "saves_usd": round(saves, 2), "saves_low_usd": round(saves - saves_error, 2),
        "saves_high_usd": round(saves + saves_error, 2),
    })  # fmt: skip
