"""Room for air between stacks: the least gap between two units that stand beside or behind each other."""

from collections.abc import Sequence

from routing.finding import Finding, at_least
from routing.loads.circumstances import Circumstances
from routing.loads.load import Load, Placement
from routing.loads.order import overlap_across, overlap_along, ride

NEAR_IN = 60.0
"""Further apart than this nothing stands between that would keep the air from a hive."""


def gap_findings(load: Load, *, about: Circumstances) -> tuple[Finding, ...]:
    """Return the finding on the least gap between stacks with hives; none when no gap is asked for.

    How much air hives need between stacks is nowhere printed; a hauler who leaves a gap gives it as an own figure.
    """
    asked = about.figure("least_air_gap_in")
    if asked.value <= 0.0:
        return ()
    gap_in, between = least_gap_in([unit for unit in load.placements if unit.hives])
    subject = f"{load.truck_night}, load {load.number}"
    return (
        at_least("gap for air between stacks", subject, measured=round(gap_in, 3), limit=asked.value, unit="in",
                 force=asked.force, source=asked.source, note=between),
    )  # fmt: skip


def least_gap_in(units: Sequence[Placement]) -> tuple[float, str]:
    """Return the least gap between two units of one tier that ride together, at most `NEAR_IN`, and which they are. [in]"""
    best, between = NEAR_IN, ""
    ordered = sorted(units, key=lambda one: one.front_in)
    for place, one in enumerate(ordered):
        for other in ordered[place + 1 :]:
            if other.front_in - one.front_in - one.length_in >= best:
                break
            gap_in = _gap_in(one, other)
            if gap_in is not None and gap_in < best:
                best, between = gap_in, f"between {one.label} and {other.label}"
    return best, between


def _gap_in(one: Placement, other: Placement) -> float | None:
    if one.tier != other.tier or not ride(one).meets(ride(other)):
        return None
    if overlap_along(one, other):
        left, right = (one, other) if one.left_in <= other.left_in else (other, one)
        return max(0.0, right.left_in - left.left_in - left.width_in)
    if overlap_across(one, other):
        return max(0.0, other.front_in - one.front_in - one.length_in)
    return None
