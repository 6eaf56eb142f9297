"""A workbook of 100,000 filled cells at the door: read whole, or refused with all faults; seconds each."""

from collections.abc import Callable

from api.files.workbook import operation_workbook
from api.files.workbook_read import operation_from_workbook
from fixtures.tiny import tiny_operation
from routing.errors import OperationError
from routing.inputs.operation import Operation
from tests.benchmarks._record import Record, measured

CELLS = 100_000
NO_SUCH_CONTRACT = "Nowhere"


def rows() -> list[Record]:
    """Return one row for a workbook without fault and one for a workbook with a fault in every drop."""
    return [at_the_door(case, make(CELLS)) for case, make in CASES.items()]


def sound(cells: int) -> Operation:
    """Return the tiny operation with so many drops that its table has at least ``cells`` filled cells."""
    tiny = tiny_operation()
    drop = tiny.drops[0]
    many = cells // len(drop.model_dump()) + 1
    drops = tuple(drop.model_copy(update={"name": str(number)}) for number in range(many))
    return tiny.model_copy(update={"drops": drops})


def faulty(cells: int) -> Operation:
    """Return ``sound`` with drops of a contract that is not there: a fault in every row of the table."""
    whole = sound(cells)
    drops = tuple(drop.model_copy(update={"contract": NO_SUCH_CONTRACT}) for drop in whole.drops)
    return whole.model_copy(update={"drops": drops})


CASES: dict[str, Callable[[int], Operation]] = {"sound": sound, "faulty": faulty}


def at_the_door(case: str, operation: Operation) -> Record:
    """Return the row of one workbook: how long it takes to read or refuse it."""
    content = operation_workbook(operation)
    faults = 0
    with measured() as took:
        try:
            operation_from_workbook(content, f"{case}.xlsx")
        except OperationError as error:
            faults = len(error.faults)
    return {
        "benchmark": "door",
        "workbook": case,
        "cells": len(operation.drops) * len(operation.drops[0].model_dump()),
        "outcome": "refused" if faults else "read",
        "faults": faults,
        "seconds": took.seconds,
        "peak_mib": took.peak_mib,
        "workbook_mib": len(content) / 1024 / 1024,
    }
