"""What each contract gets and costs in each season, and the statistics of it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.plan_record import Delivery
from routing.risk.record import PromiseRisk, Share
from routing.risk.repair import Driven
from routing.risk.seasons import Flags, Floats
from routing.risk.strong import LotSeen, kept_hives
from routing.risk.terms import Nights

Z95 = 1.959963984540054
SMALL = 1e-6


@dataclass(frozen=True)
class Outcome:
    """One contract in every season."""

    kept: Flags
    late: Flags
    short: Flags
    weak: Flags
    left_in: Flags
    good: Floats
    """Colonies that are in on time, strong and out in time, no more than promised."""
    missing: Floats
    usd: Floats


def outcome(
    operation: Operation, contract: Contract, driven: Driven, *, lot: LotSeen, nights: Nights, spare: int = 0
) -> Outcome:
    """Return what becomes of a contract.

    A lot too weak loses its weakest hives until its average holds, unless the contract takes it at a price for each frame.
    ``spare`` hives more at hand stand in for weak or missing ones.
    """
    name = contract.name
    came = driven.in_time[name] + driven.late[name]
    least = contract.min_average_frames
    strong = kept_hives(lot, least, spare=spare)
    lack = np.maximum(least - lot.average, 0.0)
    priced = contract.weak_usd_per_frame is not None
    share = np.ones_like(came) if priced or not lot.hives else strong / lot.hives
    filled = min(max(contract.colonies - lot.hives, 0), spare)
    got = np.where(came > 0, came * share + filled, 0.0)
    missing = np.maximum(contract.colonies - got, 0.0)
    left = np.zeros_like(came) if nights.stays else np.maximum(came - driven.taken_out[name], 0.0)
    weak = (lack > SMALL) & (came > 0) & ((share < 1.0 - SMALL) | priced)
    late = driven.late[name] > SMALL
    usd = (
        missing * (contract.fee_usd_per_colony + contract.short_usd_per_colony)
        + driven.late_nights[name] * contract.late_usd_per_colony_night
        + (came * lack * (contract.weak_usd_per_frame or 0.0) if priced else 0.0)
        + left * constant(operation, "left_in_usd_per_colony")
    )  # fmt: skip
    kept = (missing <= SMALL) & ~late & (left <= SMALL) & ~(weak & priced)
    on_time = np.where(came > 0, driven.in_time[name] / np.maximum(came, SMALL), 0.0) * got
    good = np.minimum(np.maximum(on_time - left, 0.0), contract.colonies)
    return Outcome(kept, late, missing > SMALL, weak, left > SMALL, good, missing, usd)


def share_of(flags: Flags) -> Share:
    """Return a share with its 95 % interval.

    Notes
    -----
    Wilson's score interval: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of
    the American Statistical Association 22 (1927), 209-212 (from memory; tested against statsmodels).
    """
    n, value = flags.size, float(flags.mean())
    middle = (value + Z95**2 / (2 * n)) / (1 + Z95**2 / n)
    half = Z95 * math.sqrt(value * (1 - value) / n + Z95**2 / (4 * n * n)) / (1 + Z95**2 / n)
    return Share(value=value, low=max(middle - half, 0.0), high=min(middle + half, 1.0))


def mean_with_error(values: Floats) -> tuple[float, float]:
    """Return a mean and half its 95 % interval, by the normal."""
    error = float(values.std(ddof=1)) / math.sqrt(values.size) if values.size > 1 else 0.0
    return float(values.mean()), Z95 * error


def promise_risk(contract: Contract, row: Delivery, found: Outcome) -> PromiseRisk:
    """Return the statistics of one contract."""
    return PromiseRisk(
        contract=contract.name, kept=share_of(found.kept), late=share_of(found.late), short=share_of(found.short),
        weak=share_of(found.weak), left_in=share_of(found.left_in), colonies_missing=round(float(found.missing.mean()), 3),
        usd=round(float(found.usd.mean()), 2), planned_short=max(contract.colonies - row.delivered, 0),
    )  # fmt: skip


def cost_of(driven: Driven, outcomes: Mapping[str, Outcome]) -> Floats:
    """Return the whole cost of each season: the road, and every promise not kept. [USD]"""
    total: Floats = driven.usd + sum((one.usd for one in outcomes.values()), np.zeros_like(driven.usd))
    return total
