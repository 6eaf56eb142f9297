"""What a quote says."""

import datetime as dt
from typing import Literal

from routing.record import Record

Verdict = Literal["worth taking", "not worth taking", "within the gap of the two plans", "cannot be served"]


class Displaced(Record):
    """What another contract loses (or, below 0, gains) when the one quoted for is taken."""

    contract: str
    kind: Literal["short", "late", "weak", "not taken out in time"]
    colonies: int
    usd: float


class Use(Record):
    """One truck-night that serves the contract quoted for."""

    night: dt.date
    truck: str
    hives_in: int
    hives_out: int
    also: tuple[str, ...]
    """Other orchards served on the way."""


class Quote(Record):
    """The least fee, how sure it is, and what taking the contract does to the plan."""

    contract: str
    colonies: int
    delivered: int
    """Fewer than ``colonies`` when no plan was found that brings them all."""
    fee_usd_per_colony: float
    """At this fee the two plans found are worth the same; below 0 when the moves fit in for nothing."""
    fee_low_usd_per_colony: float
    """Below this no plan with the contract can be as good as without: proven."""
    fee_high_usd_per_colony: float
    """At this fee taking it surely loses nothing: proven."""
    asked_usd_per_colony: float
    """The fee that stands in the contract."""
    verdict: Verdict
    cost_without_usd: float
    bound_without_usd: float
    cost_with_usd: float
    """Without this contract's own fee and bonus; its own lateness and shortness are in it."""
    bound_with_usd: float
    own_terms_usd: float
    """In ``cost_with_usd``: what the contract's own late, weak, short and left-in hives cost."""
    bonus_usd: float
    """Earned beside the fee; the fee is by so much less."""
    displaced: tuple[Displaced, ...]
    uses: tuple[Use, ...]
    truck_nights_more: int
    """Truck-nights of the plan with the contract, less those without."""
    considered: tuple[str, ...]
    """Signed contracts in both plans: those that hold hives at the same time as this one."""
    left_out: tuple[str, ...]
    """Other offers not yet signed: in neither plan."""
    seconds: float
    stopped_early: bool
