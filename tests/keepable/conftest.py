"""The tiny operation with a few values changed, and drafts of its plan."""

from collections.abc import Callable
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.nights.draft import DraftNight, DraftStop
from routing.nights.problem import read_problem

HOME, FAR, CHERRIES, BLUEBERRIES = "Home yard", "Far yard", "Early cherries", "Late blueberries"


def changed(operation: Operation, table: str, name: str | None = None, **values: Any) -> Operation:
    """Return the operation with values of one row (or, without a name, of all rows) of a table changed."""
    rows = getattr(operation, table)
    new = tuple(one.model_copy(update=values) if name is None or one.name == name else one for one in rows)
    return operation.model_copy(update={table: new})


@pytest.fixture
def change() -> Callable[..., Operation]:
    """Give the maker of changed operations."""
    return changed


@pytest.fixture
def tiny_draft() -> tuple[DraftNight, ...]:
    """Give the draft of the hand-made plan of the tiny operation."""
    number = {kind.group: index for index, kind in enumerate(read_problem(tiny_operation()).kinds)}
    h1, l1 = (number["H1"], 4), (number["L1"], 6)
    april = (DraftStop(HOME, picked_up=(h1,)), DraftStop(CHERRIES, set_down=(h1,)))
    may = (DraftStop(HOME, picked_up=(l1,)), DraftStop(CHERRIES, picked_up=(h1,)),
           DraftStop(BLUEBERRIES, set_down=(h1, l1)))  # fmt: skip
    june = (DraftStop(BLUEBERRIES, picked_up=(h1, l1)), DraftStop(FAR, set_down=(h1,)),
            DraftStop(HOME, set_down=(l1,)))  # fmt: skip
    # Nights are counted from 20 April: 24 April is 4, 11 May is 21, 5 June is 46.
    return tuple(DraftNight(0, night, stops) for night, stops in ((4, april), (21, may), (46, june)))
