"""Hives too weak for any contract."""

import datetime as dt
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.readiness.departure import Departure
from routing.readiness.weak import WeakHives, weak_hives, weak_tasks

TINY = tiny_operation()  # least average 7, least single colony 5, of all contracts
H1, L1, W1 = TINY.hive_groups


def test_a_group_under_every_average_is_weak_as_a_whole() -> None:
    (weak,) = weak_hives(TINY, ())
    assert (weak.group.name, weak.hives, weak.by_night) == ("W1", 8, TINY.first_night)
    assert weak.why == "3.5 frames counted on; every contract wants an average of 7 or more"


@pytest.mark.parametrize(("frames", "weak"), [("6.9x8", [8]), ("7x8", []), ("7.1x8", [])])
def test_the_least_average_of_all_contracts_is_the_border(frames: str, weak: list[int]) -> None:
    assert [one.hives for one in weak_hives(only(frames_seen=frames), ())] == weak


@pytest.mark.parametrize(("frames", "weak"), [("9x15, 4.9", [1]), ("9x15, 5", []), ("9x7, 4.9", [2])])
def test_of_a_strong_group_only_the_hives_under_the_floor_are_weak(frames: str, weak: list[int]) -> None:
    # 16 hives: 1 of 16 opened is one hive, 1 of 8 opened stands for two.
    assert [one.hives for one in weak_hives(only(hives=16, frames_seen=frames), ())] == weak


def test_a_group_that_the_plan_moves_has_only_its_hives_under_the_floor_by_its_first_night() -> None:
    night = dt.date(2027, 4, 24)
    operation = only(hives=8, frames_seen="6x7, 4")
    leaving = Departure(night=night, place="Home yard", group=operation.hive_groups[0], hives=8, pallets=2,
                        destinations=("Early cherries",))  # fmt: skip
    (weak,) = weak_hives(operation, (leaving,))
    assert (weak.hives, weak.by_night) == (1, night)
    assert "about 1 of its hives are under 5 frames" in weak.why


def test_hives_never_opened_are_to_be_opened_not_combined() -> None:
    operation = only(frames_seen=None)
    (weak,) = weak_hives(operation, ())
    assert [task.task for task in weak_tasks(operation, weak)] == ["open hives and count frames of bees"]


def test_without_contracts_nothing_is_weak() -> None:
    assert weak_hives(TINY.model_copy(update={"contracts": ()}), ()) == ()


def test_an_open_entrance_of_weak_hives_is_reduced_and_a_reduced_one_is_not() -> None:
    reduced = [task.task for task in weak_tasks(TINY, weak_group())]
    assert reduced == ["combine weak hives, healthy ones only, or feed them up"]
    open_build = TINY.hive_builds[2].model_copy(update={"entrance": "open"})
    operation = TINY.model_copy(update={"hive_builds": (*TINY.hive_builds[:2], open_build)})
    assert [task.task for task in weak_tasks(operation, weak_group())] == [*reduced, "reduce the entrance"]


def weak_group() -> WeakHives:
    return WeakHives(group=W1, hives=8, by_night=dt.date(2027, 4, 20), why="a test", seen=True)


def only(**about: Any) -> Operation:
    return TINY.model_copy(update={"hive_groups": (W1.model_copy(update=about),)})
