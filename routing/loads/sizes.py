"""Checks of height, width and length against the user's own table of road limits."""

from routing.finding import Finding, at_most, not_checked
from routing.loads.load import Load
from routing.loads.placing import top_in
from routing.loads.vehicle import Rig


def sizes(load: Load, rig: Rig) -> tuple[Finding, ...]:
    """Return the finding of every row of road limits that is about height, width or overall length."""
    measured = {
        "height": top_in(load.placements, rig.truck),
        "width": _widest_in(load, rig),
        "overall length": rig.truck.overall_length_in,
    }
    subject = f"{load.truck_night}, load {load.number}"
    found = []
    for row in rig.road_limits:
        if row.kind not in measured:
            continue
        inches, check = measured[row.kind], f"{row.kind}, {row.where}"
        if inches is None:
            note = f"limit {row.value:g} in; the table of trucks has no overall length"
            found.append(not_checked(check, subject, force="law", source=row.source, note=note))
        else:
            found.append(at_most(check, subject, measured=round(inches, 3), limit=row.value, unit="in", force="law",
                                 source=row.source))  # fmt: skip
    return tuple(found)


def _widest_in(load: Load, rig: Rig) -> float:
    left_in = min((unit.left_in for unit in load.placements), default=0.0)
    right_in = max((unit.left_in + unit.width_in for unit in load.placements), default=0.0)
    return max(right_in, rig.truck.deck_width_in) - min(left_in, 0.0)
