"""What a season counts: units of hives, contracts in nights, room in yards."""

import datetime as dt
from dataclasses import dataclass

from routing.bloom.window import ContractWindow, contract_window
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.season.frames import Counted

Span = tuple[int, int]
"""First and last, both included."""


@dataclass(frozen=True)
class Kind:
    """Units of one group, all with the same number of hives."""

    group: HiveGroup
    units: int
    hives: int
    palletised: bool


@dataclass(frozen=True)
class Stand:
    """One contract in nights."""

    contract: Contract
    window: ContractWindow
    nights_in: Span | None
    """Nights in time, inside the season; None when there is none."""
    nights_out: Span | None
    """None when hives stay, or when no night out lies inside the season."""
    over: int
    """Colonies taken beyond the promise."""


def evening(operation: Operation, night: dt.date) -> int:
    """Return the number of a night."""
    return (night - operation.first_night).days


def date(operation: Operation, number: int) -> dt.date:
    """Return the date of a numbered night."""
    return operation.first_night + dt.timedelta(days=number)


def kinds_of(operation: Operation) -> tuple[Kind, ...]:
    """Return the unit kinds of every group that may travel."""
    found = []
    for group in operation.hive_groups:
        pallet = next((one for one in operation.pallets if one.name == group.pallet), None)
        each = pallet.hives if pallet else 1
        sizes = ((group.hives // each, each), (1 if group.hives % each else 0, group.hives % each))
        found += [Kind(group, units, hives, pallet is not None) for units, hives in sizes if units and group.may_travel]
    return tuple(found)


def stands_of(counted: Counted, kinds: tuple[Kind, ...]) -> dict[str, Stand]:
    """Return each contract with its nights cut to the season."""
    operation = counted.operation
    most = evening(operation, operation.last_night)
    found = {}
    for contract in operation.contracts:
        window = contract_window(operation, contract)
        strong = (kind for kind in kinds if counted.strong_enough(kind.group, contract, window.in_from))
        largest = max((kind.hives for kind in strong), default=1)
        found[contract.name] = Stand(
            contract=contract, window=window, over=0 if contract.over_delivery == "not taken" else largest - 1,
            nights_in=_span(operation, window.in_from, window.in_until, most),
            nights_out=_span(operation, window.out_from, window.out_until, most),
        )  # fmt: skip
    return found


def _span(operation: Operation, first: dt.date | None, last: dt.date | None, most: int) -> Span | None:
    if first is None or last is None:
        return None
    low, high = max(evening(operation, first), 0), min(evening(operation, last), most)
    return (low, high) if low <= high else None


def room_of(operation: Operation) -> dict[str, int]:
    """Return the hives that each yard holds beside those that may not travel.

    A yard that is too full at the start is held to what stands in it then.
    """
    room = {}
    for yard in operation.yards:
        standing = [one for one in operation.hive_groups if one.yard == yard.name]
        most = max(yard.capacity_hives, sum(one.hives for one in standing))
        room[yard.name] = most - sum(one.hives for one in standing if not one.may_travel)
    return room
