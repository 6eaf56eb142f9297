"""Operation -> Season: solve, read the answer back, and say of each offer what the other choice would cost."""

import time
from collections.abc import Mapping
from math import isfinite

from routing.inputs.offers import signed_only, with_contracts
from routing.inputs.operation import Operation
from routing.season.assignment import LINES, CarryCost, Choice, Line, MoneyLine, Outcome, Season
from routing.season.carriage import Carriage
from routing.season.chains import chains_of
from routing.season.check import check_season
from routing.season.kinds import Stand
from routing.season.network import END, Network, build_network
from routing.season.solve import Solved, solve_season
from routing.strength.check import strength_findings

BOUND_COVERS = (
    "every season that moves whole pallets (or whole loose hives) from yards through any chain of blooms, on time, with "
    "the rest nights asked for, at these costs of carrying a hive"
)
GAP = 0.005
"""A proof is good enough there; asking for less costs time and changes no choice worth having."""
SHARE_FOR_FIRST, LEAST_S = 0.85, 0.5
AGAIN = (1.0, 2.0, 4.0)
"""Times the seconds given: a season of nothing at all, for lack of time, helps nobody."""


def plan_season(
    operation: Operation, *, seconds: float = 20.0, costs: tuple[CarryCost, ...] = (), cap: Mapping[str, int] | None = None
) -> Season:
    """Return the season that earns most: which hives serve which chain of blooms, which offers are taken.

    Parameters
    ----------
    operation
        What is had, owed and offered.
    seconds
        Time for the solver, all of its runs together; more is taken only while there is no season yet. > 0. [s]
    costs
        What carrying costs against the estimate, by contract; left out: the estimate.
    cap
        Most colonies that a contract can get, as tours found.

    Returns
    -------
    Season
        Chains, choices, the account line by line, profit, proven bound and gap.

    Raises
    ------
    OperationError
        If a contract's dates contradict each other.
    SolverError
        If the solver answers with neither a season nor a bound.
    """
    begun = time.monotonic()
    network = build_network(Carriage(operation, costs))
    solved = _first(network, seconds * SHARE_FOR_FIRST, cap=cap) or _nothing(network)
    season = _read(network, solved, costs)
    choices = tuple(_with_margin(network, season, one, cap, begun + seconds) for one in season.choices)
    season = season.model_copy(update={"choices": choices, "seconds": round(time.monotonic() - begun, 3)})
    told = [one for group in operation.hive_groups for one in strength_findings(operation, group)]
    judged = (*told, *check_season(season))
    return season.model_copy(update={"findings": tuple(one for one in judged if one.status != "ok")})


def _first(network: Network, seconds: float, *, cap: Mapping[str, int] | None) -> Solved | None:
    """Return the season that earns most; when none is found in the time, as long again is given, and twice as long."""
    for longer in AGAIN:
        solved = solve_season(network, seconds=seconds * longer, gap=GAP, cap=cap)
        if isinstance(solved, Solved):
            return solved
    return None


def _nothing(network: Network) -> Solved:
    """Return the season in which no hive moves, with no bound: what is left when time ends before the first answer."""
    units = []
    here = list(network.starts)
    for arc in network.arcs:
        stays = arc.night is None and arc.tail == here[arc.kind] and (arc.head == END or arc.head.supers == arc.tail.supers)
        if stays:
            here[arc.kind] = arc.head
        units.append(network.kinds[arc.kind].units if stays else 0)
    profit = sum(
        sum(arc.usd.values()) * count * network.kinds[arc.kind].hives for arc, count in zip(network.arcs, units, strict=True)
    )
    penalties = sum(s.contract.short_usd_per_colony * s.contract.colonies for s in network.stands.values() if s.contract.signed)
    return Solved(tuple(units), profit - penalties, float("inf"))


def _read(network: Network, solved: Solved, costs: tuple[CarryCost, ...]) -> Season:
    choices = tuple(_choice(network, stand, solved.units) for stand in network.stands.values())
    lines = _lines(network, solved.units, choices)
    profit = round(sum(line.usd for line in lines), 2)
    bound = max(round(solved.bound_usd, 2), profit) if isfinite(solved.bound_usd) else None
    gap = None if bound is None else (bound - profit) / abs(profit) if profit else 0.0
    return Season(
        profit_usd=profit, bound_usd=bound, gap=gap,
        bound_covers=BOUND_COVERS, lines=lines, choices=choices, chains=chains_of(network, solved.units), carry_costs=costs,
        seconds=0.0, findings=(), operation=network.operation,
    )  # fmt: skip


