"""Colonies missing: why, whether any plan could bring them, and what would make the promise keepable."""

from collections.abc import Iterator, Mapping

from routing.keepable.access import cannot_carry, no_night
from routing.keepable.kept import Kept
from routing.keepable.offers_access import access_offers, longer_window, travel_offers
from routing.keepable.offers_supply import supply_offers, together_offers
from routing.keepable.reach import nearest
from routing.keepable.supply import Stock, Together, together, why_missing, why_together, wish
from routing.keepable.words import MAY_HELP, NOT_PROVEN, colonies, more_than, nights_span
from routing.nights.problem import Promise
from routing.plan_record import Unkept


def short_row(
    stock: Stock, promise: Promise, *, missing: int, drafted: Mapping[str, Kept] | None = None
) -> Unkept:
    """Return the row of one contract's missing colonies; ``drafted`` is what the draft does by each."""
    least = stock.least(stock.needs[promise.name])
    proven = least >= missing or stock.cannot_leave(promise)
    shared = () if proven else together(stock, promise.name)
    found = _found(stock, promise, missing, shared=shared, drafted=drafted or {})
    reason = _proven(stock, promise, least) if proven else found
    remedies = _offers(stock, promise, least) if least or proven else ()
    if not proven:
        remedies = (*remedies, *(told for one in shared for told in together_offers(stock, one)))
        remedies = (*remedies, *may_help(stock, promise, drafted or {}))
    return Unkept(
        contract=promise.name, kind="short", colonies=missing, cost_usd=round(missing * promise.usd_short, 2),
        reason=reason, remedies=tuple(dict.fromkeys(remedies)), proven=proven,
    )  # fmt: skip


def why_stuck(stock: Stock, promise: Promise) -> str:
    """Return why nothing can be taken out of an orchard in time."""
    first, last = promise.out or (1, 0)
    night = no_night(stock.reach, promise.name, first, last)
    if night is not None:
        return night
    kind = nearest(stock.problem, promise.name, stock.needs[promise.name].kinds)[0]
    way = (promise.name, stock.problem.kinds[kind].yard)
    return cannot_carry(stock.reach, kind, way, stock.reach.nights_out(promise))


def _proven(stock: Stock, promise: Promise, least: int) -> str:
    asked = wish(stock, promise)
    if least < promise.colonies and stock.cannot_leave(promise):
        return (f"{asked}; hives brought there could not be taken out in time: {why_stuck(stock, promise)}. "
                "No plan can both bring colonies and take them out in time.")  # fmt: skip
    limit = more_than(promise.colonies - least)
    return f"{asked}; {why_missing(stock, promise)}. No plan can deliver {limit}."


def _found(
    stock: Stock, promise: Promise, missing: int, *, shared: tuple[Together, ...], drafted: Mapping[str, Kept]
) -> str:  # fmt: skip
    least = stock.least(stock.needs[promise.name])
    told = [wish(stock, promise)]
    if least:
        told[0] += f"; {why_missing(stock, promise)}"
        told.append(f"At least {least} must be missing whatever the plan")
    for one in shared:
        told.append(why_together(stock, one))
        here = sum(drafted[name].missing for name in one.names if name in drafted)
        among = f", and no more are in this plan: {missing} of them here" if here == one.missing else ""
        told.append(f"Whatever the plan, at least {one.missing} must be missing among them{among}")
    when = nights_span(stock.problem, promise.in_first, promise.late_last)
    others = "the other " if least else ""
    rest = colonies(missing - least)
    told.append(f"No plan was found that brings {others}{rest} on the nights of {when} {NOT_PROVEN}")
    return ". ".join(told) + "."


def _offers(stock: Stock, promise: Promise, least: int) -> tuple[str, ...]:
    operation = stock.problem.operation
    need = stock.needs[promise.name]
    hindered = len(need.kinds) < len(promise.kinds) or stock.cannot_leave(promise)
    no_way_in = no_night(stock.reach, promise.name, promise.in_first, promise.late_last) is not None
    found: list[str] = []
    if hindered or no_way_in:
        found += access_offers(operation, promise.name)
    if least and not no_way_in and (need.kinds or not promise.kinds):
        found += [*supply_offers(stock, promise), *travel_offers(operation, promise.name)]
    return tuple(found)


def may_help(stock: Stock, promise: Promise, drafted: Mapping[str, Kept]) -> Iterator[str]:
    """Yield what may help where nothing is proven: more truck-nights, a window two nights longer."""
    if promise.name not in stock.problem.sites:
        return
    first, last = promise.in_first, promise.late_last
    nights = next((one.nights for one in drafted.values()), ())
    planned = sum(first <= one.night <= last for one in nights)
    when = nights_span(stock.problem, first, last)
    yield f"{MAY_HELP}: one more truck-night on {when}, beside the {planned} planned on these nights"
    for told in longer_window(stock.problem.operation, promise.name):
        yield f"{MAY_HELP}: {told}"
