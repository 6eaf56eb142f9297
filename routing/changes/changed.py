"""The operation with something changed in it, checked at the door like any other."""

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from routing.bloom.predict import weather_forecast
from routing.bloom.window import contract_window
from routing.changes.change import BloomShift, Change, ColoniesLost, ColoniesWanted, DriverAway, NoMoves, TruckAway
from routing.errors import OperationError
from routing.inputs.away import dates_away
from routing.inputs.contract import Bloom, Contract
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.frames import frames_seen
from routing.inputs.operation import Operation
from routing.inputs.read import operation_from_json
from routing.inputs.yard import HiveGroup
from routing.record import Record

DATES = ("in_from", "in_until", "petal_fall_on", "out_from", "out_until", "spray_on")
"""Dates of a contract that move with its bloom."""


def changed_operation(operation: Operation, changes: Iterable[Change]) -> Operation:
    """Return the operation with the changes made, one after another.

    Raises
    ------
    OperationError
        If a change names what is not there, or leaves an operation that cannot be.
    """
    for number, change in enumerate(changes, start=1):
        operation = _made(operation, change, f"change {number}")
    return operation_from_json(operation.model_dump_json(), "operation with its changes")


def _made(operation: Operation, change: Change, file: str) -> Operation:
    match change:
        case BloomShift():
            return _bloom(operation, change, file)
        case TruckAway():
            return _rows(operation, "trucks", (change.truck, file), _also_away(change.nights))
        case DriverAway():
            return _rows(operation, "drivers", (change.driver, file), _also_away(change.nights))
        case NoMoves():
            update = _also_away(change.nights)
            return operation.model_copy(update={"trucks": tuple(one.model_copy(update=update(one)) for one in operation.trucks)})
        case ColoniesLost():
            return _rows(operation, "hive_groups", (change.group, file), lambda row: _fewer(operation, row, change, file))
        case ColoniesWanted():
            return _rows(operation, "contracts", (change.contract, file), lambda row: {"colonies": change.colonies})


def _rows(
    operation: Operation, table: str, named: tuple[str, str], update: Callable[[Any], dict[str, object]]
) -> Operation:
    """Return the operation with one named row of a table changed."""
    name, file = named
    rows: Sequence[Any] = getattr(operation, table)
    if name not in [row.name for row in rows]:
        allowed = with_nearest(f"a name of the table {table.replace('_', ' ')}", name, [row.name for row in rows])
        raise OperationError((Fault(file=file, column="name", found=shown(name), allowed=allowed),))
    new: tuple[Record, ...] = tuple(row.model_copy(update=update(row)) if row.name == name else row for row in rows)
    return operation.model_copy(update={table: new})


def _also_away(nights: Iterable[dt.date]) -> Callable[[Any], dict[str, object]]:
    return lambda row: {"nights_away": ", ".join(str(night) for night in sorted(dates_away(row.nights_away) | set(nights)))}


def _bloom(operation: Operation, change: BloomShift, file: str) -> Operation:
    shift = dt.timedelta(days=change.days)

    def moved(row: Contract) -> dict[str, object]:
        update = {name: value + shift for name in DATES if (value := getattr(row, name)) is not None}
        return _foretold(operation, row, shift) | update

    blooms = _notes_moved(operation, change.contract, shift)
    return _rows(operation, "contracts", (change.contract, file), moved).model_copy(update={"blooms": blooms})


def _notes_moved(operation: Operation, contract: str, shift: dt.timedelta) -> tuple[Bloom, ...]:
    """Return the notes of bloom with a contract's forecasts moved, none to a day before what was seen already."""
    seen = [one for one in operation.blooms if one.contract == contract and one.seen]
    moved: dict[int, dt.date] = {}
    ahead = [(one.on, index) for index, one in enumerate(operation.blooms) if one.contract == contract and not one.seen]
    for on, index in sorted(ahead):
        before = [one.on for one in seen if one.on < on] + [day for other, day in moved.items() if other != index]
        moved[index] = max([on + shift, *(day + dt.timedelta(days=1) for day in before)])
    return tuple(
        one.model_copy(update={"on": moved[index]}) if index in moved else one for index, one in enumerate(operation.blooms)
    )


def _foretold(operation: Operation, row: Contract, shift: dt.timedelta) -> dict[str, object]:
    """Return the nights of a way in that weather foretells, moved: what has been heard of the bloom counts before it."""
    if row.in_from is not None or weather_forecast(operation, row) is None:
        return {}
    window = contract_window(operation, row)
    nights = {"in_from": window.in_from, "in_until": window.in_until}
    if row.out_at_percent_petal_fall is not None and window.out_from is not None:
        nights["out_from"] = window.out_from
    return {name: night + shift for name, night in nights.items()}


def _fewer(operation: Operation, group: HiveGroup, change: ColoniesLost, file: str) -> dict[str, object]:
    moved = sum(row.hives for row in operation.arranged if row.done and row.group == group.name and row.origin == group.yard)
    if change.hives >= group.hives - moved:
        allowed = f"fewer than the {group.hives - moved} hives of {group.name} that have not been moved yet"
        raise OperationError((Fault(file=file, column="hives", found=shown(change.hives), allowed=allowed),))
    left = group.hives - change.hives
    update: dict[str, object] = {"hives": left}
    if group.hives_inspected is not None:
        update["hives_inspected"] = min(group.hives_inspected, left)
    if group.frames_seen:
        # Which of the hives opened are lost is not known: the first ones written down stand for all.
        update["frames_seen"] = ", ".join(f"{frames:g}" for frames in frames_seen(group.frames_seen)[:left])
    return update
