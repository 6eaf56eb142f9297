"""The operation after a plan: what it has done is fact, what it still means to do is told to growers and drivers."""

import datetime as dt

from routing.inputs.arranged import Arranged
from routing.inputs.operation import Operation
from routing.nights.tour import TruckNight
from routing.plan_record import Plan


def after(plan: Plan, next_night: dt.date) -> Operation:
    """Return the plan's operation on the day before a night: truck-nights before it are done, the others are told.

    Parameters
    ----------
    plan
        Any plan.
    next_night
        First night still to be planned (date of the evening).
    """
    rows = tuple(row for one in plan.truck_nights for row in _rows(one, done=one.night < next_night))
    return plan.operation.model_copy(update={"arranged": rows, "next_night": next_night})


def _rows(one: TruckNight, *, done: bool) -> tuple[Arranged, ...]:
    number = {stop.number: place for place, stop in enumerate(one.stops)}
    ends = {lot.lot: number[stop.number] for stop in one.stops for lot in stop.set_down}
    return tuple(
        Arranged(
            night=one.night, truck=one.truck, group=lot.group, hives=lot.hives, origin=lot.origin,
            origin_stop=number[stop.number], destination=lot.destination, destination_stop=ends[lot.lot], done=done,
        )
        for stop in one.stops for lot in stop.picked_up
    )
