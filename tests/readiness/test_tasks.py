"""What is to be done to the hives of one departure."""

import datetime as dt
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation, Temperature
from routing.plan_record import Task
from routing.readiness.departure import Departure
from routing.readiness.tasks import departure_tasks

NIGHT = dt.date(2027, 4, 24)
COOL = Temperature(night=NIGHT, sunset_f=50.0, low_f=35.0, sunrise_f=38.0)
WARM = Temperature(night=NIGHT, sunset_f=72.0, low_f=55.0, sunrise_f=58.0)
TINY = tiny_operation()
READY = {
    "lid": "migratory",
    "inner_cover": False,
    "strapped": True,
    "feed_left": "none",
    "bottom_board": "pallet",
}


def test_hives_that_leave_their_yard_are_made_ready_from_the_ground_up() -> None:
    assert [task.task for task in tasks("L1")] == [
        "take honey supers off",
        "change inner cover and telescoping lid for a migratory lid",
        "strap hives, lid to bottom board",
        "screen entrances on the night",
    ]


def test_hives_that_leave_an_orchard_are_ready_but_for_their_entrances() -> None:
    assert [task.task for task in tasks("L1", place="Early cherries")] == ["screen entrances on the night"]


@pytest.mark.parametrize(
    ("change", "task"),
    [
        ({"lid": "telescoping"}, "change telescoping lid for a migratory lid"),
        ({"inner_cover": True}, "take the inner cover off"),
        ({"strapped": False}, "strap hives, lid to pallet"),
        ({"feed_left": "some"}, "empty the feeder"),
        ({"feed_left": "full"}, "empty the feeder"),
        ({"bottom_board": "solid"}, "set the hives on their pallets"),
    ],
)
def test_each_thing_that_is_not_ready_is_one_task_more(change: dict[str, Any], task: str) -> None:
    before = {one.task for one in tasks("H1", build=READY)}
    assert {one.task for one in tasks("H1", build={**READY, **change})} - before == {task}


@pytest.mark.parametrize(
    ("ventilation", "night", "expected"),
    [
        ("entrance only", WARM, ["screen entrances on the night"]),
        ("none", WARM, ["screen entrances on the night"]),
        ("top screen", WARM, ["open the top screen for air", "close entrances on the night"]),
        ("screened bottom", WARM, ["open the screened bottom for air", "close entrances on the night"]),
        ("entrance only", COOL, ["close or screen entrances on the night"]),
        ("top screen", COOL, ["close entrances on the night"]),
        ("entrance only", None, ["screen entrances on the night"]),
        ("top screen", None, ["open the top screen for air", "close entrances on the night"]),
    ],
)
def test_air_is_set_for_the_temperature_of_the_night(
    ventilation: str, night: Temperature | None, expected: list[str]
) -> None:
    rows = () if night is None else (night,)
    found = tasks("H1", build={**READY, "ventilation": ventilation}, temperatures=rows)
    assert [task.task for task in found] == expected


def test_a_night_without_temperature_says_so_and_why_air_is_needed() -> None:
    (task,) = tasks("H1", build=READY)
    assert (
        "no temperature is given for Home yard, Early cherries, so it is taken for a warm night" in task.why
    )
    assert "held at 91-97 F" in task.why
    assert "pbs.org" in task.source


def test_a_warm_destination_makes_the_night_warm() -> None:
    home = COOL.model_copy(update={"place": "Home yard"})
    orchard = WARM.model_copy(update={"place": "Early cherries"})
    found = tasks("H1", build=READY, temperatures=(home, orchard))
    assert [task.task for task in found] == ["screen entrances on the night"]


def test_every_task_names_the_hives_the_night_and_a_source() -> None:
    for task in tasks("L1"):
        assert (task.group, task.yard, task.hives, task.by_night) == ("L1", "Home yard", 6, NIGHT)
        assert task.source


def tasks(
    name: str, *, place: str = "Home yard", build: dict[str, Any] | None = None,
    temperatures: tuple[Temperature, ...] = (),
) -> list[Task]:  # fmt: skip
    operation = _with(name, build or {}, temperatures)
    (group,) = [one for one in operation.hive_groups if one.name == name]
    leaving = Departure(night=NIGHT, place=place, group=group, hives=group.hives, pallets=0,
                        destinations=("Early cherries",))  # fmt: skip
    return departure_tasks(operation, leaving)


def _with(name: str, change: dict[str, Any], temperatures: tuple[Temperature, ...]) -> Operation:
    (group,) = [one for one in TINY.hive_groups if one.name == name]
    builds = tuple(
        build.model_copy(update=change) if build.name == group.build else build for build in TINY.hive_builds
    )
    return TINY.model_copy(update={"hive_builds": builds, "temperatures": temperatures})
