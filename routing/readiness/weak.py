"""Hives too weak for any contract: combine them or feed them up, and make their entrance small."""

import datetime as dt
import math
from collections.abc import Sequence

from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.plan_record import Task
from routing.readiness.departure import Departure
from routing.readiness.travel import PRACTICE, build_of
from routing.record import Record
from routing.strength.group import group_strength, share_below


class WeakHives(Record):
    """Hives of one group that no contract would take."""

    group: HiveGroup
    hives: int
    by_night: dt.date
    why: str
    seen: bool
    """False when no inspection was written down, so that their strength is not known."""


def weak_hives(operation: Operation, leaving: Sequence[Departure]) -> tuple[WeakHives, ...]:
    """Return the weak hives of every group, whether it moves or not.

    Parameters
    ----------
    operation
        Its contracts say what is weak.
    leaving
        What the plan moves.

    Returns
    -------
    tuple of WeakHives
        A group that no plan moves and whose counted strength is under the least average of all contracts is
        weak as a whole. Of any other group, the hives under the least single-colony strength of all
        contracts, by the share seen at the inspection. Nothing when there are no contracts.
    """
    if not operation.contracts:
        return ()
    first_night: dict[str, dt.date] = {}
    for one in leaving:
        first_night.setdefault(one.group.name, one.night)
    found = [_weak(operation, group, first_night.get(group.name)) for group in operation.hive_groups]
    return tuple(weak for weak in found if weak is not None)


def weak_tasks(operation: Operation, weak: WeakHives) -> list[Task]:
    """Return the tasks for the weak hives of one group."""
    if not weak.seen:
        return [_task(weak, "open hives and count frames of bees", weak.why)]
    build = build_of(operation, weak.group)
    small = f"{weak.why}; a weak hive cannot guard a wide entrance against robbing"
    tasks = [_task(weak, "combine weak hives, healthy ones only, or feed them up", weak.why)]
    if build.entrance == "open":
        tasks.append(_task(weak, "reduce the entrance", small))
    return tasks


def _weak(operation: Operation, group: HiveGroup, leaves: dt.date | None) -> WeakHives | None:
    least_average = min(contract.min_average_frames for contract in operation.contracts)
    floor = min(contract.min_colony_frames for contract in operation.contracts)
    strength = group_strength(operation, group)
    counted, hives = strength.counted_frames, group.hives
    if strength.inspected == 0:
        why = "no inspection is written down, so no contract can be promised these hives"
    elif leaves is None and counted < least_average:
        why = f"{counted:.1f} frames counted on; every contract wants an average of {least_average:g} or more"
    else:
        hives = math.floor(share_below(operation, group, floor) * group.hives + 0.5)
        why = f"about {hives} of its hives are under {floor:g} frames, the least that any contract takes"
    if hives == 0:
        return None
    seen = strength.inspected > 0
    return WeakHives(group=group, hives=hives, by_night=leaves or operation.first_night, why=why, seen=seen)


def _task(weak: WeakHives, task: str, why: str) -> Task:
    return Task(
        group=weak.group.name, yard=weak.group.yard, task=task, hives=weak.hives, by_night=weak.by_night,
        why=why, force="practice", source=PRACTICE,
    )  # fmt: skip
