"""Operation and contract -> Quote: two proven plans, with and without, and their difference.

The plan with the contract forgets its fee and takes a large sum for each colony missing, so that it serves it in full
where any plan can. At a fee F the contract brings F x colonies more and costs the difference D of the two plans; it is
worth taking from F = D / colonies on. Each plan's true best lies between its bound and its cost, so D lies between
(bound with - cost without) and (cost with - bound without): that is the interval told.

Both plans hold the signed contracts that have hives standing on some night on which this one has too. The others share
neither its hives nor its nights; only the yards that hives come from and go to may differ, and that is left out.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from routing.bloom.window import contract_window
from routing.changes.after import after
from routing.errors import OperationError
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.offers import with_contracts
from routing.inputs.operation import Constant, Operation
from routing.plan import Progress, make_plan
from routing.plan_record import Delivery, Plan
from routing.quote.record import Displaced, Quote, Use, Verdict

FORCED_USD = 2000.0
"""For each colony missing, in the plan with: more than any rental fee and what one colony can displace."""
FIRST, SECOND, THIRD = 0.3, 0.7, 0.9
"""Share of the time left for each plan: without it; with it, begun from there; without it once more, begun from the plan
with it, so that neither has luck that the other has not. Loads and figures take longer than the search is given; how much
longer, the plan before tells."""
CLOSED = 0.01
"""A gap under which looking once more changes little."""
LEAST_S = 1.0
"""A search shorter than this finds nothing."""
CHANGES = ("change_usd_per_colony", "change_usd_per_truck_night")


def quote(
    operation: Operation,
    contract: str,
    *,
    seconds: float = 30.0,
    seed: int = 0,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    earlier: Plan | None = None,
) -> Quote:
    """Return the least fee per colony at which a contract leaves the beekeeper no worse off.

    Parameters
    ----------
    operation
        What is had and owed, the contract among its contracts, signed or not. Other offers are left out.
    contract
        Its name.
    seconds
        Time for both plans together. [s] > 0.
    seed
        Seed of both searches.
    progress
        Called with how far the plan now made is.
    stop
        Asked between steps; True ends both searches with the best so far.
    earlier
        A plan of the signed contracts, if there is one: the search without begins with it.

    Raises
    ------
    OperationError
        If there is no contract of that name, or dates contradict each other.
    """
    begun = time.monotonic()
    asked, signed = _asked(operation, contract)
    kept = [one for one in signed if one.name != asked.name and _at_once(operation, one, asked)]
    plain = with_contracts(operation, kept)
    if earlier is not None:
        plain = with_contracts(_begun_from(operation, earlier), kept)
    plan = partial(make_plan, seed=seed, stop=stop)
    first = plan(plain, seconds=seconds * FIRST, progress=_noted(progress, "without it"))
    longer = max(first.seconds / (seconds * FIRST), 1.0)

    def left(share: float) -> float:
        return max(seconds - (time.monotonic() - begun), 0.0) * share / longer

    forced = asked.model_copy(update={"signed": True, "fee_usd_per_colony": 0.0, "short_usd_per_colony": FORCED_USD})
    order = [forced if one.name == asked.name else one for one in operation.contracts if one.name == asked.name or one in kept]
    both = _begun_from(with_contracts(operation, order), first)
    second = plan(both, seconds=max(left(SECOND), LEAST_S), progress=_noted(progress, "with it"))
    if first.gap > CLOSED and not first.stopped_early and left(THIRD) > LEAST_S:
        other = with_contracts(_begun_from(operation, second), kept)
        third = plan(other, seconds=left(THIRD), progress=_noted(progress, "without it, once more"))
        first = _better(first, third)
    told = _quote(asked, _Pair(first, second))
    gone = tuple(one.name for one in operation.contracts if not one.signed and one.name != asked.name)
    considered = tuple(one.name for one in kept)
    seconds_used = round(time.monotonic() - begun, 3)
    return told.model_copy(update={"seconds": seconds_used, "left_out": gone, "considered": considered})


@dataclass(frozen=True)
class _Pair:
    """The two plans."""

    without: Plan
    within: Plan


def _asked(operation: Operation, name: str) -> tuple[Contract, list[Contract]]:
    names = [one.name for one in operation.contracts]
    if name not in names:
        allowed = with_nearest("the name of a contract or offer", name, names)
        raise OperationError((Fault(file=operation.name, path="contract", found=shown(name), allowed=allowed),))
    return operation.contracts[names.index(name)], [one for one in operation.contracts if one.signed]


def _at_once(operation: Operation, one: Contract, other: Contract) -> bool:
    """Tell whether two contracts may hold hives on the same night."""
    spans = []
    for contract in (one, other):
        window = contract_window(operation, contract)
        spans.append((window.in_from, max(window.late_until, window.out_until or operation.last_night)))
    return spans[0][0] <= spans[1][1] and spans[1][0] <= spans[0][1]


def _better(one: Plan, other: Plan) -> Plan:
    """Return the cheaper of two plans of the same contracts, with the higher of their bounds."""
    best = min(one, other, key=lambda plan: plan.cost_usd)
    return best.model_copy(update={"lower_bound_usd": min(max(one.lower_bound_usd, other.lower_bound_usd), best.cost_usd)})


def _noted(progress: Callable[[Progress], None] | None, word: str) -> Callable[[Progress], None] | None:
    if progress is None:
        return None
    return lambda one: progress(replace(one, note=f"{word}: {one.note}"))


def _begun_from(operation: Operation, plan: Plan) -> Operation:
    """Return an operation whose search begins with a plan's truck-nights; changing them costs nothing."""
    own = tuple(one for one in operation.constants if one.name not in CHANGES)
    free = tuple(Constant(name=name, value=0.0, source="nothing is told yet") for name in CHANGES)
    told = after(plan, operation.first_night).arranged if not operation.arranged else operation.arranged
    return operation.model_copy(update={"arranged": told, "constants": (*own, *free)})


