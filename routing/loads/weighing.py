"""Checks of weights: payload, gross, every axle group, federal limits of axles and runs of axles, sides.

Worked out from the placements at each stretch of road; each unit counts at the weight that is worst for the
limit in question. Federal limits are those of the Interstate System; State and posted limits are those that
the user lists, and no others.
"""

from collections.abc import Sequence

from routing.finding import Finding, at_least, at_most, not_checked
from routing.limits import limit
from routing.loads.coupling import coupling_findings
from routing.loads.load import Load, Placement
from routing.loads.states import stretches_of
from routing.loads.vehicle import Bearing, Rig, Vehicle, payload_of, vehicle


def weighing(load: Load, rig: Rig) -> tuple[Finding, ...]:
    """Return every finding on weights."""
    subject = f"{load.truck_night}, load {load.number}"
    stretches = stretches_of(load.placements)
    cargo_lb = max((sum(unit.weight_high_lb for unit in units) for units in stretches), default=0.0)
    source = "payload rating in the table of trucks, less lifting gear, helpers and all that is listed as carried"
    payload = at_most("payload", subject, measured=cargo_lb, limit=payload_of(rig), unit="lb",
                      force="own figure", source=source)  # fmt: skip
    return (payload, *_on_axles(rig, stretches, subject), _sides(rig, stretches, subject), *_not_listed(rig, subject))


def _not_listed(rig: Rig, subject: str) -> list[Finding]:
    weights = ("gross weight", "steer axle", "single axle", "tandem", "tridem")
    if any(row.kind in weights for row in rig.road_limits):
        return []
    return [
        not_checked("weight limits of this State's roads and bridges", subject, force="law",
                    source="State and county law, posted signs; ask the road office",
                    note="no State or posted limit is in the tables; some are lower, some only in spring")
    ]  # fmt: skip


def _on_axles(rig: Rig, stretches: Sequence[tuple[Placement, ...]], subject: str) -> list[Finding]:
    try:
        axles = vehicle(rig)
    except ValueError as error:
        return _not_weighed(subject, f"the table of axle groups does not tell where the axles are: {error}")
    told = [one for one in axles.bearings if one.force != "law" or one.listed]
    weighed = [
        (one, max((_worst_lb(axles, one, units) for units in stretches), default=0.0))
        for one in axles.bearings
    ]
    return [
        *_gross(rig, axles, stretches, subject),
        *(_bearing(one, subject, lb) for one, lb in weighed if one in told),
        *_law([(one, lb) for one, lb in weighed if one not in told], subject),
        _lightest(axles, stretches, subject),
        *coupling_findings(rig, stretches, subject),
    ]


def _not_weighed(subject: str, note: str) -> list[Finding]:
    legal = limit("single_axle_lb")
    return [
        not_checked("gross weight", subject, force="own figure", source="gross rating in the table of trucks",
                    note=note),
        not_checked("weight on each axle", subject, force="own figure",
                    source="ratings in the table of axle groups", note=note),
        not_checked("federal axle and bridge limits", subject, force=legal.force, source=legal.source,
                    note=note),
    ]  # fmt: skip


def _worst_lb(axles: Vehicle, bearing: Bearing, units: Sequence[Placement]) -> float:
    total_lb = bearing.on(axles.empty_lb)
    for unit in units:
        share = bearing.on([one.at(unit.front_in + unit.length_in / 2) for one in axles.shares])
        total_lb += max(share * unit.weight_low_lb, share * unit.weight_high_lb)
    return total_lb


def _gross(
    rig: Rig, axles: Vehicle, stretches: Sequence[tuple[Placement, ...]], subject: str
) -> list[Finding]:
    cargo_lb = max((sum(unit.weight_high_lb for unit in units) for units in stretches), default=0.0)
    gross_lb = sum(axles.empty_lb) + cargo_lb
    legal = limit("gross_lb")
    return [
        at_most("gross weight", subject, measured=gross_lb, limit=rig.truck.gross_rating_lb, unit="lb",
                force="own figure", source="gross rating in the table of trucks"),
        at_most("gross weight, federal limit", subject, measured=gross_lb, limit=legal.value, unit="lb",
                force=legal.force, source=legal.source, note=legal.where),
    ]  # fmt: skip


def _bearing(bearing: Bearing, subject: str, weight_lb: float, note: str = "") -> Finding:
    about = {"unit": "lb", "force": bearing.force, "source": bearing.source, "note": note}
    return at_most(bearing.check, subject, measured=round(weight_lb, 1), limit=bearing.limit_lb, **about)


def _law(weighed: Sequence[tuple[Bearing, float]], subject: str) -> list[Finding]:
    """Return the federal limits that are broken, and always the one that is nearest to being so."""
    nearest = min(weighed, key=lambda pair: pair[0].limit_lb - pair[1])
    broken = [pair for pair in weighed if pair[1] > pair[0].limit_lb and pair is not nearest]
    note = f"the tightest of {len(weighed)} federal limits of axles and runs of axles"
    return [_bearing(nearest[0], subject, nearest[1], note)] + [
        _bearing(one, subject, lb) for one, lb in broken
    ]


def _lightest(axles: Vehicle, stretches: Sequence[tuple[Placement, ...]], subject: str) -> Finding:
    """Return the finding on the axle group that is nearest to being lifted off the road."""
    least = []
    for place, name in enumerate(axles.names):
        share = axles.shares[place]
        for units in stretches:
            ends = [(share.at(unit.front_in + unit.length_in / 2), unit) for unit in units]
            lb = axles.empty_lb[place] + sum(
                min(at * u.weight_low_lb, at * u.weight_high_lb) for at, u in ends
            )
            least.append((lb, name))
    lb, name = min(least, default=(min(axles.empty_lb), "axle groups"))
    about = {
        "unit": "lb",
        "force": "practice",
        "source": "statics: below 0 the group is off the road",
        "note": name,
    }
    return at_least("least weight left on an axle group", subject, measured=round(lb, 1), limit=0.0, **about)


def _sides(rig: Rig, stretches: Sequence[tuple[Placement, ...]], subject: str) -> Finding:
    most = rig.figure("side_balance_share")
    share = max((leaning(rig, units) for units in stretches), default=0.0)
    about = {"unit": "share", "force": most.force, "source": most.source, "note": most.where}
    return at_most("one side heavier", subject, measured=round(share, 4), limit=most.value, **about)


def leaning(rig: Rig, units: Sequence[Placement]) -> float:
    half_in = rig.truck.deck_width_in / 2
    gross_lb = sum(group.empty_lb for group in rig.axle_groups) + sum(unit.weight_high_lb for unit in units)
    moment = sum(unit.weight_high_lb * (unit.left_in + unit.width_in / 2 - half_in) for unit in units)
    return abs(moment) / (gross_lb * half_in) if gross_lb else 0.0
