"""Honey flows: what a yard yields while hives stand in it, so that a season may send them there."""

import datetime as dt

from routing.record import Record, column


class HoneyFlow(Record):
    """A time in which the land around a yard gives a crop of honey."""

    yard: str = column("yard where the hives stand", example="Home yard")
    flow: str = column("what flowers", example="basswood", min_length=1, max_length=40)
    first_on: dt.date = column("first day of the flow in an ordinary year", example=dt.date(2027, 6, 20))
    last_on: dt.date = column("last day of the flow", example=dt.date(2027, 7, 10))
    honey_lb_per_colony: float = column("honey that a colony brings in over the whole flow, your own average", unit="lb", example=30.0, ge=0, le=400)
    honey_usd_per_lb: float = column("what a pound is worth to you, extracting and drums taken off", unit="USD", example=1.6, ge=0, le=50)
    least_frames: float = column("frames of bees below which a colony brings in nothing", unit="frames", example=8.0, default=0.0, ge=0, le=30)
