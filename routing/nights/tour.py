"""What a truck does in one night: lots of hives picked up and set down, stop after stop."""

import datetime as dt
from typing import Literal

from pydantic import AwareDatetime

from routing.finding import Finding
from routing.record import Record

Purpose = Literal["in", "out", "on to the next bloom"]


class NightWindow(Record):
    """The dark hours at one place on one night, in the place's own time zone."""

    place: str
    night: dt.date
    """Date of the evening."""
    sunset: AwareDatetime
    civil_dusk: AwareDatetime
    civil_dawn: AwareDatetime
    sunrise: AwareDatetime
    loading_from: AwareDatetime
    """Hives may be closed and lifted from here: flying has stopped."""
    set_down_until: AwareDatetime
    """Every hive is on the ground by then: flying has not begun."""
    note: str = ""
    """What moved the two times away from dusk and dawn, if anything did."""


class Lot(Record):
    """Hives of one group that ride together from one place to another."""

    lot: str
    """Letter of the lot within its truck-night: A, B, C ..."""
    group: str
    hives: int
    pallets: int
    """Pallets that carry them; 0 when they ride loose."""
    origin: str
    destination: str
    purpose: Purpose


class Stop(Record):
    """One place on the way, with its times in the place's own time zone."""

    number: int
    """0 at the start from the base, counted on from there."""
    place: str
    kind: Literal["base", "yard", "orchard"]
    arrive: AwareDatetime
    leave: AwareDatetime
    miles: float
    """Road miles from the stop before."""
    drive_min: float
    """Driving minutes from the stop before."""
    picked_up: tuple[Lot, ...] = ()
    set_down: tuple[Lot, ...] = ()


class TruckNight(Record):
    """All that one truck does between leaving its base in the evening and coming back."""

    id: str
    """For instance ``2027-04-12 Old blue``."""
    truck: str
    night: dt.date
    driver: str
    """Name; for a hired truck, ``hauler's driver``."""
    helpers: int
    stops: tuple[Stop, ...]
    miles: float
    driving_min: float
    duty_min: float
    cost_usd: float
    hours_rule: str
    """The hours-of-service terms that this night was checked against, in words."""
    findings: tuple[Finding, ...] = ()
