"""What a rig's deck takes when sizes mix: shares that no mix breaks, rows that the joint model keeps to."""

import random
from dataclasses import replace

import pytest

from fixtures.demo import demo_operation
from routing.loads.solve import plan_loads
from routing.nights.decks import by_size, most_on_deck, row_of, shares
from routing.nights.draft import DraftNight, bill
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem, read_problem
from routing.nights.schedule import schedule
from routing.nights.segments import segments
from routing.nights.slot import Slot, Task

STRONG = (0, 1, 2, 4, 5, 6, 7, 8)


@pytest.fixture(scope="module")
def problem() -> Problem:
    return read_problem(demo_operation())


def _rows(problem: Problem, index: int, counts: dict[int, int]) -> float:
    """Return the inches of deck that counts take in rows of one size."""
    rig, length_in = problem.rigs[index], 0.0
    for alike in by_size(problem, counts).values():
        row = row_of(problem, rig, alike)
        assert row is not None
        length_in += -(-sum(counts[kind] for kind in alike) // row.units) * row.length_in
    return length_in


@pytest.mark.parametrize("index", [0, 1, 2])
def test_no_mix_in_rows_has_shares_that_sum_to_more_than_a_deck(problem: Problem, index: int) -> None:
    rig, chance = problem.rigs[index], random.Random(index)
    share = shares(problem, rig, STRONG)
    fullest = 0.0
    for _ in range(4000):
        counts = {kind: chance.randint(0, min(rig.fit[kind], problem.kinds[kind].units)) for kind in chance.sample(STRONG, 2)}
        if _rows(problem, index, counts) <= rig.deck_in[0]:
            filled = sum(share[kind] * units for kind, units in counts.items())
            hives = sum(problem.kinds[kind].hives * units for kind, units in counts.items())
            fullest = max(fullest, filled)
            assert filled <= 1.0 + 1e-9
            assert hives <= most_on_deck(problem, rig, {k: float(problem.kinds[k].hives) for k in STRONG}) + 1e-9
    # The semi takes more than all there is.
    assert fullest > 0.9 or index == 2


def test_kinds_that_fill_a_deck_alike_share_it_exactly(problem: Problem) -> None:
    rig = problem.rigs[0]
    assert shares(problem, rig, (1, 2)) == {1: 1 / rig.fit[1], 2: 1 / rig.fit[2]}


def test_a_mixed_deck_of_the_joint_model_has_a_deck_plan(problem: Problem) -> None:
    # 3 pallets of six and 4 of four make the 34 hives that one orchard wants: one night brings both.
    few = replace(problem, stock={("Brindle home yard", 0): 3, ("Stonepile yard", 4): 4, ("Ridgeback yard", 6): 3})
    pieces = segments(few)
    nights = tuple(night for night in pieces[0].nights if night in few.rigs[0].nights)
    task = Task(few, pieces, (), (Slot(0, nights, 0),), frozenset(), most_stops=5)
    found = solve_jointly(task, work=3.0, seed=0)
    assert found
    sizes = {few.kinds[kind].footprint_in for stop in found[0].stops for kind, _ in stop.set_down}
    assert len(sizes) > 1
    for load in plan_loads(few.operation, schedule(few, found)):
        left = [one.measured for one in load.findings if one.check == "units without a place on the deck"]
        assert left == [0.0]


def test_a_held_slot_keeps_its_stops(problem: Problem) -> None:
    pieces = segments(problem)
    nights = tuple(night for night in pieces[0].nights if night in problem.rigs[0].nights)
    (first,) = solve_jointly(Task(problem, pieces, (), (Slot(0, nights, 0),), frozenset(), most_stops=5), work=1.0, seed=0) or ()
    held = Task(problem, pieces, (), (Slot(0, (first.night,), 0, first, held=True),), frozenset(), most_stops=5)
    (again,) = solve_jointly(held, work=1.0, seed=1) or ()
    assert isinstance(again, DraftNight)
    assert [stop.place for stop in again.stops] == [stop.place for stop in first.stops]
    assert again.night == first.night
    assert bill(problem, (again,)).total <= bill(problem, (first,)).total + 0.5
