"""What a hive earns and costs where it stands: bonus, honey, feed."""

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.season.frames import Counted
from routing.season.kinds import evening


def has_supers(operation: Operation, group: HiveGroup) -> bool:
    """Tell whether a group's hives stand with honey supers at the start."""
    return any(box.build == group.build and box.role == "honey super" for box in operation.boxes)


def bonus_usd(contract: Contract, frames: float) -> float:
    """Return the bonus that one hive earns. [USD]"""
    span = max(contract.bonus_up_to_frames - contract.min_average_frames, 0.0)
    return contract.bonus_usd_per_frame * min(max(frames - contract.min_average_frames, 0.0), span)


def honey_usd(counted: Counted, group: HiveGroup, stand: tuple[str, int, int]) -> float:
    """Return the honey of one hive with supers in a yard from one evening to another. [USD]

    A flow gives the same every day; a hive weaker than ``least_frames`` on its first day gives none.
    """
    yard, here, after = stand
    operation, total = counted.operation, 0.0
    for flow in operation.honey_flows:
        first, last = evening(operation, flow.first_on), evening(operation, flow.last_on)
        days = min(last, after) - max(first, here + 1) + 1
        if flow.yard == yard and days > 0 and counted.frames(group, flow.first_on) >= flow.least_frames:
            total += flow.honey_lb_per_colony * flow.honey_usd_per_lb * days / (last - first + 1)
    return total


def feed_usd(operation: Operation, stand: tuple[str, int, int], *, last_in: int) -> float:
    """Return the feed of one hive in a yard from one evening to another. [USD]

    Every night without a honey flow there costs its share of a feed, until the last night in of any contract.
    """
    yard, here, after = stand
    flows = [
        (evening(operation, one.first_on), evening(operation, one.last_on)) for one in operation.honey_flows if one.yard == yard
    ]
    nights = sum(
        not any(first <= day <= last for first, last in flows) for day in range(here + 1, min(after, last_in) + 1)
    )  # fmt: skip
    return nights / max(constant(operation, "feed_every_nights"), 1.0) * constant(operation, "feed_usd_per_colony")
