"""Rows of the drop sheet and of the yard sheet: words ready to print, beside the values they came from."""

import datetime as dt
from typing import Literal

from pydantic import AwareDatetime

from routing.record import Record


class Call(Record):
    """One line of the list of people to call."""

    who: str
    number: str


class PlaceCalls(Record):
    """The numbers of one orchard; ``NOT GIVEN`` where the operation has none."""

    place: str
    accident: str
    """For an accident with bees."""
    grower: str
    sprays: str
    """To be called before the gate is opened."""


class LotLine(Record):
    """One lot picked up or set down at a stop."""

    lot: str
    group: str
    hives: int
    pallets: int
    count_words: str
    """For instance ``24 hives on 6 pallets``."""
    labels: str
    """Labels on the deck, ``A1 to A6``; empty when there is no deck plan."""
    deck_words: str
    other_end: str
    """``to Lower pears`` when picked up, ``from Home yard`` when set down."""
    purpose: str


class StakeLine(Record):
    """One stake in the orchard at which hives are set down, or from which they are fetched."""

    name: str
    set_down: int
    """Hives to set down at it now."""
    fetched: int
    """Hives to fetch from it now."""
    labels: str
    note: str
    latitude_deg: float
    longitude_deg: float


class StopSheet(Record):
    """One stop as the driver reads it; all times on the place's own clock."""

    number: int
    place: str
    kind: Literal["base", "yard", "orchard"]
    kind_words: str
    """``start``, ``yard``, ``orchard`` or ``finish``."""
    arrive: AwareDatetime
    leave: AwareDatetime
    arrive_words: str
    leave_words: str
    zone: str
    date_words: str
    leave_date_words: str
    """Empty when the truck leaves on the date it came."""
    after_midnight: bool
    clock_note: str
    dark_words: str
    gate: str
    gate_note: str
    latitude_deg: float
    longitude_deg: float
    coordinates: str
    geo_uri: str
    contact: str
    phone: str
    pesticide_contact: str
    hazards: str
    way_words: str
    """From the stop before: ``28.0 miles, 45 min``; empty at the start."""
    doing_words: str
    """What happens here in one line: ``PICK UP 24, SET DOWN 12``."""
    picked_up: tuple[LotLine, ...]
    set_down: tuple[LotLine, ...]
    picked_up_hives: int
    set_down_hives: int
    on_deck_after: int
    stakes: tuple[StakeLine, ...]
    stakes_note: str
    checks: tuple[str, ...]
    figure_svg: str
    """The orchard from above; empty when there is nothing to draw."""


class AxleLine(Record):
    """Heaviest and lightest weight on one axle group over the whole way."""

    name: str
    low_words: str
    high_words: str
    limit_words: str
    over: bool


class LoadSheet(Record):
    """What the driver must know of one load before the truck rolls."""

    number: int
    hives: int
    hives_words: str
    top_words: str
    top_limit_words: str
    top_over: bool
    straps_needed: int
    straps_available: int
    straps_short: bool
    gross_words: str
    rehandled_words: str
    axles: tuple[AxleLine, ...]
    problems: tuple[str, ...]
    """Checks broken or not made, in words."""
    checks_met: int
    figure_svg: str


class DropSheet(Record):
    """All that one driver needs for one night."""

    id: str
    truck: str
    vehicle_class: str
    night: dt.date
    night_words: str
    short_night: str
    operation: str
    driver: str
    crew_words: str
    emergency_contact: str
    calls: tuple[Call, ...]
    place_calls: tuple[PlaceCalls, ...]
    """One for each orchard of the night."""
    start_words: str
    finish_words: str
    miles_words: str
    driving_words: str
    duty_words: str
    hours_rule: str
    most_on_deck: int
    clock_note: str
    """Which stops have another zone or a changed clock; empty when none has."""
    stops: tuple[StopSheet, ...]
    loads: tuple[LoadSheet, ...]
    problems: tuple[str, ...]
    cautions: tuple[str, ...]
    map_svg: str


class GroupCount(Record):
    """Hives of one group."""

    group: str
    hives: int


class YardTask(Record):
    """Something to be done at one yard before a lot leaves; groups with the same task share it."""

    task: str
    groups: tuple[GroupCount, ...]
    by_words: str
    why: str
    source_number: int
    """Of the line in the sheet's ``sources``, from 1."""


class YardGear(Record):
    """Things to have at hand at one yard on one night."""

    item: str
    count: int
    count_words: str
    """For instance ``12 entrance screens``."""
    why: str


class YardLot(Record):
    """A lot that leaves, or comes to, a yard."""

    order: int
    truck: str
    driver: str
    time_words: str
    """When the truck comes."""
    leave_words: str
    date_words: str
    lot: str
    group: str
    count_words: str
    labels: str
    other_end: str


class YardSheet(Record):
    """What one yard makes ready for one night."""

    yard: str
    night: dt.date
    night_words: str
    short_night: str
    operation: str
    contact: str
    phone: str
    hazards: str
    coordinates: str
    geo_uri: str
    lifting_words: str
    ready_by_words: str
    """When the first truck comes, or that none comes to pick up."""
    dark_words: str
    """From when hives may be lifted, and until when they must stand."""
    calls: tuple[Call, ...]
    tasks: tuple[YardTask, ...]
    sources: tuple[str, ...]
    """What the tasks rest on."""
    gear: tuple[YardGear, ...]
    gear_note: str
    leaving: tuple[YardLot, ...]
    coming: tuple[YardLot, ...]
    hives_leaving: int
    hives_coming: int
    cautions: tuple[str, ...]
