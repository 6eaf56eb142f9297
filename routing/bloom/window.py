"""The nights on which a contract's hives come in and go out.

Rule: nothing is clipped silently. An end that contradicts another is a fault in words, never an empty window.
"""

import datetime as dt
import math

from routing.bloom.curve import NoBloomDayError, bloom_day
from routing.bloom.forecast import KIND_WORDS, BloomForecast, day_of
from routing.bloom.predict import bloom_forecast, weather_forecast
from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.limits.crop_rows import crop_named
from routing.record import Record


class ContractWindow(Record):
    """Dates of evenings, first and last ones included."""

    in_from: dt.date
    in_until: dt.date
    """Last evening on which hives are on time."""
    late_until: dt.date
    """Last evening on which the grower still takes hives."""
    out_from: dt.date | None
    """None when hives stay."""
    out_until: dt.date | None
    """None when hives stay."""
    basis: str
    """In words, how each end came about."""
    forecast: bool = False
    """True when the way in rests on a bloom forecast."""
    percent: float | None = None
    """Bloom at which hives are wanted, where the way in hangs on it. [%]"""


class _WindowFaultError(Exception):
    """One contradiction or gap in a contract's dates."""

    def __init__(self, column: str, *, found: str, allowed: str) -> None:
        super().__init__(found)
        self.column, self.found, self.allowed = column, found, allowed


def contract_window(operation: Operation, contract: Contract) -> ContractWindow:
    """Return the nights in and out of one contract.

    Parameters
    ----------
    operation
        Gives the bloom table, ``clear_nights_before_spray`` and ``nights_out_after_petal_fall``.
    contract
        A contract of the operation.

    Returns
    -------
    ContractWindow
        In: the dates agreed, or the evening of the first day on which bloom reaches the percentage agreed (from
        weather where a forecast rests on it, else from the rows of the bloom table), and ``in_within_nights`` more;
        where neither is agreed, by the crop's published rule. Late: ``late_nights_allowed`` more. Out: from
        ``out_from``, else the evening of petal fall, told or foretold, else ``nights_out_after_petal_fall`` before the
        last (never before the night after the first in); until the earlier of ``out_until`` and the last evening that
        leaves the clear nights before the spray, else ``nights_out_after_petal_fall`` after the first. No out date,
        petal fall or spray at all: the hives stay.

    Raises
    ------
    OperationError
        If the dates contradict each other, or the bloom table does not bear them. All of the contract's
        faults are in it.
    """
    faults: list[Fault] = []
    way_in = way_out = None
    try:
        way_in = _way_in(operation, contract)
    except _WindowFaultError as error:
        faults.append(_fault(operation, contract, error))
    try:
        way_out = _way_out(operation, contract, way_in[0] if way_in else None)
        if way_in and way_out[0]:
            _leave_after_coming(way_in[0], way_out[0])
    except _WindowFaultError as error:
        faults.append(_fault(operation, contract, error))
    if way_in is None or way_out is None or faults:
        raise OperationError(tuple(faults))
    in_from, in_until, in_basis, forecast = way_in
    out_from, out_until, out_basis = way_out
    return ContractWindow(
        in_from=in_from, in_until=in_until, out_from=out_from, out_until=out_until, forecast=forecast,
        percent=percent_wanted(operation, contract) if contract.in_from is None else None,
        late_until=in_until + dt.timedelta(days=contract.late_nights_allowed),
        basis=f"In: {in_basis}. Late: {_nights(contract.late_nights_allowed)} more. Out: {out_basis}.",
    )  # fmt: skip


def window_faults(operation: Operation) -> tuple[Fault, ...]:
    """Return what keeps the windows of the operation's contracts from being found, all of it at once."""
    faults: list[object] = []
    for contract in operation.contracts:
        try:
            contract_window(operation, contract)
        except OperationError as error:
            faults.extend(error.faults)
    return tuple(fault for fault in faults if isinstance(fault, Fault))


