"""When a box is to be added: once so many of the frames that the boxes hold are occupied."""

import datetime as dt

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.forecast import forecast
from routing.strength.inspection import inspections


class BoxDue(Record):
    """When a group's hives need another box."""

    group: str
    on: dt.date
    occupied_share: float
    """Of the frames in the boxes as they stand, on ``on``, as expected; may exceed 1."""
    room_frames: float
    full_share: float
    """Share at which a box is added."""
    due_on: dt.date | None
    """First day, from ``on`` to the last night of the season, on which that share is reached; None: not before."""


def box_due(operation: Operation, group: HiveGroup, day: dt.date) -> BoxDue:
    """Return how full the boxes of a group are on a day, and when a box is to be added.

    Parameters
    ----------
    operation
        Gives ``box_full_share`` (0.70: common practice, no source), inspections, curve and boxes.
    group
        A group of the operation.
    day
        Day from which to look.

    Returns
    -------
    BoxDue
        By the average hive with all its expected growth: the stronger half is due earlier.
    """
    room = float(measure(operation, group.build, travelling=False).frames_for_bees)
    share = constant(operation, "box_full_share")
    occupied = _expected(operation, group, day) / room if room else 0.0
    due_on, ahead = None, day
    while due_on is None and room and ahead <= operation.last_night:
        if _expected(operation, group, ahead) >= share * room - 1e-9:
            due_on = ahead
        ahead += dt.timedelta(days=1)
    return BoxDue(group=group.name, on=day, occupied_share=occupied, room_frames=room, full_share=share, due_on=due_on)


def _expected(operation: Operation, group: HiveGroup, day: dt.date) -> float:
    found = [one for one in inspections(operation, group) if one.mean_frames is not None]
    if not found:
        return 0.0
    ahead = forecast(operation, found, day)
    return max(0.0, ahead.mean_frames + ahead.growth_frames)
