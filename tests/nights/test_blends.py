"""Like kinds blended for the search, and told apart again without costing more."""

import pytest

from fixtures.demo import demo_beginning, demo_operation
from routing.nights.begin import sound
from routing.nights.blends import Blended, blend, tell_apart
from routing.nights.bound import Season
from routing.nights.draft import DraftNight, DraftStop, bill
from routing.nights.problem import read_problem
from routing.nights.relaxation import relax
from routing.nights.ruin import first_plan


@pytest.fixture(scope="module")
def blended() -> Blended:
    return blend(read_problem(demo_operation()))


def test_kinds_are_blended_when_deck_promises_and_averages_treat_them_alike(blended: Blended) -> None:
    groups = [{blended.fine.kinds[kind].group for kind in alike} for alike in blended.members]
    # Averages of 7 and 8 frames are asked for: 9.1, 8.5 and 8.8 lie above both, 7.7 and 7.7 between them.
    assert {"BA", "BH", "SA"} in groups
    assert {"SB", "WA"} in groups
    assert {"RA"} in groups
    assert {"RB"} in groups


def test_a_blend_is_as_weak_and_as_heavy_as_its_worst_kind(blended: Blended) -> None:
    for one, alike in zip(blended.problem.kinds, blended.members, strict=True):
        kinds = [blended.fine.kinds[kind] for kind in alike]
        assert one.units == sum(kind.units for kind in kinds)
        assert one.frames == min(kind.frames for kind in kinds)
        assert one.weight_lb == max(kind.weight_lb for kind in kinds)
    assert sum(blended.problem.stock.values()) == sum(blended.fine.stock.values())


def test_a_plan_of_blends_is_a_sound_plan_of_kinds_that_costs_no_more(blended: Blended) -> None:
    found = first_plan(blended.problem, (), seed=0)
    nights = tell_apart(blended, found)
    assert sound(blended.fine, nights) is not None
    assert bill(blended.fine, nights).total <= bill(blended.problem, found).total + 1e-6
    moved = [sum(units for stop in one.stops for _, units in stop.set_down) for one in nights]
    assert moved == [sum(units for stop in one.stops for _, units in stop.set_down) for one in found]


def test_hives_that_are_not_there_cannot_be_told_apart(blended: Blended) -> None:
    index = next(index for index, alike in enumerate(blended.members) if len(alike) > 1)
    yard = next(name for (name, kind) in blended.problem.stock if kind == index)
    orchard = next(iter(blended.problem.promises))
    too_many = blended.problem.stock[yard, index] + 1
    night = DraftNight(0, blended.problem.promises[orchard].in_first, (
        DraftStop(yard, ((index, too_many),)), DraftStop(orchard, (), ((index, too_many),))
    ))
    with pytest.raises(ValueError, match="hives that are not there"):
        tell_apart(blended, (night,))


def test_a_bound_on_hopeful_blends_is_a_bound_on_the_kinds():
    fine = read_problem(demo_beginning(contracts=3))
    hopeful = blend(fine, hopeful=True).problem
    for one, alike in zip(hopeful.kinds, blend(fine, hopeful=True).members, strict=True):
        assert one.frames == max(fine.kinds[kind].frames for kind in alike)
        assert one.weight_lb == min(fine.kinds[kind].weight_lb for kind in alike)
    assert len(hopeful.kinds) < len(fine.kinds)
    usd = [_priced(relax(problem)) for problem in (fine, hopeful)]
    # Relaxed once more, it is a little lower at most; what it cuts anew may differ by as little.
    assert usd[1] <= usd[0] * 1.002


def _priced(relaxed):
    priced = Season(relaxed).price(rounds=14)
    return sum(column.cost * value for column, value in zip(priced.columns, priced.values, strict=True))
