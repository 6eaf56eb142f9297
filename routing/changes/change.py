"""Things that change after a plan was made, each as one value."""

import datetime as dt
from typing import Annotated, Literal

from pydantic import Field

from routing.record import Record

Nights = Annotated[tuple[dt.date, ...], Field(min_length=1, max_length=400)]


class BloomShift(Record):
    """A contract's bloom comes sooner or later, and its dates in, out and of the spray with it."""

    kind: Literal["bloom"]
    contract: str
    days: int = Field(ge=-60, le=60)
    """Sooner is less than 0."""


class TruckAway(Record):
    """A truck is not to be had on some nights."""

    kind: Literal["truck away"]
    truck: str
    nights: Nights


class DriverAway(Record):
    """A driver is not there on some nights."""

    kind: Literal["driver away"]
    driver: str
    nights: Nights


class NoMoves(Record):
    """Nothing moves on some nights: weather, a closed road, a funeral."""

    kind: Literal["no moves"]
    nights: Nights


class ColoniesLost(Record):
    """Hives of a group that are lost before they have moved."""

    kind: Literal["colonies lost"]
    group: str
    hives: int = Field(ge=1, le=5000)


class ColoniesWanted(Record):
    """A contract now wants another number of colonies."""

    kind: Literal["colonies wanted"]
    contract: str
    colonies: int = Field(ge=1, le=5000)


Change = Annotated[
    BloomShift | TruckAway | DriverAway | NoMoves | ColoniesLost | ColoniesWanted, Field(discriminator="kind")
]
