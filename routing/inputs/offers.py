"""Contracts signed and offers: an operation with only some of its contracts."""

from collections.abc import Iterable

from routing.inputs.contract import Contract
from routing.inputs.operation import Operation


def with_contracts(operation: Operation, contracts: Iterable[Contract]) -> Operation:
    """Return the operation with these contracts, in this order, and without the rows of any other of its contracts.

    Rows of a table that name an orchard left out go with it; everything else stays.
    """
    kept = tuple(contracts)
    gone = {one.name for one in operation.contracts} - {one.name for one in kept}
    update: dict[str, object] = {"contracts": kept}
    for name in type(operation).model_fields:
        rows = getattr(operation, name)
        if isinstance(rows, tuple) and rows and name != "contracts":
            update[name] = tuple(row for row in rows if not _named(row, gone))
    return operation.model_copy(update=update)


def signed_only(operation: Operation) -> Operation:
    """Return the operation without its offers; the same one when it has none."""
    if all(one.signed for one in operation.contracts):
        return operation
    return with_contracts(operation, (one for one in operation.contracts if one.signed))


NAMING = ("contract", "place", "origin", "destination")
"""Columns that may hold the name of a contract."""


def _named(row: object, gone: set[str]) -> bool:
    return any(getattr(row, column, None) in gone for column in NAMING)
