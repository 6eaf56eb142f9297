"""What is arranged already: the lots of an earlier plan, done or told to growers and drivers."""

import datetime as dt

from routing.record import Record, column


class Arranged(Record):
    """One lot of an earlier plan: done, or told to people and better not changed without need."""

    night: dt.date = column("date of the evening", example=dt.date(2027, 4, 14))
    truck: str = column("truck", example="Old blue")
    group: str = column("hive group", example="H1")
    hives: int = column("hives of the lot", unit="hives", example=8, ge=1, le=5000)
    origin: str = column("yard or contract where it is picked up", example="Home yard")
    origin_stop: int = column("number of that stop in the truck's night, 1 for the first", example=1, ge=1, le=60)
    destination: str = column("yard or contract where it is set down", example="Lower pears")
    destination_stop: int = column("number of that stop in the truck's night", example=2, ge=2, le=60)
    done: bool = column("has it happened (yes), or is it told and not yet done (no)?", example=False, default=False)
