"""The contracts' nights in each season: agreed dates stand, those that hang on percent bloom move with it."""

import datetime as dt
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from routing.bloom.predict import bloom_forecast
from routing.bloom.window import contract_window
from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation

Whole = npt.NDArray[np.int64]
NEVER = 10_000
"""A night after every season."""


@dataclass(frozen=True)
class Nights:
    """Nights of one contract in every season, numbered from the operation's first; one value a season."""

    in_from: Whole
    in_until: Whole
    late_until: Whole
    out_from: Whole
    """``NEVER`` when hives stay."""
    out_until: Whole
    stays: bool

    def wider(self, nights: int) -> "Nights":
        """Return the same with so many nights more on time, and to be out."""
        return Nights(self.in_from, self.in_until + nights, self.late_until + nights, self.out_from,
                      self.out_until + nights, self.stays)  # fmt: skip


def shift_days(operation: Operation, contract: Contract, normal: dict[str, npt.NDArray[np.float64]]) -> Whole:
    """Return by how many whole days a contract's nights come later in each season.

    Parameters
    ----------
    operation
        Gives the forecast and ``agreed_dates_follow_bloom``.
    contract
        Its nights, in and out, move with the bloom when they hang on percent bloom; by the share of the constant when
        nights in are agreed.
    normal
        Standard normal values: ``season``, shared by all orchards, and one row for each contract.
    """
    share = 1.0 if contract.in_from is None else constant(operation, "agreed_dates_follow_bloom")
    still = np.zeros(normal["season"].size, dtype=np.int64)
    if share == 0.0:
        return still
    try:
        forecast = bloom_forecast(operation, contract)
    except OperationError:
        # Nothing is known of its bloom: its dates are agreed, and do not move.
        return still
    shared, own = forecast.shared_sd_days, forecast.own_sd_days
    if forecast.kind == "dates":
        # A forecast from dates knows no weather: most of its error is the season's, and the same everywhere.
        spread, part = math.hypot(shared, own), constant(operation, "bloom_shared_share")
        shared, own = spread * math.sqrt(part), spread * math.sqrt(1.0 - part)
    days = shared * normal["season"] + own * normal[contract.name]
    return np.rint(share * days).astype(np.int64)


def nights_of(operation: Operation, contract: Contract, shift: Whole) -> Nights:
    """Return a contract's nights in seasons in which they come so many days later."""
    window = contract_window(operation, contract)
    never = np.full_like(shift, NEVER)
    first, last, late = (
        _number(operation, night) + shift for night in (window.in_from, window.in_until, window.late_until)
    )  # fmt: skip
    if window.out_from is None or window.out_until is None:
        return Nights(first, last, late, never, never, stays=True)
    out_from, out_until = (_number(operation, night) + shift for night in (window.out_from, window.out_until))
    return Nights(first, last, late, out_from, out_until, stays=False)


def _number(operation: Operation, night: dt.date) -> int:
    return (night - operation.first_night).days
