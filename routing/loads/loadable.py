"""How many units of one kind a truck really carries: the largest number for which a deck plan misses nothing."""

from routing.inputs.operation import Operation
from routing.inputs.rigging import RoadLimit
from routing.loads.capacity import unit
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances
from routing.loads.deck import Batch
from routing.loads.load import Load
from routing.loads.order import Ride
from routing.loads.solve import deck_plan, room_to_fill
from routing.loads.vehicle import rig_of
from routing.loads.verdict import broken_as_loaded
from routing.nights.tour import Lot

TRIED_ONE_BY_ONE = 3


def units_that_ride(
    operation: Operation, truck: str, group: str, *, most: int, road_limits: tuple[RoadLimit, ...] = ()
) -> int:
    """Return the most units of a group, all of them to one place, that a deck plan was found for; 0 when none was.

    Parameters
    ----------
    operation
        Where trucks, groups and builds are.
    truck, group
        Names.
    most
        Units that the deck's area and the payload allow.
    road_limits
        Those of the user's table that count on the move.

    Notes
    -----
    The next numbers under ``most`` are tried one by one, then halves: a load that is too much by its weight loses a few
    units, one that is broken by where the axles stand may need many.
    """
    rig = rig_of(operation, truck).model_copy(update={"road_limits": road_limits})
    one = unit(operation, next(each for each in operation.hive_groups if each.name == group))

    def rides(number: int) -> bool:
        lot = Lot(lot="A", group=group, hives=number * one.hives, pallets=0, origin="", destination="", purpose="in")
        plan = deck_plan(room_to_fill(rig), (Batch(lot, Ride(1, 2), one.hives, number, one),))
        if not plan.merit.sound:
            return False
        load = Load(truck_night="", number=1, truck=truck, night=operation.first_night, hives=lot.hives, placements=plan.units,
                    top_of_load_in=0.0, straps_needed=0, straps_available=0, states=(), rehandled=0, findings=())  # fmt: skip
        moved = plan.rig.model_copy(update={"truck": rig.truck})
        return not broken_as_loaded(check_load(load, moved, about=Circumstances(temperature_f=None, riders=())))

    # A truck that cannot carry one unit carries none.
    return next((number for number in numbers_to_try(most) if rides(number)), 1) if most and rides(1) else 0


def numbers_to_try(most: int) -> list[int]:
    """Return the numbers of units over 1 to try, the largest first.

    Examples
    --------
    >>> numbers_to_try(20)
    [20, 19, 18, 9, 4, 2]
    """
    found = [number for number in range(most, most - TRIED_ONE_BY_ONE, -1) if number > 1]
    while found and found[-1] > 3:
        found.append(found[-1] // 2)
    return found
