"""What a season comes to: where each hive stands from first night to last, which offers are taken, what it earns."""

import datetime as dt
from typing import Literal

from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.record import Record

Line = Literal[
    "fees", "bonus", "honey", "moves", "losses on the road", "feed", "supers on", "supers off", "short: penalties", "weak"
]
LINES: tuple[Line, ...] = (
    "fees", "bonus", "honey", "moves", "losses on the road", "feed", "supers on", "supers off", "short: penalties", "weak",
)
Outcome = Literal["kept", "short", "taken", "taken in part", "refused"]
INCOME: tuple[Line, ...] = ("fees", "bonus", "honey")


class Supers(Record):
    """Honey supers on the hives of one stay."""

    on: dt.date | None
    """Day on which they go on; None for hives that stand with supers at the start."""
    off: dt.date | None
    """Day on which they come off; None when they stay on to the end."""


class Stay(Record):
    """Hives that stand at one place, from the night on which they come to the night on which they leave."""

    place: str
    kind: Literal["yard", "orchard"]
    came: dt.date | None
    """Night of the move in; None for hives that stand there at the start."""
    left: dt.date | None
    """Night of the move out; None for hives that stand there at the end."""
    supers: tuple[Supers, ...] = ()


class Chain(Record):
    """Hives of one group that go the same way all season."""

    group: str
    hives: int
    pallets: int
    """0 when they stand loose."""
    stays: tuple[Stay, ...]


class Choice(Record):
    """What becomes of one contract or offer."""

    contract: str
    crop: str
    signed: bool
    outcome: Outcome
    """Of a signed contract: kept or short; of an offer: taken, taken in part or refused."""
    colonies: int
    """Promised, or asked for by an offer."""
    delivered: int
    average_frames: float
    fee_usd: float
    bonus_usd: float
    penalty_usd: float
    margin_usd: float | None = None
    """What the season would lose by the other choice on an offer; None: not worked out."""
    margin_least_usd: float | None = None
    """Proven least of that loss; below 0 when the two gaps leave the choice open."""
    why: str = ""


class MoneyLine(Record):
    """One line of the season's account; costs are negative, and the lines add up to the profit."""

    name: Line
    usd: float


class CarryCost(Record):
    """How much a move to or from one orchard costs against the estimate, as tours tell it."""

    contract: str
    factor: float


class SeasonAnswer(Record):
    """The year, proven as good as ``gap`` says."""

    profit_usd: float
    bound_usd: float | None
    """No season of the stated class earns more; None when none was proven in the time."""
    gap: float | None
    """(bound - profit) / |profit|, 0 when both are 0; None without a bound."""
    bound_covers: str
    lines: tuple[MoneyLine, ...]
    choices: tuple[Choice, ...]
    chains: tuple[Chain, ...]
    carry_costs: tuple[CarryCost, ...]
    seconds: float
    findings: tuple[Finding, ...]


class Season(SeasonAnswer):
    """The year with the operation that it is of."""

    operation: Operation
