"""What a driver records on the way, as the telephone sends it and as the store keeps it; and the sheet it was recorded on."""

import datetime as dt
from typing import Annotated, Literal

from pydantic import AfterValidator, AwareDatetime, Field

from routing.record import Record, column

EventKind = Literal["arrived", "picked up", "set down", "left", "note", "taken back"]
Standing = Literal["stands", "changed", "replaced", "gone"]
Letter = Annotated[str, Field(min_length=1, max_length=20)]
Hives = Annotated[int, Field(ge=0, le=100_000)]
UUID = r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"


def _of_our_days(moment: dt.datetime) -> dt.datetime:
    if not 2000 <= moment.year <= 2199:
        raise ValueError("a time between the years 2000 and 2199")
    return moment


class Event(Record):
    """One thing that a driver recorded."""

    id: str = column("made on the telephone, at random", example="0b0e7c1a-5c3e-4d6c-9a55-0d3f5a1e7b10", pattern=f"^{UUID}$")
    kind: EventKind = column("what was done; 'taken back' names an earlier record in 'about'", example="set down")
    stop: int = column("number of the stop", example=2, ge=0, le=1000)
    counts: dict[Letter, Hives] = column("hives by lot letter", example={"A": 16}, default={}, max_length=100)
    note: str = column("in the driver's own words", example="", default="", max_length=2000)
    about: str = column("id of the record that is taken back", example="", default="", pattern=f"^({UUID})?$")
    version: str = column("which state of the sheet the driver looked at", example="5d41402abc4b", max_length=64, default="")
    phone: str = column("which telephone, by a name it made up for itself", example="", default="", max_length=64)
    turn: int | None = column("its number among the records of that telephone", example=1, default=None, ge=0, le=2**53)
    done_at: Annotated[AwareDatetime, AfterValidator(_of_our_days)] | None = column(
        "when, by the telephone's clock; null from a page without scripts", default=None
    )


class DriverRecord(Record):
    """One thing that a driver recorded, as it is kept."""

    event: Event
    sheet: str = column("the truck-night's drop sheet", example="2027-04-24-old-blue")
    got_at: AwareDatetime = column("when it reached the server, UTC")
    standing: Standing = column("how the sheet stood then: stands, changed, replaced (a newer plan), gone (removed)")
    ahead_s: float | None = column("how far the telephone's clock was ahead of the server's", unit="s", default=None)

    @property
    def at(self) -> dt.datetime:
        """When it was done: by the telephone, else when it came in."""
        return self.event.done_at or self.got_at


class Answer(Record):
    """What becomes of one event that was sent; the same event is answered the same however often it comes."""

    id: str
    state: Literal["kept", "differs", "refused"]
    """``differs``: another record of this id was there first; ``refused``: it cannot be read, ``why`` says what."""
    got_at: AwareDatetime | None = None
    standing: Standing | None = None
    why: str = ""


class HandedStop(Record):
    """What was planned at one stop."""

    number: int
    place: str
    zone: str
    """Name of the time zone."""
    arrive: AwareDatetime
    leave: AwareDatetime
    picked_up: dict[str, int]
    """Hives by lot letter."""
    set_down: dict[str, int]


class Handed(Record):
    """One state of one truck-night's sheet, as drivers have opened it; it outlives its plan."""

    job: str
    sheet: str
    version: str
    operation: str
    truck: str
    night: dt.date
    driver: str
    call: str
    """Number of the operation to call."""
    stops: tuple[HandedStop, ...]
