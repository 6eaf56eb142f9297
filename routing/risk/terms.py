"""The contracts' nights in each season: agreed dates stand, dates that follow the bloom move with it."""

import datetime as dt
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from routing.bloom.predict import bloom_forecast
from routing.bloom.window import ContractWindow, contract_window
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


def shift_days(operation: Operation, contract: Contract, normal: "dict[str, npt.NDArray[np.float64]]") -> Whole:
    """Return by how many days bloom comes later in each season, in whole days.

    ``normal`` holds standard normal values: ``season``, shared by all orchards, and one row for each contract.
    """
    try:
        forecast = bloom_forecast(operation, contract)
    except OperationError:
        # Nothing is known of its bloom: its dates are agreed and do not move.
        return np.zeros(normal["season"].size, dtype=np.int64)
    days = forecast.shared_sd_days * normal["season"] + forecast.own_sd_days * normal[contract.name]
    return np.rint(days).astype(np.int64)


def nights_of(operation: Operation, contract: Contract, shift: Whole) -> Nights:
    """Return a contract's nights in seasons whose bloom comes so many days later."""
    window = contract_window(operation, contract)
    none = np.zeros_like(shift)
    first = _number(operation, window.in_from) + (none if contract.in_from else shift)
    last = _number(operation, window.in_until) + (none if contract.in_until or contract.in_from else shift)
    last = np.maximum(first, last)
    late = last + contract.late_nights_allowed
    if window.out_from is None or window.out_until is None:
        return Nights(first, last, late, none + NEVER, none + NEVER, stays=True)
    out_from = _number(operation, window.out_from) + (none if contract.out_from else shift)
    out_until = np.maximum(_out_until(operation, contract, window, shift), out_from)
    return Nights(first, last, late, out_from, out_until, stays=False)


def _out_until(operation: Operation, contract: Contract, window: ContractWindow, shift: Whole) -> Whole:
    ends = []
    if contract.out_until is not None:
        ends.append(np.full_like(shift, _number(operation, contract.out_until)))
    if contract.spray_on is not None:
        clear = math.ceil(constant(operation, "clear_nights_before_spray"))
        ends.append(_number(operation, contract.spray_on) - 1 - clear + shift)
    if not ends and window.out_until is not None:
        ends.append(_number(operation, window.out_until) + (0 * shift if contract.out_from else shift))
    found: Whole = np.min(np.stack(ends), axis=0)
    return found


def _number(operation: Operation, night: dt.date) -> int:
    return (night - operation.first_night).days
