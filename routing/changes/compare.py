"""Two plans side by side: what a driver, a grower and the purse would notice."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from typing import Literal

from routing.nights.tour import TruckNight
from routing.plan_record import Delivery, Plan
from routing.record import Record

Key = tuple[dt.date, str]


class NightChange(Record):
    """One truck-night that is not as it was."""

    night: dt.date
    truck: str
    what: Literal["called off", "new", "other stops or lots", "other driver", "other hours"]
    words: str


class ContractChange(Record):
    """One contract that is served otherwise than before."""

    contract: str
    delivered_before: int
    delivered: int
    words: str


class CostChange(Record):
    """One line of the bill, before and now. [USD]"""

    name: str
    before_usd: float
    usd: float


class Comparison(Record):
    """What a new plan does otherwise than an old one."""

    cost_before_usd: float
    cost_usd: float
    bound_before_usd: float
    bound_usd: float
    hives_moved_otherwise: int
    """Hives that the old plan set down somewhere on a night and the new one does not."""
    nights: tuple[NightChange, ...]
    contracts: tuple[ContractChange, ...]
    costs: tuple[CostChange, ...]


def compare(before: Plan, now: Plan) -> Comparison:
    """Return what a new plan does otherwise than an old one.

    Parameters
    ----------
    before, now
        Two plans of one operation, or of one that has changed since.
    """
    return Comparison(
        cost_before_usd=before.cost_usd, cost_usd=now.cost_usd,
        bound_before_usd=before.lower_bound_usd, bound_usd=now.lower_bound_usd,
        hives_moved_otherwise=(_set_down(before) - _set_down(now)).total(),
        nights=tuple(_nights(before, now)), contracts=tuple(_contracts(before, now)), costs=_costs(before, now),
    )


def _set_down(plan: Plan) -> Counter[tuple[dt.date, str, str]]:
    total: Counter[tuple[dt.date, str, str]] = Counter()
    for one in plan.truck_nights:
        for stop in one.stops:
            for lot in stop.set_down:
                total[one.night, lot.origin, lot.destination] += lot.hives
    return total


def _nights(before: Plan, now: Plan) -> Iterator[NightChange]:
    was = {(one.night, one.truck): one for one in before.truck_nights}
    new = {(one.night, one.truck): one for one in now.truck_nights}
    for key in sorted({*was, *new}):
        found = _night(was.get(key), new.get(key))
        if found is not None:
            yield NightChange.model_validate({"night": key[0], "truck": key[1], "what": found[0], "words": found[1]})


def _night(was: TruckNight | None, new: TruckNight | None) -> tuple[str, str] | None:
    if was is None or new is None:
        return ("new", _route(new)) if was is None and new is not None else ("called off", _route(was) if was else "")
    if _work(was) != _work(new):
        return "other stops or lots", f"{_route(was)} becomes {_route(new)}"
    if was.driver != new.driver:
        return "other driver", f"{new.driver} drives, not {was.driver}"
    shift_min = round((new.stops[0].leave - was.stops[0].leave).total_seconds() / 60.0)
    if shift_min:
        return "other hours", f"leaves {abs(shift_min)} min {'later' if shift_min > 0 else 'earlier'}"
    return None


def _work(one: TruckNight) -> list[tuple[object, ...]]:
    lifted = ((stop.place, stop.picked_up, stop.set_down) for stop in one.stops if stop.picked_up or stop.set_down)
    return [(place, *(sorted((lot.group, lot.hives) for lot in lots) for lots in (on, off))) for place, on, off in lifted]


def _route(one: TruckNight) -> str:
    parts = []
    for stop in one.stops:
        on, off = sum(lot.hives for lot in stop.picked_up), sum(lot.hives for lot in stop.set_down)
        if on or off:
            parts.append(stop.place + (f" -{off}" if off else "") + (f" +{on}" if on else ""))
    return ", ".join(parts)


def _contracts(before: Plan, now: Plan) -> Iterator[ContractChange]:
    was = {one.contract: one for one in before.deliveries}
    new = {one.contract: one for one in now.deliveries}
    for name in dict.fromkeys((*was, *new)):
        old_words, new_words = _served(was.get(name)), _served(new.get(name))
        if old_words != new_words:
            yield ContractChange(
                contract=name, delivered_before=was[name].delivered if name in was else 0,
                delivered=new[name].delivered if name in new else 0, words=f"{old_words}; now {new_words}",
            )


def _served(one: Delivery | None) -> str:
    if one is None:
        return "not in the plan"
    if not one.delivered:
        return f"none of {one.promised} colonies"
    words = f"{one.delivered} of {one.promised} colonies, in {_span(one.first_in, one.last_in)}"
    return words + (f", out {_span(one.first_out, one.last_out)}" if one.first_out else "")


def _span(first: dt.date | None, last: dt.date | None) -> str:
    return str(first) if first == last else f"{first} to {last}"


def _costs(before: Plan, now: Plan) -> tuple[CostChange, ...]:
    was = {line.name: line.usd for line in before.cost_lines}
    new = {line.name: line.usd for line in now.cost_lines}
    return tuple(
        CostChange(name=name, before_usd=was.get(name, 0.0), usd=new.get(name, 0.0))
        for name in dict.fromkeys((*was, *new)) if was.get(name, 0.0) or new.get(name, 0.0)
    )
