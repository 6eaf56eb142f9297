"""Does the inspection bear the promise? Findings on how strength was found."""

import datetime as dt
import math

from routing.finding import Finding, at_least, at_most, not_checked
from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.limits import limit
from routing.strength.inspection import Inspection, latest_inspection


def strength_findings(
    operation: Operation, group: HiveGroup, *, on: dt.date | None = None
) -> tuple[Finding, ...]:
    """Return the findings on how a group's strength was found.

    Parameters
    ----------
    operation
        Where the group's build is.
    group
        A group of the operation.
    on
        Night on which the strength is to hold; left out, the last inspection is judged for the first night
        that may be planned.

    Returns
    -------
    tuple of Finding
        ``broken`` where too few hives were opened (under 5, or under 10 % of the group), more hives were
        opened than there are, or more frames were seen than the boxes hold; ``unknown`` where the spread, the
        number opened or the growth since an old inspection is not known.
    """
    seen = latest_inspection(operation, group, on)
    if seen.mean_frames is None:
        return (_unknown("strength", group, "frames_sd_when_unknown", "no frames of bees were written down"),)
    return (
        *_opened(operation, group, seen),
        *_spread_known(group, seen),
        _room(operation, group, seen),
        *_age(operation, group, seen, on or operation.first_night),
    )


def _opened(operation: Operation, group: HiveGroup, seen: Inspection) -> list[Finding]:
    if seen.without_number:
        note = "a mean without the number of hives opened is taken for one hive"
        return [_unknown("hives opened", group, "least_hives_opened", note)]
    least, share = limit("least_hives_opened"), limit("least_share_opened")
    fewest = min(constant(operation, least.name), seen.hives)
    part = math.ceil(constant(operation, share.name) * seen.hives - 1e-9)
    return [
        at_least("hives opened", group.name, measured=seen.inspected, limit=fewest,
                 unit="hives", force=least.force, source=least.source),
        at_least("hives opened, as a share of the group", group.name, measured=seen.inspected,
                 limit=part, unit="hives", force=share.force,
                 source=share.source),
        at_most("hives opened that there are", group.name, measured=seen.inspected, limit=seen.hives,
                unit="hives", force="own figure", source="your own table of hive groups"),
    ]  # fmt: skip


def _spread_known(group: HiveGroup, seen: Inspection) -> list[Finding]:
    if seen.sd_frames is not None or seen.inspected >= seen.hives:
        return []
    assumed = limit("frames_sd_when_unknown")
    return [
        _unknown(
            "spread of strength", group, assumed.name, "fewer than two single counts, and no spread given"
        )
    ]


def _room(operation: Operation, group: HiveGroup, seen: Inspection) -> Finding:
    most = max(seen.counts, default=seen.mean_frames or 0.0)
    room = measure(operation, group.build, travelling=False).frames_for_bees
    return at_most(
        "frames of bees that the boxes hold", group.name, measured=most, limit=room, unit="frames",
        force="practice", source="frames in the boxes of its build, from your own table",
    )  # fmt: skip


def _age(operation: Operation, group: HiveGroup, seen: Inspection, on: dt.date) -> list[Finding]:
    inspected_on = seen.on or group.inspected_on
    days = (on - inspected_on).days
    if 0 <= days <= constant(operation, "inspection_stale_days"):
        return []
    when = f"{days} days before" if days > 0 else f"{-days} days after"
    share = constant(operation, "growth_counted_share")
    between = f"{share:.0%} of the growth expected between is counted" if share else "no growth or loss between is counted"
    note = f"inspected on {inspected_on}, {when} the night of {on}; {between}"
    return [_unknown("strength on the night of the move", group, "inspection_stale_days", note)]


def _unknown(check: str, group: HiveGroup, row: str, note: str) -> Finding:
    about = limit(row)
    return not_checked(check, group.name, force=about.force, source=about.source, note=note)