def _quote(asked: Contract, pair: _Pair) -> Quote:
    row = next(one for one in pair.within.deliveries if one.contract == asked.name)
    missing = max(asked.colonies - row.delivered, 0)
    forced = missing * (FORCED_USD - asked.short_usd_per_colony)
    # A plan's cost counts bonus not earned; the beekeeper counts bonus earned. The two differ by the most there is.
    span = max(asked.bonus_up_to_frames - asked.min_average_frames, 0.0) * asked.bonus_usd_per_frame
    most = span * row.delivered
    cost, bound = pair.within.cost_usd - forced, pair.within.lower_bound_usd - forced
    paid = min(row.delivered, asked.colonies)
    without = pair.without
    spread = (cost - without.cost_usd, bound - without.cost_usd, cost - without.lower_bound_usd)
    fee, low, high = (round((one - most) / paid, 2) if paid else 0.0 for one in spread)
    return Quote(
        contract=asked.name, colonies=asked.colonies, delivered=row.delivered, fee_usd_per_colony=fee,
        fee_low_usd_per_colony=low, fee_high_usd_per_colony=high, asked_usd_per_colony=asked.fee_usd_per_colony,
        verdict=_verdict(asked.fee_usd_per_colony, (low, high), delivered=row.delivered, colonies=asked.colonies),
        cost_without_usd=pair.without.cost_usd, bound_without_usd=pair.without.lower_bound_usd,
        cost_with_usd=round(cost, 2), bound_with_usd=round(bound, 2), own_terms_usd=_own_usd(asked, pair.within, row),
        bonus_usd=row.bonus_usd, displaced=_displaced(asked.name, pair), uses=_uses(asked.name, pair.within),
        truck_nights_more=len(pair.within.truck_nights) - len(pair.without.truck_nights), considered=(), left_out=(),
        seconds=0.0,
        stopped_early=pair.without.stopped_early or pair.within.stopped_early,
    )  # fmt: skip


def _verdict(fee: float, span: tuple[float, float], *, delivered: int, colonies: int) -> Verdict:
    if delivered < colonies:
        return "cannot be served"
    if fee >= span[1]:
        return "worth taking"
    return "not worth taking" if fee < span[0] else "within the gap of the two plans"


def _own_usd(asked: Contract, plan: Plan, row: Delivery) -> float:
    missing = max(asked.colonies - row.delivered, 0)
    own = sum(one.cost_usd for one in plan.unkept if one.contract == asked.name and one.kind != "short")
    return round(own + missing * asked.short_usd_per_colony, 2)


def _displaced(name: str, pair: _Pair) -> tuple[Displaced, ...]:
    """Return what other promises lose: unkept with the contract, less unkept without it."""
    before, then = ({(one.contract, one.kind): one for one in plan.unkept} for plan in (pair.without, pair.within))
    rows = []
    for key in dict.fromkeys((*then, *before)):
        now, was = then.get(key), before.get(key)
        colonies = (now.colonies if now else 0) - (was.colonies if was else 0)
        usd = round((now.cost_usd if now else 0.0) - (was.cost_usd if was else 0.0), 2)
        if key[0] != name and (colonies or usd):
            rows.append(Displaced(contract=key[0], kind=key[1], colonies=colonies, usd=usd))
    return tuple(rows)


def _uses(name: str, plan: Plan) -> tuple[Use, ...]:
    found = []
    orchards = {one.name for one in plan.operation.contracts}
    for one in plan.truck_nights:
        ins = sum(lot.hives for stop in one.stops if stop.place == name for lot in stop.set_down)
        outs = sum(lot.hives for stop in one.stops if stop.place == name for lot in stop.picked_up)
        if ins or outs:
            also = dict.fromkeys(stop.place for stop in one.stops if stop.place in orchards - {name})
            found.append(Use(night=one.night, truck=one.truck, hives_in=ins, hives_out=outs, also=tuple(also)))
    return tuple(found)
