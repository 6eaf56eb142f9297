"""What hangs on a truck-night that is taken out goes with it, and the rest of the draft holds."""

from dataclasses import replace

import pytest

from fixtures.tiny import tiny_operation
from routing.feedback.cut import with_fewer, without
from routing.nights.begin import sound
from routing.nights.draft import DraftNight, DraftStop, delivered
from routing.nights.problem import Problem, read_problem
from routing.nights.stock import stock_holds

HOME, FAR, CHERRIES, BLUEBERRIES = "Home yard", "Far yard", "Early cherries", "Late blueberries"


def loose_alone(*nights: DraftNight) -> tuple[DraftNight, ...]:
    """Return the draft's last two nights when only the six loose hives ride."""
    may, june = nights[1], nights[2]
    return (
        replace(may, stops=(DraftStop(HOME, ((1, 6),)), DraftStop(BLUEBERRIES, (), ((1, 6),)))),
        replace(june, stops=(DraftStop(BLUEBERRIES, ((1, 6),)), DraftStop(HOME, (), ((1, 6),)))),
    )


def test_what_was_never_brought_is_not_lifted(tiny: Problem, draft: tuple[DraftNight, ...]) -> None:
    # Without April no pallet stands in the cherries: May and June carry the six loose hives only.
    assert without(tiny, draft, {draft[0]}) == loose_alone(*draft)


def test_hives_that_stay_where_they_were_brought_are_left_there(tiny: Problem, draft: tuple[DraftNight, ...]) -> None:
    assert without(tiny, draft, {draft[1]}) == draft[:1]
    assert without(tiny, draft, {draft[2]}) == draft[:2]


def test_nothing_is_changed_when_nothing_hangs_on_it(tiny: Problem, draft: tuple[DraftNight, ...]) -> None:
    assert without(tiny, draft, ()) == draft
    assert without(tiny, draft, draft) == ()


@pytest.mark.parametrize("out", range(3))
def test_what_is_left_holds(tiny: Problem, draft: tuple[DraftNight, ...], out: int) -> None:
    kept = without(tiny, draft, {draft[out]})
    assert sound(tiny, kept) == kept
    assert stock_holds(tiny, kept)


def test_a_done_night_is_never_touched(tiny: Problem, draft: tuple[DraftNight, ...]) -> None:
    # May is done, whatever the plan says of April: June still takes home all that stands there.
    begun = replace(tiny, next_night=draft[2].night)
    assert without(begun, draft, {draft[0]})[0] == draft[1]


def test_a_promise_whose_average_is_then_too_low_loses_its_weak_hives_too() -> None:
    tiny = tiny_operation()
    strong, weak = tiny.hive_groups[0], tiny.hive_groups[2].model_copy(update={"frames_seen": "7x8"})
    # 8 frames asked for on average and 6 of each: the 16 strong hives of 8.7 frames carry eight of less than 7.
    contract = tiny.contracts[0].model_copy(update={"colonies": 24})
    groups, contracts = (strong, tiny.hive_groups[1], weak), (contract, tiny.contracts[1])
    mixed = tiny.model_copy(update={"hive_groups": groups, "contracts": contracts})
    problem = read_problem(mixed)
    nights = (
        DraftNight(0, 3, (DraftStop(HOME, ((0, 4),)), DraftStop(CHERRIES, (), ((0, 4),)))),
        DraftNight(0, 4, (DraftStop(HOME, ((2, 2),)), DraftStop(CHERRIES, (), ((2, 2),)))),
    )
    assert stock_holds(problem, nights)
    assert without(problem, nights, {nights[0]}) == ()
    assert without(problem, nights, {nights[1]}) == nights[:1]


def test_a_yard_that_would_overflow_gets_fewer_back_and_earlier_nights_stay() -> None:
    tiny = tiny_operation()
    home, far = tiny.yards
    group = tiny.hive_groups[0]
    # Sixteen stand in Far yard, which has room for sixteen; in April they leave, in May sixteen others come there.
    full = tiny.model_copy(update={
        "yards": (home, far.model_copy(update={"capacity_hives": 16})),
        "hive_groups": (group, group.model_copy(update={"name": "F1", "yard": FAR})),
        "contracts": (tiny.contracts[0], tiny.contracts[1].model_copy(update={"colonies": 16})),
    })  # fmt: skip
    problem = read_problem(full)
    nights = (
        DraftNight(0, 3, (DraftStop(FAR, ((1, 4),)), DraftStop(CHERRIES, (), ((1, 4),)))),
        DraftNight(0, 21, (DraftStop(HOME, ((0, 4),)), DraftStop(BLUEBERRIES, (), ((0, 4),)))),
        DraftNight(0, 46, (DraftStop(BLUEBERRIES, ((0, 4),)), DraftStop(FAR, (), ((0, 4),)))),
    )
    assert without(problem, nights, ()) == nights
    kept = without(problem, nights, {nights[0]})
    assert kept == nights[1:2]
    assert delivered(kept, BLUEBERRIES) == {0: 4}


def test_fewer_units_on_one_night_are_fewer_on_those_that_follow(tiny: Problem, draft: tuple[DraftNight, ...]) -> None:
    one_less = with_fewer(tiny, draft, draft[0], kind=0, fewer=1)
    assert [dict(stop.picked_up).get(0, 0) for night in one_less for stop in night.stops] == [3, 0, 0, 3, 0, 3, 0]
    assert sound(tiny, one_less) == one_less
    assert with_fewer(tiny, draft, draft[0], kind=0, fewer=4) == loose_alone(*draft)
