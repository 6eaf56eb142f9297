"""A sliding trailer axle group: which pin hole uses the weight limits least, kept to a kingpin limit and without one."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from routing.finding import Finding, at_most, not_checked
from routing.formulas.axle import axle_shares
from routing.inputs.fleet import AxleGroup
from routing.loads.load import Placement
from routing.loads.vehicle import Rig, axle_groups_in_order, layout_of, stands
from routing.loads.weight_rows import weight_rows

SLIVER_IN = 0.01


class Hole(NamedTuple):
    """One place of the sliding axle group."""

    number: int
    """Counted from the foremost, 1 first."""
    centre_in: float
    """Of the group, behind the coupling."""
    use: float
    """Of the tightest weight limit there, as a share; infinite when a limit that is not a share of weight breaks."""
    allowed: bool
    """By every kingpin limit that the user lists."""


def holes(rig: Rig, stretches: Sequence[Sequence[Placement]]) -> tuple[Hole, ...]:
    """Return every pin hole with its worst use over all stretches of road; none when nothing slides."""
    hitch = rig.hitch
    if hitch is None or not stands(rig):
        return ()
    if hitch.slide_from_in is None or hitch.slide_until_in is None or hitch.slide_step_in is None:
        return ()
    count = int((hitch.slide_until_in - hitch.slide_from_in + SLIVER_IN) // hitch.slide_step_in) + 1
    centres = [hitch.slide_from_in + place * hitch.slide_step_in for place in range(count)]
    return tuple(
        Hole(number, centre_in, worst_use(slid(rig, centre_in), stretches), _allowed(rig, centre_in))
        for number, centre_in in enumerate(centres, 1)
    )


def best_hole(found: Sequence[Hole], *, kept_to_law: bool) -> Hole | None:
    """Return the hole that uses the limits least, the foremost of equals; None when there is none."""
    open_to = [one for one in found if one.allowed or not kept_to_law]
    return min(open_to, key=lambda one: (round(one.use, 6), one.number), default=None)


def worst_use(rig: Rig, stretches: Sequence[Sequence[Placement]]) -> float:
    """Return the use of the tightest weight limit, as a share of it."""
    worst = 0.0
    for row in weight_rows(rig):
        for units in stretches or [()]:
            if row.limit_lb > 0.0:
                worst = max(worst, row.use(units))
            elif row.worst_lb(units) > 1e-6:
                worst = math.inf
    return worst


def slid(rig: Rig, centre_in: float) -> Rig:
    """Return the rig with its trailer's one axle group moved to ``centre_in``; empty weights follow by moments.

    What slides keeps its own weight over the axles; the rest of the trailer keeps its place over the coupling.
    """
    group = _sliding(rig)
    if rig.hitch is None or rig.hitch.sliding_lb is None:
        raise ValueError("What slides has no weight in the table of hitches.")
    sliding_lb = rig.hitch.sliding_lb
    on_axles_lb = (group.empty_lb - sliding_lb) * group.centre_in / centre_in + sliding_lb
    to_coupling_lb = group.empty_lb - on_axles_lb
    shares = axle_shares(layout_of(rig), "truck")
    moved = []
    for one, share in zip(axle_groups_in_order(rig), shares, strict=True):
        if one.unit == "trailer":
            moved.append(one.model_copy(update={"centre_in": centre_in, "empty_lb": on_axles_lb}))
        else:
            added_lb = to_coupling_lb * share.at(rig.truck.coupling_in or 0.0)
            moved.append(one.model_copy(update={"empty_lb": one.empty_lb + added_lb}))
    return rig.model_copy(update={"axle_groups": tuple(moved)})


def pin_findings(rig: Rig, stretches: Sequence[Sequence[Placement]], subject: str) -> list[Finding]:
    """Return the findings on the pins as they are set, and on every kingpin limit of the user's table."""
    if not any(one.unit == "trailer" for one in rig.axle_groups):
        return []
    found = holes(rig, stretches)
    if not found:
        # Axles that do not slide are asked only for the limits that the user lists.
        return _kingpin(rig, subject) if any(row.kind == "kingpin to rear axle" for row in rig.road_limits) else []
    now = worst_use(rig, stretches)
    slides = at_most("sliding axles as they are set: use of the tightest weight limit", subject,
                     measured=round(100.0 * min(now, 10.0), 1), limit=100.0, unit="%", force="own figure",
                     source="pins in the table of hitches; moments", note=pin_words(rig, found))  # fmt: skip
    return [slides, *_kingpin(rig, subject)]


def pins_to_set(rig: Rig, stretches: Sequence[Sequence[Placement]]) -> tuple[str, ...]:
    """Return the sentence that tells the driver where the pins belong; none when nothing slides."""
    found = holes(rig, stretches)
    if not found:
        return ()
    return (f"Pins of the sliding axles: {pin_words(rig, found)}.",)


def pin_words(rig: Rig, found: Sequence[Hole]) -> str:
    """Return where the pins are, where they are best, and what a kingpin limit costs."""
    lawful, free = best_hole(found, kept_to_law=True), best_hole(found, kept_to_law=False)
    words = [f"set at {_sliding(rig).centre_in:g} in behind the kingpin"]
    if lawful is None:
        words.append("no hole keeps the kingpin limit")
    else:
        words.append(f"best: {_hole_words(lawful, len(found))}")
    if free is not None and free != lawful:
        words.append(f"without the kingpin limit it would be {_hole_words(free, len(found))}")
    return "; ".join(words)


def _hole_words(hole: Hole, count: int) -> str:
    use = "a limit broken" if math.isinf(hole.use) else f"{100 * hole.use:.1f} % of the tightest limit"
    return f"hole {hole.number} of {count} from the front, {hole.centre_in:g} in, {use}"


def _kingpin(rig: Rig, subject: str) -> list[Finding]:
    rows = [row for row in rig.road_limits if row.kind == "kingpin to rear axle"]
    measured_in = max(rear_axle_in(one) for one in rig.axle_groups if one.unit == "trailer")
    if not rows:
        note = f"{measured_in:g} in as set; some States limit it, and no such limit is in the table of road limits"
        return [not_checked("kingpin to rear axle", subject, force="law", source="State law; ask the road office",
                            note=note)]  # fmt: skip
    return [
        at_most(f"kingpin to rear axle, {row.where}", subject, measured=round(measured_in, 2), limit=row.value, unit="in",
                force="law", source=row.source)
        for row in rows
    ]  # fmt: skip


def rear_axle_in(group: AxleGroup) -> float:
    """Return the distance from the coupling to the last axle of a group. [in]"""
    return group.centre_in + group.spread_in / 2


def lawful_now(rig: Rig) -> bool:
    """Tell whether the sliding axles as they are set keep every kingpin limit of the user's table."""
    return _allowed(rig, _sliding(rig).centre_in)


def _allowed(rig: Rig, centre_in: float) -> bool:
    rear_in = centre_in + _sliding(rig).spread_in / 2
    rows = [row.value for row in rig.road_limits if row.kind == "kingpin to rear axle"]
    return all(rear_in <= most_in + SLIVER_IN for most_in in rows)


def _sliding(rig: Rig) -> AxleGroup:
    return next(one for one in axle_groups_in_order(rig) if one.unit == "trailer")
