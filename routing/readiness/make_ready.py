"""From what moves to what must be made ready."""

from collections.abc import Sequence

from routing.inputs.operation import Operation
from routing.nights.tour import TruckNight
from routing.plan_record import GearNeed, Task
from routing.readiness.departure import departures
from routing.readiness.gear import gear_needs
from routing.readiness.tasks import departure_tasks
from routing.readiness.weak import weak_hives, weak_tasks
from routing.record import Record


class Readiness(Record):
    """Everything to be done before hives may travel, and everything needed for it."""

    tasks: tuple[Task, ...]
    """In order of night, place and group, then in the order of the work."""
    gear: tuple[GearNeed, ...]


def readiness(operation: Operation, truck_nights: Sequence[TruckNight]) -> Readiness:
    """Return the tasks and the gear for what the truck-nights move.

    Parameters
    ----------
    operation
        Hives as they stand, contracts, temperatures, gear in the shed.
    truck_nights
        What the plan moves, in any order.

    Returns
    -------
    Readiness
        Tasks of every departure, and of hives too weak for any contract whether they move or not.

    Raises
    ------
    LookupError
        If a lot is of a group, or a group of a build, that the operation does not have.
    """
    leaving = departures(operation, truck_nights)
    weak = weak_hives(operation, leaving)
    tasks = [task for one in weak for task in weak_tasks(operation, one)]
    tasks += [task for one in leaving for task in departure_tasks(operation, one)]
    # A stable sort: within one departure the order of the work stays.
    tasks.sort(key=lambda task: (task.by_night, task.yard, task.group))
    return Readiness(tasks=tuple(tasks), gear=gear_needs(operation, truck_nights, leaving=leaving, weak=weak))