def _way_in(operation: Operation, contract: Contract) -> tuple[dt.date, dt.date, str, bool]:
    if contract.in_from is not None:
        first, basis, forecast = contract.in_from, f"from the date agreed, {contract.in_from}", False
    elif (percent := percent_wanted(operation, contract)) is not None:
        first, basis, forecast = _at_bloom(operation, contract, percent)
    else:
        raise _WindowFaultError("in_from", found="neither a first night in nor a percent bloom",
                                allowed="one of the two")  # fmt: skip
    if contract.in_until is None and contract.in_from is None and contract.in_at_percent_bloom is None:
        last = _before_too_late(operation, contract, first)
        percent_late = crop_named(contract.crop).in_until_percent
        return first, last, f"{basis}, until the evening before {percent_late:g} % bloom, {last}", forecast
    if contract.in_until is None:
        last = first + dt.timedelta(days=contract.in_within_nights)
        return first, last, f"{basis}, until {_nights(contract.in_within_nights)} later, {last}", forecast
    if contract.in_until < first:
        raise _WindowFaultError("in_until", found=f"{contract.in_until}, before the first night in, {first}",
                                allowed=f"{first} or later ({basis})")  # fmt: skip
    return first, contract.in_until, f"{basis}, until the date agreed, {contract.in_until}", forecast


def _before_too_late(operation: Operation, contract: Contract, first: dt.date) -> dt.date:
    """Return the last evening before the bloom at which hives come too late by the crop's published rule."""
    middle, _ = bloom_forecast(operation, contract).reached(crop_named(contract.crop).in_until_percent)
    return max(first, day_of(middle) - dt.timedelta(days=1))


def percent_wanted(operation: Operation, contract: Contract) -> float | None:
    """Return the bloom at which hives are wanted: the contract's own figure, else its crop's published one where the
    operation holds anything of this bloom, else None. [%]"""
    if contract.in_at_percent_bloom is not None:
        return contract.in_at_percent_bloom
    if operation.weather or any(row.contract == contract.name for row in operation.blooms) or _noted(operation, contract):
        return crop_named(contract.crop).in_percent
    return None


def _at_bloom(operation: Operation, contract: Contract, percent: float) -> tuple[dt.date, str, bool]:
    rule = "" if contract.in_at_percent_bloom is not None else _rule(contract)
    found = weather_forecast(operation, contract)
    if found is None and any(row.contract == contract.name for row in operation.stage_notes):
        found = bloom_forecast(operation, contract)
    if found is not None:
        return _foretold(found, percent, rule)
    rows = [row for row in operation.blooms if row.contract == contract.name]
    try:
        reached = bloom_day(rows, percent)
    except NoBloomDayError as error:
        if _noted(operation, contract):
            return _foretold(bloom_forecast(operation, contract), percent, rule)
        allowed = "a percentage that the bloom table bears, or dates"
        raise _WindowFaultError("in_at_percent_bloom", found=str(error), allowed=allowed) from error
    return reached.day, f"from the evening of {reached.basis}{rule}", reached.forecast


def _noted(operation: Operation, contract: Contract) -> bool:
    names = [row.contract for row in operation.stage_notes] + [row.contract for row in operation.past_blooms]
    return contract.name in names


def _foretold(found: BloomForecast, percent: float, rule: str) -> tuple[dt.date, str, bool]:
    middle, sd_days = found.reached(percent)
    day = day_of(middle)
    seen = any(one.seen and one.percent is not None and one.percent >= percent for one in found.stages)
    word = "seen" if seen else f"foretold, give or take {sd_days:.1f} days"
    return day, f"from the evening of {percent:g} % bloom by {day}, {word} ({KIND_WORDS[found.kind]}){rule}", not seen


def _rule(contract: Contract) -> str:
    crop = crop_named(contract.crop)
    return f"; no bloom is agreed, {crop.in_percent:g} % is usual for {crop.name} ({crop.source})"