def _lines(network: Network, units: tuple[int, ...], choices: tuple[Choice, ...]) -> tuple[MoneyLine, ...]:
    usd: dict[Line, float] = dict.fromkeys(LINES, 0.0)
    for arc, count in zip(network.arcs, units, strict=True):
        for line, each in arc.usd.items():
            usd[line] += each * count * network.kinds[arc.kind].hives
    for choice in choices:
        stand = network.stands[choice.contract]
        short = max(choice.colonies - choice.delivered, 0) * stand.contract.short_usd_per_colony if choice.signed else 0.0
        usd["fees"] += choice.fee_usd
        usd["short: penalties"] -= short
        usd["weak"] -= choice.penalty_usd - short
    return tuple(MoneyLine(name=name, usd=round(amount, 2)) for name, amount in usd.items())


def _choice(network: Network, stand: Stand, units: tuple[int, ...]) -> Choice:
    one = stand.contract
    came = [
        (count * network.kinds[arc.kind].hives, arc)
        for arc, count in zip(network.arcs, units, strict=True) if count and arc.head.place == one.name
    ]  # fmt: skip
    delivered = sum(hives for hives, _ in came)
    frames = sum(hives * arc.frames for hives, arc in came)
    paid = delivered if one.over_delivery == "paid" else min(delivered, one.colonies)
    short = max(one.colonies - delivered, 0) * one.short_usd_per_colony if one.signed else 0.0
    weak = (one.weak_usd_per_frame or 0.0) * max(one.min_average_frames * delivered - frames, 0.0)
    return Choice(
        contract=one.name, crop=one.crop, signed=one.signed, outcome=_outcome(one.signed, one.colonies, delivered),
        colonies=one.colonies, delivered=delivered, average_frames=round(frames / delivered, 3) if delivered else 0.0,
        fee_usd=round(paid * one.fee_usd_per_colony, 2),
        bonus_usd=round(sum(hives * arc.usd.get("bonus", 0.0) for hives, arc in came), 2),
        penalty_usd=round(short + weak, 2), why=_no_way(stand) if not delivered else "",
    )  # fmt: skip


def _outcome(signed: bool, colonies: int, delivered: int) -> Outcome:
    if signed:
        return "kept" if delivered >= colonies else "short"
    return "taken" if delivered >= colonies else "taken in part" if delivered else "refused"


def _no_way(stand: Stand) -> str:
    if stand.nights_in is None:
        return "none of its nights in lies inside the season"
    if stand.window.out_from is not None and stand.nights_out is None:
        return "none of its nights out lies inside the season: hives could not be taken out"
    return ""


def _with_margin(network: Network, season: Season, choice: Choice, cap: Mapping[str, int] | None, until: float) -> Choice:
    """Return an offer's choice with what the other one would cost, when there is time to work it out."""
    left = until - time.monotonic()
    if choice.signed or left < LEAST_S:
        return choice
    taken = choice.outcome != "refused"
    rest = sum(not one.signed for one in season.choices)
    other = solve_season(network, seconds=max(left / rest, LEAST_S), gap=GAP, fixed={choice.contract: not taken}, cap=cap)
    if not isinstance(other, Solved):
        why = _cannot(network.stands[choice.contract], cap) if other == "cannot be" and not taken else ""
        return choice.model_copy(update={"why": choice.why or why})
    margin = season.profit_usd - other.profit_usd
    least = season.profit_usd - other.bound_usd
    proven = round(least, 2) if isfinite(least) else None
    update = {"margin_usd": round(margin, 2), "margin_least_usd": proven, "why": choice.why or _why(choice, margin)}
    return choice.model_copy(update=update)


def _cannot(stand: Stand, cap: Mapping[str, int] | None) -> str:
    least = stand.contract.least_colonies or stand.contract.colonies
    if stand.contract.name in (cap or {}):
        return f"the tours planned brought it {(cap or {})[stand.contract.name]} colonies, and it takes no fewer than {least}"
    return f"no season can bring it {least} colonies: not enough hives strong enough are free, or no truck gets there in time"


def _why(choice: Choice, margin_usd: float) -> str:
    if choice.outcome == "refused":
        short = max(margin_usd, 0.0) / choice.colonies
        return f"taking it would lose ${max(margin_usd, 0.0):,.0f}, about ${short:,.2f} for each colony of the offer"
    return f"without it the season earns ${max(margin_usd, 0.0):,.0f} less"


def without_refused(season: Season) -> Operation:
    """Return the operation that tours are to plan: signed contracts, and offers as far as they are taken.

    Hives that the season sends nowhere stay where they are. Without a season in the time, tours get all that is signed.
    """
    if season.bound_usd is None:
        return signed_only(season.operation)
    moved = {chain.group for chain in season.chains if len(chain.stays) > 1}
    outcome = {one.contract: one for one in season.choices}
    kept = tuple(
        one if one.signed else one.model_copy(update={"signed": True, "colonies": min(outcome[one.name].delivered, one.colonies)})
        for one in season.operation.contracts if outcome[one.name].outcome != "refused"
    )  # fmt: skip
    return with_contracts(season.operation, kept).model_copy(update={
        "hive_groups": tuple(
            one if one.name in moved else one.model_copy(update={"may_travel": False}) for one in season.operation.hive_groups
        ),
    })  # fmt: skip
