"""Checks of the headboard: only one that is high and strong enough lets a load stand against it with fewer tie-downs."""

from routing.finding import Finding, at_least, not_checked
from routing.limits import limit
from routing.loads.load import Load
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig


def headboard(load: Load, rig: Rig, subject: str) -> list[Finding]:
    """Return the findings on the headboard; none when the truck has none: then its tie-downs are counted unblocked."""
    truck = rig.truck
    if not truck.headboard:
        return []
    lowest = limit("headboard_height_in")
    about = {"force": lowest.force, "source": lowest.source}
    tallest_in = max((unit.height_in for unit in load.placements), default=0.0)
    cargo_lb = max((sum(unit.weight_high_lb for unit in units) for units in stretches_of(load.placements)), default=0.0)
    if truck.headboard_height_in is None or truck.headboard_holds_lb is None:
        note = "its height or what it holds is not in the table of trucks; without it more tie-downs are asked"
        return [not_checked("headboard, height and strength", subject, force=lowest.force, source=lowest.source, note=note)]
    share = limit(f"headboard_{_height_word(truck.headboard_height_in)}_holds_share")
    return [
        at_least("height of the headboard", subject, measured=truck.headboard_height_in,
                 limit=min(lowest.value, tallest_in), unit="in", note=lowest.where, **about),
        at_least("what the headboard holds forward", subject, measured=truck.headboard_holds_lb,
                 limit=share.value * cargo_lb, unit="lb", force=share.force, source=share.source, note=share.where),
    ]  # fmt: skip


def _height_word(height_in: float) -> str:
    return "low" if height_in < limit("headboard_high_from_in").value else "high"
