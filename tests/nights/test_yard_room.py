"""Room in a yard over the whole season: hives that stay keep their room on every later night.

Sixteen hives (F1) stand in Far yard, which has room for sixteen. In June sixteen others (H1) are set down there,
as planned already. Cherries in April may have F1 or as many hives of Home yard (H2), which is nearer: taking H2
is cheaper that night, and leaves thirty-two hives in Far yard in June.
"""

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.nights.check import check_plan
from routing.nights.draft import DraftNight, DraftStop
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem, read_problem
from routing.nights.segments import segments
from routing.nights.slot import Slot, Task
from routing.plan import make_plan

HOME, FAR, CHERRIES, BLUEBERRIES = "Home yard", "Far yard", "Early cherries", "Late blueberries"
H1, F1, H2 = 0, 1, 2
"""Kinds of units: pallets of four hives."""
APRIL_23, MAY_11, JUNE_5 = 3, 21, 46
"""Nights, counted from 20 April."""
STAYS = {"petal_fall_on": None, "out_from": None, "out_until": None, "spray_on": None}


def operation(room_far: int, home: int = 40) -> Operation:
    """Return the tiny operation with three groups of sixteen alike, and cherries from which no hive is taken out."""
    tiny = tiny_operation()
    group, (home_yard, far_yard), (cherries, blueberries) = tiny.hive_groups[0], tiny.yards, tiny.contracts
    yards = (home_yard.model_copy(update={"capacity_hives": home}), far_yard.model_copy(update={"capacity_hives": room_far}))
    groups = (group, group.model_copy(update={"name": "F1", "yard": FAR}), group.model_copy(update={"name": "H2"}))
    contracts = (cherries.model_copy(update=STAYS), blueberries.model_copy(update={"colonies": 16}))
    return tiny.model_copy(update={"yards": yards, "hive_groups": groups, "contracts": contracts})


def planned_already() -> tuple[DraftNight, ...]:
    """Return H1 from Home yard to blueberries in May, and from there to Far yard in June."""
    into = (DraftStop(HOME, picked_up=((H1, 4),)), DraftStop(BLUEBERRIES, set_down=((H1, 4),)))
    out = (DraftStop(BLUEBERRIES, picked_up=((H1, 4),)), DraftStop(FAR, set_down=((H1, 4),)))
    return DraftNight(0, MAY_11, into), DraftNight(0, JUNE_5, out)


def cherries_served(problem: Problem) -> tuple[DraftNight, ...]:
    """Return the answer to one free truck-night in April, the rest fixed."""
    pieces = segments(problem)
    assert [piece.first <= night <= piece.last for piece, night in zip(pieces, (APRIL_23, MAY_11, JUNE_5), strict=True)]
    slot = Slot(rig=0, nights=tuple(pieces[0].nights), segment=0)
    task = Task(
        problem=problem, segments=pieces, fixed=planned_already(), slots=(slot,), outs_due=frozenset({BLUEBERRIES})
    )
    answer = solve_jointly(task, work=5.0, seed=0)
    assert answer is not None
    return answer


def standing(problem: Problem, yard: str, nights: tuple[DraftNight, ...]) -> list[int]:
    """Return the hives in a yard at the end of each truck-night, in order."""
    hives = [sum(one.hives for one in problem.operation.hive_groups if one.yard == yard)]
    for night in sorted(nights, key=lambda one: one.night):
        here = [stop for stop in night.stops if stop.place == yard]
        came = sum(problem.kinds[kind].hives * units for stop in here for kind, units in stop.set_down)
        went = sum(problem.kinds[kind].hives * units for stop in here for kind, units in stop.picked_up)
        hives.append(hives[-1] + came - went)
    return hives[1:]


def brought(answer: tuple[DraftNight, ...]) -> dict[int, int]:
    """Return the units of each kind set down in the cherries."""
    return {kind: units for night in answer for stop in night.stops if stop.place == CHERRIES for kind, units in stop.set_down}


def test_hives_that_would_be_in_the_way_in_june_leave_in_april() -> None:
    problem = read_problem(operation(room_far=16))
    answer = cherries_served(problem)
    # Four pallets of four from Far yard: 16 - 16 = 0 hives there in April and May, 0 + 16 = 16 in June.
    assert brought(answer) == {F1: 4}
    assert standing(problem, FAR, (*answer, *planned_already())) == [0, 0, 16]


def test_each_pallet_too_many_in_june_leaves_in_april_and_no_more() -> None:
    # Room for 24: in June 16 + 16 - 8 = 24, so that two pallets must leave; two of the nearer yard go with them.
    problem = read_problem(operation(room_far=24))
    answer = cherries_served(problem)
    assert max(standing(problem, FAR, (*answer, *planned_already()))) <= 24
    assert brought(answer)[F1] >= 2


def test_with_room_in_june_the_nearer_yard_serves_in_april() -> None:
    problem = read_problem(operation(room_far=32))
    answer = cherries_served(problem)
    # 24 + 24 miles by Home yard, 12 + 35 + 24 by Far yard.
    assert brought(answer) == {H2: 4}
    assert standing(problem, FAR, (*answer, *planned_already())) == [16, 16, 32]


@pytest.mark.parametrize(("room_far", "room_home"), [(16, 32), (16, 40)])
def test_a_whole_plan_keeps_the_room_of_every_yard(room_far: int, room_home: int) -> None:
    plan = make_plan(operation(room_far, room_home), seed=1, steps=2)
    # 16 x 60 and 16 x 70: both promises are kept in full.
    assert [row.delivered for row in plan.deliveries] == [16, 16]
    assert [one for one in check_plan(plan) if one.status == "broken"] == []
