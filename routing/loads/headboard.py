"""Checks of the headboard: only one that is high and strong enough lets a load stand against it with fewer tie-downs."""

from collections.abc import Sequence

from routing.finding import Finding, at_least, not_checked
from routing.limits import limit
from routing.loads.load import Load, Placement
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig


def blocks(rig: Rig, units: Sequence[Placement]) -> bool:
    """Tell whether a load may be counted as standing against a headboard: one that is not known to be too low or too weak."""
    truck = rig.truck
    if not truck.headboard:
        return False
    low = truck.headboard_height_in is not None and truck.headboard_height_in < _asked_in(units)
    weak = truck.headboard_holds_lb is not None and truck.headboard_holds_lb < _asked_lb(rig, units)
    return not (low or weak)


def is_known(rig: Rig) -> bool:
    """Tell whether height and strength of the headboard are both in the table of trucks."""
    return rig.truck.headboard_height_in is not None and rig.truck.headboard_holds_lb is not None


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
        note = "its height or what it holds is not in the table of trucks; without it more tie-downs are asked"
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
