"""The worked example, with rows changed and added."""

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from routing.inputs.cross_check import cross_check
from routing.inputs.example import example_operation, example_row
from routing.inputs.operation import Operation

Rows = Mapping[str, list[dict[str, Any]]]


def _changed(rows: Rows) -> Operation:
    """Return the worked example; each row given changes the row in its place, or is added behind."""
    operation = example_operation()
    update: dict[str, Any] = {}
    for table, changes in rows.items():
        if table == "operation":
            update |= changes[0]
            continue
        kept = list(getattr(operation, table))
        for index, change in enumerate(changes):
            if index < len(kept):
                kept[index] = kept[index].model_copy(update=change)
            else:
                kept.append((kept[0] if kept else example_row(table)).model_copy(update=change))
        update[table] = tuple(kept)
    return operation.model_copy(update=update)


@pytest.fixture(scope="session")
def changed() -> Callable[[Rows], Operation]:
    """Return a function that changes the worked example."""
    return _changed


@pytest.fixture(scope="session")
def told() -> Callable[[Rows], list[str]]:
    """Return a function that changes the worked example and tells what is wrong: table[row].column: found."""
    return lambda rows: [
        f"{flaw.table}[{flaw.index}].{flaw.column}: {flaw.found} | {flaw.allowed}"
        for flaw in cross_check(_changed(rows))
    ]
