"""The tiny operation with trucks that carry less than they seem to, and the draft that a search makes of it."""

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.nights.draft import DraftNight, DraftStop
from routing.nights.problem import Problem, read_problem

HOME, CHERRIES, BLUEBERRIES = "Home yard", "Early cherries", "Late blueberries"
APRIL_23, MAY_10, JUNE_4 = 3, 20, 45
"""Nights, counted from 20 April."""
H1, L1 = 0, 1
"""Kinds of units: pallets of four hives, loose hives."""


def with_truck(operation: Operation, **about: object) -> Operation:
    """Return the operation with its truck changed."""
    return operation.model_copy(update={"trucks": (operation.trucks[0].model_copy(update=about), *operation.trucks[1:])})


def with_rear_axle(operation: Operation, rating_lb: float) -> Operation:
    """Return the operation with another rating of its truck's rear axle, which weighs 6,400 lb empty."""
    steer, rear = operation.axle_groups
    return operation.model_copy(update={"axle_groups": (steer, rear.model_copy(update={"rating_lb": rating_lb}))})


def moves() -> tuple[DraftNight, ...]:
    """Return H1 to the cherries, on to the blueberries with L1, and both home."""
    return (
        DraftNight(0, APRIL_23, (DraftStop(HOME, ((H1, 4),)), DraftStop(CHERRIES, (), ((H1, 4),)))),
        DraftNight(0, MAY_10, (
            DraftStop(HOME, ((L1, 6),)), DraftStop(CHERRIES, ((H1, 4),)), DraftStop(BLUEBERRIES, (), ((H1, 4), (L1, 6))),
        )),
        DraftNight(0, JUNE_4, (DraftStop(BLUEBERRIES, ((H1, 4), (L1, 6))), DraftStop(HOME, (), ((H1, 4), (L1, 6))))),
    )  # fmt: skip


@pytest.fixture(scope="session")
def tiny() -> Problem:
    return read_problem(tiny_operation())


@pytest.fixture(scope="session")
def draft() -> tuple[DraftNight, ...]:
    return moves()
