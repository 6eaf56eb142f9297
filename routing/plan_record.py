"""The plan: everything a person sees is a view of this value."""

import datetime as dt
from typing import Literal

from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.loads.load import Load
from routing.nights.tour import NightWindow, TruckNight
from routing.record import Record


class Unkept(Record):
    """A promise that the plan does not keep: which, why, what would make it keepable."""

    contract: str
    kind: Literal["short", "late", "weak", "not taken out in time"]
    colonies: int
    cost_usd: float
    reason: str
    remedies: tuple[str, ...]
    proven: bool
    """True when no plan can keep it; False when none was found."""


class GroupShare(Record):
    """Hives of one group within a delivery."""

    group: str
    hives: int
    frames: float
    """Frames of bees that the plan counts on, each hive."""


class Delivery(Record):
    """What one contract gets."""

    contract: str
    crop: str
    promised: int
    delivered: int
    shares: tuple[GroupShare, ...]
    average_frames: float
    in_from: dt.date
    in_until: dt.date
    first_in: dt.date | None
    last_in: dt.date | None
    out_from: dt.date | None
    out_until: dt.date | None
    first_out: dt.date | None
    last_out: dt.date | None
    fee_usd: float
    bonus_usd: float
    penalty_usd: float


class Task(Record):
    """Something to be done to a hive group before it may travel."""

    group: str
    yard: str
    task: str
    """For instance ``take honey supers off``."""
    hives: int
    by_night: dt.date
    why: str
    force: Literal["law", "standard", "advice", "practice", "own figure"]
    source: str


class GearNeed(Record):
    """Things to have at hand, with the most needed on one night."""

    item: str
    needed: int
    on_hand: int | None
    """None when the shed was not counted."""
    short: int


class CostLine(Record):
    """One line of the bill; the lines add up to ``Plan.cost_usd``."""

    name: Literal[
        "miles", "truck-nights", "wages", "late", "short: lost fees", "short: penalties", "weak", "left in",
        "bonus not earned", "changes",
    ]
    usd: float


class Plan(Record):
    """Who hauls what, when, how and where, and how good that is."""

    cost_usd: float
    lower_bound_usd: float
    gap: float
    """(cost - bound) / cost, 0 when cost is 0."""
    bound_covers: str
    """Which plans the bound holds for, in words."""
    unkept: tuple[Unkept, ...]
    seconds: float
    seed: int
    steps: int
    """Search steps made."""
    stopped_early: bool
    income_usd: float
    """Fees and bonus earned."""
    cost_lines: tuple[CostLine, ...]
    truck_nights: tuple[TruckNight, ...]
    loads: tuple[Load, ...]
    deliveries: tuple[Delivery, ...]
    tasks: tuple[Task, ...]
    gear: tuple[GearNeed, ...]
    windows: tuple[NightWindow, ...]
    """The dark hours of every stop of every truck-night."""
    findings: tuple[Finding, ...]
    """Checks on the plan as a whole."""
    cautions: tuple[str, ...]
    operation: Operation
