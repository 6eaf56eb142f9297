"""What would make the stock large enough: each offer is solved again with the change before it is made.

Only hives are counted here: an offer says that hives enough would be there, not that trucks would.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from routing.inputs.constants import constant
from routing.keepable.need import Need
from routing.keepable.solve import least_missing
from routing.keepable.supply import Stock, Together
from routing.keepable.words import MAY_HELP, colonies, frames, listed
from routing.nights.problem import Promise, UnitKind
from routing.strength.group import share_below

STEP_FRAMES = 0.5
STRONGEST_FRAMES = 20.0
"""Two deep boxes full of bees."""
MORE_UNITS = 12
"""Pallets beyond the fewest that are tried."""


def supply_offers(stock: Stock, promise: Promise) -> Iterator[str]:
    """Yield the least changes of stock or of terms with which the hives suffice for one contract."""
    need = stock.needs[promise.name]
    if _enough(stock, [need]):
        return
    yield from more_colonies(stock, [need])
    yield from _lower_terms(stock, promise)
    if need.average is not None and _enough(stock, [replace(need, average=None)]):
        yield f"a price for each frame under {frames(need.average)}, where no weak lot is taken now"
    yield from _whole_units(stock, need)
    if unknown := stock.not_opened():
        yield f"{MAY_HELP}: the hives of {listed(unknown)} opened, their frames of bees written down"


def together_offers(stock: Stock, shared: Together) -> Iterator[str]:
    """Yield the fewest more colonies with which the hives suffice for contracts that hold them at once."""
    for told in more_colonies(stock, [stock.needs[name] for name in shared.names]):
        yield f"{told}, for {listed(shared.names)} together"


def more_colonies(stock: Stock, needs: Sequence[Need]) -> Iterator[str]:
    """Yield the fewest more colonies, by whole pallets, and the least strength that they must have."""
    asked = [stock.problem.promises[one.contract].min_average for one in needs]
    each = _pallet_near(stock, min(asked))
    missing = least_missing(needs, stock.problem.kinds, strict=True).found
    start = math.ceil(missing / each)
    tried = range(max(start, 1), start + MORE_UNITS)
    fewest = next((n for n in tried if _with_more(stock, needs, (n, each, STRONGEST_FRAMES))), None)
    if not fewest:
        return
    floor = max(stock.contract(one.contract).min_colony_frames for one in needs)
    steps = math.ceil((STRONGEST_FRAMES - floor) / STEP_FRAMES)
    lowest = math.ceil(floor / STEP_FRAMES) * STEP_FRAMES
    strengths = [lowest + STEP_FRAMES * step for step in range(steps + 1)]
    least = next((f for f in strengths if _with_more(stock, needs, (fewest, each, f))), None)
    if least is not None:
        none_under = f", none of them under {frames(floor)}" if floor > 0 else ""
        yield f"{fewest * each} more colonies with an average of {frames(least)} or more{none_under}"


def _pallet_near(stock: Stock, average: float) -> int:
    """Return the hives on a pallet of the group nearest in strength to an average; 1 when there is none."""
    kinds = sorted(stock.problem.kinds, key=lambda one: (abs(one.frames - average), -one.hives))
    return kinds[0].hives if kinds else 1


def _with_more(stock: Stock, needs: Sequence[Need], more: tuple[int, int, float]) -> bool:
    """Tell whether the hives suffice with more units: (units, hives each, frames each)."""
    units, hives, strength = more
    kind = UnitKind(
        group="more", yard="", units=units, hives=hives, palletised=hives > 1, weight_lb=0.0, frames=strength
    )
    kinds = (*stock.problem.kinds, kind)
    wider = [replace(one, kinds=(*one.kinds, len(kinds) - 1)) for one in needs]
    return least_missing(wider, kinds, strict=True).found == 0


def _enough(stock: Stock, needs: Sequence[Need]) -> bool:
    return least_missing(needs, stock.problem.kinds, strict=True).found == 0


def _lower_terms(stock: Stock, promise: Promise) -> Iterator[str]:
    """Yield the least lowering of the average alone, of the floor alone, or, where neither helps, of both."""
    need, floor = stock.needs[promise.name], stock.contract(promise.name).min_colony_frames
    average = _highest_average(stock, need)
    if average is not None:
        yield f"a least average of {frames(average)} in place of {frames(promise.min_average)}"
    widened = list(_wider(stock, promise))
    alone = next((lower for lower, wider in widened if _enough(stock, [wider])), None)
    if alone is not None:
        yield f"a least strength of single colonies of {frames(alone)} in place of {frames(floor)}"
    if average is not None or alone is not None:
        return
    both = [(lower, found) for lower, wider in widened
            if (found := _highest_average(stock, wider)) is not None]  # fmt: skip
    if both:
        lower, found = max(both, key=lambda pair: (pair[0] + pair[1], pair[1]))
        asked = frames(promise.min_average)
        yield (
            f"a least average of {frames(found)} in place of {asked}, together with a least strength of "
            f"single colonies of {frames(lower)} in place of {frames(floor)}"
        )


def _highest_average(stock: Stock, need: Need) -> float | None:
    """Return the highest average under the one asked for, in half frames, with which the hives suffice."""
    if need.average is None:
        return None
    steps = [step * STEP_FRAMES for step in range(math.ceil(need.average / STEP_FRAMES) - 1, 0, -1)]
    if not steps or not _enough(stock, [replace(need, average=steps[-1])]):
        return None
    return next(step for step in steps if _enough(stock, [replace(need, average=step)]))


def _wider(stock: Stock, promise: Promise) -> Iterator[tuple[float, Need]]:
    """Yield lower floors, in half frames, each with the need that counts the groups it lets in."""
    operation, need = stock.problem.operation, stock.needs[promise.name]
    floor = stock.contract(promise.name).min_colony_frames
    groups = {one.name: one for one in operation.hive_groups}
    most, nights = constant(operation, "below_floor_share"), stock.reach.nights_in(promise)
    known = set(promise.kinds)
    for step in range(math.ceil(floor / STEP_FRAMES) - 1, 0, -1):
        lower = step * STEP_FRAMES
        kinds = tuple(
            index for index, kind in enumerate(stock.problem.kinds)
            if share_below(operation, groups[kind.group], lower) <= most
        )  # fmt: skip
        if set(kinds) > known:
            known = set(kinds)
            yield lower, replace(need, kinds=stock.reach.kinds(replace(promise, kinds=kinds), nights))


def _whole_units(stock: Stock, need: Need) -> Iterator[str]:
    """Yield a promise a few colonies smaller or larger that whole pallets keep, or the most that is kept."""
    largest = max((stock.problem.kinds[kind].hives for kind in need.kinds), default=1)
    near = [step for size in range(1, largest) for step in (-size, size)]
    kept = [need.colonies + step for step in near if need.colonies + step > 0
            and _enough(stock, [replace(need, colonies=need.colonies + step)])]  # fmt: skip
    if kept:
        told = sorted({max((one for one in kept if one < need.colonies), default=kept[0]),
                       min((one for one in kept if one > need.colonies), default=kept[0])})  # fmt: skip
        other = " or ".join(str(one) for one in told)
        why = ": whole pallets" if stock.hives(need.kinds) >= need.colonies else ""
        yield f"a promise of {other} colonies in place of {need.colonies}{why}"
        return
    most = need.colonies - least_missing([need], stock.problem.kinds, strict=True).found
    if most > 0 and _enough(stock, [replace(need, colonies=most)]):
        yield f"a promise of {colonies(most)} in place of {need.colonies}"
