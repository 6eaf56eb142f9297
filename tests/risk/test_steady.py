"""A plan for the seasons that may come: what is chosen costs least in them, and is a sound plan of the contracts as they are."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.bloom.window import contract_window
from routing.inputs.offers import with_contracts
from routing.inputs.operation import Constant, Operation
from routing.risk.steady import WAYS, Steady, _narrowed, steady_plan


def chancy() -> Operation:
    """Return cherries alone, with a truck that is out on three of ten nights, one night at a time."""
    tiny = tiny_operation()
    figures = {"truck_out_share": 0.3, "truck_out_nights": 1.0, "warm_night_share": 0.0, "driver_sick_share": 0.0}
    own = tuple(Constant(name=name, value=value, source="for this test") for name, value in figures.items())
    return with_contracts(tiny, tiny.contracts[:1]).model_copy(update={"constants": own})


@pytest.fixture(scope="module")
def steady() -> Steady:
    """The plan chosen for it."""
    return steady_plan(chancy(), seconds=5.0, seasons=300)


def test_what_is_chosen_costs_least_in_the_same_seasons(steady: Steady) -> None:
    chosen = next(one for one in steady.candidates if one.chosen)
    assert chosen.expected_usd == min(one.expected_usd for one in steady.candidates)
    assert steady.risk.cost_usd == chosen.expected_usd
    assert [one.what for one in steady.candidates] == [way.what for way in WAYS]


def test_it_is_a_plan_of_the_contracts_as_they_stand_and_the_judge_finds_nothing_broken(steady: Steady) -> None:
    assert steady.plan.operation == chancy()
    assert steady.plan.deliveries[0].in_until == dt.date(2027, 4, 26)
    assert [one for one in steady.plan.findings if one.status == "broken"] == []
    assert steady.plan.lower_bound_usd <= steady.plan.cost_usd


@pytest.mark.parametrize(("nights", "last_in", "last_out"), [(1, 25, 12), (2, 24, 11), (9, 23, 10)])
def test_slack_ends_windows_sooner_and_never_before_they_begin(nights: int, last_in: int, last_out: int) -> None:
    # Cherries: in 23 to 26 April, out 10 May to 13 May at most (spray on the 15th).
    way = type(WAYS[0])("slack", nights)
    narrow = _narrowed(chancy(), way)
    before, window = contract_window(chancy(), chancy().contracts[0]), contract_window(narrow, narrow.contracts[0])
    assert (before.in_until, before.out_until) == (dt.date(2027, 4, 26), dt.date(2027, 5, 13))
    assert (window.in_until, window.out_until) == (dt.date(2027, 4, last_in), dt.date(2027, 5, last_out))


def test_stronger_lots_leave_a_quarter_of_the_chance() -> None:
    # 0.8 by default: 1 - 0.2 / 4 = 0.95.
    constants = {one.name: one.value for one in _narrowed(chancy(), WAYS[3]).constants}
    assert constants["strength_confidence"] == pytest.approx(0.95)