def _way_out(
    operation: Operation, contract: Contract, in_from: dt.date | None
) -> tuple[dt.date | None, dt.date | None, str]:
    first, from_basis = _first_out(operation, contract)
    if contract.out_until is None and contract.spray_on is None and first is None:
        return None, None, "the hives stay: no night out, petal fall or spray is given"
    last, until_basis = _last_out(operation, contract, first)
    if first is None:
        first, from_basis = _first_out_before(operation, last, in_from)
    if last < first:
        raise _WindowFaultError("out_until", found=f"no night out is left: {from_basis}, {until_basis}",
                                allowed="a last night out on or after the first; ask the grower")  # fmt: skip
    return first, last, f"{from_basis}, {until_basis}"


def _first_out(operation: Operation, contract: Contract) -> tuple[dt.date | None, str]:
    if contract.out_from is not None:
        return contract.out_from, f"from the date agreed, {contract.out_from}"
    if contract.petal_fall_on is not None:
        return contract.petal_fall_on, f"from the evening of petal fall, {contract.petal_fall_on}"
    if contract.out_at_percent_petal_fall is not None:
        percent = contract.out_at_percent_petal_fall
        middle, sd_days = bloom_forecast(operation, contract).fallen(percent)
        return day_of(middle), f"from {percent:g} % petal fall, foretold for {day_of(middle)}, give or take {sd_days:.1f} days"
    return None, ""


def _first_out_before(operation: Operation, last: dt.date, in_from: dt.date | None) -> tuple[dt.date, str]:
    """Return a first night out where neither a date nor petal fall gives one."""
    nights = math.floor(constant(operation, "nights_out_after_petal_fall"))
    first = last - dt.timedelta(days=nights)
    if in_from is not None and first <= in_from:
        first = in_from + dt.timedelta(days=1)
        return first, f"from the night after the first in, {first}, since no petal fall is given"
    return first, f"from {_nights(nights)} before the last, {first}, since no petal fall is given"


def _last_out(operation: Operation, contract: Contract, first: dt.date | None) -> tuple[dt.date, str]:
    ends: list[tuple[dt.date, str]] = []
    if contract.out_until is not None:
        ends.append((contract.out_until, f"until the date agreed, {contract.out_until}"))
    if contract.spray_on is not None:
        # With 0 clear nights the last evening out is the one before the spray: hives are gone by its dawn.
        clear = math.ceil(constant(operation, "clear_nights_before_spray"))
        last = contract.spray_on - dt.timedelta(days=1 + clear)
        ends.append((last, f"until {last}, {_nights(clear)} clear before the spray on {contract.spray_on}"))
    if not ends and first is not None:
        nights = math.floor(constant(operation, "nights_out_after_petal_fall"))
        last = first + dt.timedelta(days=nights)
        ends.append((last, f"until {_nights(nights)} later, {last}"))
    # Of two that fall on one night the date agreed is told: it comes first.
    return min(ends, key=lambda end: end[0])


def _nights(count: int) -> str:
    return f"{count} night" if count == 1 else f"{count} nights"


def _leave_after_coming(in_from: dt.date, out_from: dt.date) -> None:
    if out_from <= in_from:
        raise _WindowFaultError(
            "out_from", found=f"a first night out on {out_from}, not after the first night in, {in_from}",
            allowed=f"a night after {in_from}",
        )  # fmt: skip


def _fault(operation: Operation, contract: Contract, error: _WindowFaultError) -> Fault:
    row = next((i for i, one in enumerate(operation.contracts) if one.name == contract.name), None)
    table = "contracts" if row is None else f"contracts[{row}]"
    return Fault(
        file=operation.name, column=error.column, path=f"{table}.{error.column}",
        found=f"{error.found} (contract {contract.name})", allowed=error.allowed,
    )  # fmt: skip
