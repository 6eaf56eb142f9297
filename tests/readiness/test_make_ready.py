"""The whole of readiness, on the tiny plan and on plans drawn at random."""

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fixtures.tiny import tiny_operation, tiny_plan
from routing.nights.tour import TruckNight
from routing.readiness import readiness

TINY = tiny_operation()
PLAN = tiny_plan()
Night = Callable[..., TruckNight]


def test_the_gear_of_the_tiny_plan_is_as_worked_out_by_hand() -> None:
    assert readiness(TINY, PLAN.truck_nights).gear == PLAN.gear


def test_every_task_worked_out_by_hand_for_the_loose_hives_is_found() -> None:
    found = {
        (task.group, task.task, task.hives, task.by_night)
        for task in readiness(TINY, PLAN.truck_nights).tasks
    }
    by_hand = {
        (task.group, task.task, task.hives, task.by_night) for task in PLAN.tasks if task.group == "L1"
    }
    assert len(by_hand) == 3
    assert by_hand <= found


def test_tasks_come_in_order_of_night_place_and_group() -> None:
    keys = [(task.by_night, task.yard, task.group) for task in readiness(TINY, PLAN.truck_nights).tasks]
    assert keys == sorted(keys)


def test_a_group_that_no_truck_moves_has_no_task_but_for_weakness() -> None:
    groups = {task.group for task in readiness(TINY, ()).tasks}
    assert groups == {"W1"}


def test_two_trucks_of_one_night_make_one_task_for_a_group(truck_night: Night) -> None:
    nights = [truck_night(4, 24, ("H1", 8, "Home yard", "Early cherries")),
              truck_night(4, 24, ("H1", 4, "Home yard", "Early cherries"), truck="Old red")]  # fmt: skip
    assert [task.hives for task in readiness(TINY, nights).tasks if task.group == "H1"] == [12]


def test_a_lot_of_an_unknown_group_is_refused_by_name(truck_night: Night) -> None:
    with pytest.raises(LookupError, match="'Z9'"):
        readiness(TINY, [truck_night(4, 24, ("Z9", 8, "Home yard", "Early cherries"))])


DAYS = st.lists(st.tuples(st.integers(21, 30), st.integers(1, 6), st.sampled_from(["H1", "L1"])), max_size=6)


@given(days=DAYS)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50)
def test_gear_never_falls_short_of_any_night_and_order_of_nights_is_nothing(
    days: list[tuple[int, int, str]], truck_night: Night
) -> None:
    nights = [
        truck_night(4, day, (group, hives, "Home yard", "Early cherries")) for day, hives, group in days
    ]
    ready = readiness(TINY, nights)
    needed = {one.item: one.needed for one in ready.gear}
    assert needed.get("migratory lid", 0) == sum(hives for _, hives, group in days if group == "L1")
    for day in {day for day, _, _ in days}:
        assert needed["entrance screen"] >= sum(hives for on, hives, _ in days if on == day)
    assert readiness(TINY, nights[::-1]) == ready
