"""When contracts hold their hives at the same time."""

from collections.abc import Callable
from dataclasses import replace

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.keepable.need import FOREVER, at_once, need_of, needs_of
from routing.keepable.reach import Reach, shortest_ways
from routing.nights.problem import read_problem

CHERRIES, BLUEBERRIES = "Early cherries", "Late blueberries"


def reach(operation: Operation) -> Reach:
    return Reach(shortest_ways(read_problem(operation)))


def test_all_hives_stand_from_the_last_night_in_to_the_night_before_the_first_out() -> None:
    found = needs_of(read_problem(tiny_operation()), reach(tiny_operation()))
    # Nights from 20 April: in until 26 and a night late, 27 April = 7; out from 10 May = 20.
    assert found[CHERRIES].stands == (7, 19)
    # In until 13 and a night late, 14 May = 24; out from 4 June = 45.
    assert found[BLUEBERRIES].stands == (24, 44)
    assert {there for _, there in at_once(found)} == {(CHERRIES,), (BLUEBERRIES,)}


def test_in_time_the_last_night_is_the_last_one_without_lateness() -> None:
    there = reach(tiny_operation())
    promise = there.problem.promises[CHERRIES]
    assert need_of(there, promise, on_time=True).stands == (6, 19)


def test_hives_that_stay_are_never_gone(change: Callable[..., Operation]) -> None:
    stay = change(tiny_operation(), "contracts", CHERRIES, petal_fall_on=None, out_from=None, out_until=None,
                  spray_on=None)  # fmt: skip
    there = reach(stay)
    found = {name: need_of(there, one) for name, one in there.problem.promises.items()}
    assert found[CHERRIES].stands == (7, FOREVER - 1)
    assert at_once(found) == ((24, (CHERRIES, BLUEBERRIES)),)


def test_a_window_out_that_begins_within_the_window_in_holds_nothing_for_certain() -> None:
    there = reach(tiny_operation())
    early = replace(there.problem.promises[CHERRIES], in_last=22, late_last=22)
    found = need_of(there, early)
    # The last night in is 22, the first out 20: a hive may have gone, and even come back.
    assert (found.stands, found.again) == (None, True)
    # Out from 20 and in until 20: a hive may have gone, but has no night left to come back.
    level = need_of(there, replace(early, late_last=20))
    assert (level.stands, level.again) == (None, False)
