"""Checks of the headboard: only one that is high and strong enough lets a load stand against it with fewer tie-downs."""

from collections.abc import Sequence

from routing.finding import Finding, at_least, not_checked
from routing.limits import limit
from routing.loads.load import Load, Placement
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig

MOST_IN = 96.0
"""A headboard of this height is higher than any that is asked for."""


def blocks(rig: Rig, units: Sequence[Placement]) -> bool:
    """Tell whether a load may be counted as standing against a headboard: one that is known to be high and strong enough.

    Of one whose height or strength is not in the tables nothing is known: the load needs its tie-downs as without it.
    """
    truck = rig.truck
    if not truck.headboard or truck.headboard_height_in is None or truck.headboard_holds_lb is None:
        return False
    return truck.headboard_height_in >= _asked_in(units) and truck.headboard_holds_lb >= _asked_lb(rig, units)


def should_it_hold(rig: Rig) -> Rig | None:
    """Return the rig with what is not known of its headboard taken as good; None when nothing is unknown."""
    truck = rig.truck
    unknown = {
        name: good for name, good in (("headboard_height_in", MOST_IN), ("headboard_holds_lb", truck.payload_lb))
        if getattr(truck, name) is None
    }  # fmt: skip
    if not truck.headboard or not unknown:
        return None
    return rig.model_copy(update={"truck": truck.model_copy(update=unknown)})


def _asked_in(units: Sequence[Placement]) -> float:
    return min(limit("headboard_height_in").value, max((unit.height_in for unit in units), default=0.0))


def _asked_lb(rig: Rig, units: Sequence[Placement]) -> float:
    height_in = rig.truck.headboard_height_in
    share = limit(f"headboard_{_height_word(height_in) if height_in is not None else 'low'}_holds_share").value
    return share * max((sum(unit.weight_high_lb for unit in riding) for riding in stretches_of(units)), default=0.0)


def headboard(load: Load, rig: Rig, subject: str) -> list[Finding]:
    """Return the findings on the headboard; none when the truck has none: then its tie-downs are counted unblocked."""
    truck = rig.truck
    if not truck.headboard:
        return []
    lowest = limit("headboard_height_in")
    about = {"force": lowest.force, "source": lowest.source}
    if truck.headboard_height_in is None or truck.headboard_holds_lb is None:
        note = "its height or what it holds is not in the table of trucks: tie-downs are counted as without it"
        return [not_checked("headboard, height and strength", subject, force=lowest.force, source=lowest.source, note=note)]
    share = limit(f"headboard_{_height_word(truck.headboard_height_in)}_holds_share")
    return [
        at_least("height of the headboard", subject, measured=truck.headboard_height_in,
                 limit=_asked_in(load.placements), unit="in", note=lowest.where, **about),
        at_least("what the headboard holds forward", subject, measured=truck.headboard_holds_lb,
                 limit=_asked_lb(rig, load.placements), unit="lb", force=share.force,
                 source=f"{share.source}, {share.status}", note=share.where),
    ]  # fmt: skip


def _height_word(height_in: float) -> str:
    return "low" if height_in < limit("headboard_high_from_in").value else "high"
