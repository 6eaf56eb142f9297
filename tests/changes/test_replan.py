"""A plan made anew keeps what is done, keeps what it can of what was told, and pays for the rest."""

import datetime as dt

import pytest

from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation
from routing.changes.after import after
from routing.changes.change import BloomShift, ColoniesLost, ColoniesWanted, DriverAway, NoMoves, TruckAway
from routing.changes.changed import changed_operation
from routing.changes.compare import compare
from routing.errors import OperationError
from routing.inputs.contract import Bloom
from routing.inputs.operation import Constant
from routing.nights.check import check_plan, is_feasible
from routing.plan import make_plan


@pytest.fixture(scope="module")
def before():
    return make_plan(tiny_operation(), seed=1, steps=4)


@pytest.fixture(scope="module")
def next_night(before):
    """The night of the second truck-night: the first is done."""
    return before.truck_nights[1].night


def broken(plan):
    return [one for one in check_plan(plan) if one.status == "broken"]


def test_when_nothing_changes_nothing_is_changed(before, next_night):
    again = make_plan(after(before, next_night), seed=3, steps=4)
    assert not broken(again)
    assert again.cost_usd <= before.cost_usd
    found = compare(before, again)
    assert [line.usd for line in again.cost_lines if line.name == "changes"] == [0.0] or again.cost_usd < before.cost_usd
    assert len(found.nights) <= 1


def test_what_is_done_stays_though_its_truck_is_away_from_then_on(before, next_night):
    done = [one for one in before.truck_nights if one.night < next_night]
    nights = tuple(next_night + dt.timedelta(days=day) for day in range(2))
    away = TruckAway(kind="truck away", truck=before.truck_nights[1].truck, nights=nights)
    changed = changed_operation(after(before, next_night), [away])
    plan = make_plan(changed, seed=1, steps=4)
    assert not broken(plan)
    kept = [one for one in plan.truck_nights if one.night < next_night]
    assert [(one.truck, one.night, one.stops) for one in kept] == [(one.truck, one.night, one.stops) for one in done]
    assert not [one for one in plan.truck_nights if one.truck == before.truck_nights[1].truck and one.night in nights]


def test_a_change_costs_what_the_judge_counts(before, next_night):
    told = after(before, next_night)
    changed = changed_operation(told, [NoMoves(kind="no moves", nights=(next_night,))])
    plan = make_plan(changed, seed=1, steps=4)
    assert not broken(plan)
    (line,) = [one for one in plan.cost_lines if one.name == "changes"]
    called_off = [one for one in before.truck_nights if one.night == next_night]
    # Each truck-night called off is a call to its driver at least: 40 USD.
    assert line.usd >= 40.0 * len(called_off)
    found = compare(before, plan)
    assert {(one.night, one.what) for one in found.nights} >= {(next_night, "called off")}
    assert found.hives_moved_otherwise > 0


def test_when_a_truck_is_away_for_a_night_the_growers_of_other_nights_hear_of_nothing():
    before = make_plan(demo_beginning(contracts=4), seed=1, steps=8)
    dear = [Constant(name=name, value=2000.0, source="so that nothing changes without need")
            for name in ("change_usd_per_colony", "change_usd_per_truck_night")]  # fmt: skip
    told = after(before, before.operation.first_night)
    told = told.model_copy(update={"constants": (*told.constants, *dear)})
    ins = [one for one in before.truck_nights if any(lot.purpose == "in" for stop in one.stops for lot in stop.set_down)]
    away = TruckAway(kind="truck away", truck=ins[0].truck, nights=(ins[0].night,))
    plan = make_plan(changed_operation(told, [away]), seed=1, steps=1)
    assert not broken(plan)
    found = compare(before, plan)
    served = {stop.place for stop in ins[0].stops if stop.set_down}
    assert {one.contract for one in found.contracts} <= served
    others = {(one.night, one.truck) for one in before.truck_nights} - {(ins[0].night, ins[0].truck)}
    assert not [one for one in found.nights if one.what == "called off" and (one.night, one.truck) in others]


def test_the_bound_of_a_plan_made_anew_counts_what_is_done(before, next_night):
    plan = make_plan(after(before, next_night), seed=1, steps=4)
    spent = sum(one.cost_usd for one in plan.truck_nights if one.night < next_night)
    assert spent <= plan.lower_bound_usd <= plan.cost_usd


def test_a_plan_that_undoes_what_is_done_is_broken(before, next_night):
    plan = make_plan(after(before, next_night), seed=1, steps=2)
    undone = plan.model_copy(update={"truck_nights": tuple(one for one in plan.truck_nights if one.night >= next_night)})
    assert "what is done stays" in {one.check for one in broken(undone)}


def test_bloom_moves_its_dates_and_its_forecasts_together():
    operation = tiny_operation()
    contract = operation.contracts[0]
    new = changed_operation(operation, [BloomShift(kind="bloom", contract=contract.name, days=-3)]).contracts[0]
    for name in ("in_from", "in_until", "petal_fall_on", "out_from", "out_until", "spray_on"):
        was = getattr(contract, name)
        assert getattr(new, name) == (was - dt.timedelta(days=3) if was else None)


def test_a_forecast_moves_no_further_than_to_the_day_after_what_was_seen():
    operation = tiny_operation()
    name, day = operation.contracts[0].name, dt.date(2027, 4, 20)
    notes = ((5.0, day, True), (10.0, day + dt.timedelta(days=2), False), (50.0, day + dt.timedelta(days=4), False))
    rows = tuple(Bloom(contract=name, percent_bloom=percent, on=on, seen=seen) for percent, on, seen in notes)
    moved = changed_operation(
        operation.model_copy(update={"blooms": rows}), [BloomShift(kind="bloom", contract=name, days=-3)]
    ).blooms
    assert [(one.on - day).days for one in moved] == [0, 1, 2]


def test_lost_hives_driver_away_and_another_number_of_colonies():
    operation = tiny_operation()
    group, driver, contract = operation.hive_groups[0], operation.drivers[0], operation.contracts[0]
    night = operation.first_night
    new = changed_operation(operation, [
        ColoniesLost(kind="colonies lost", group=group.name, hives=2),
        DriverAway(kind="driver away", driver=driver.name, nights=(night,)),
        ColoniesWanted(kind="colonies wanted", contract=contract.name, colonies=contract.colonies + 1),
    ])  # fmt: skip
    assert new.hive_groups[0].hives == group.hives - 2
    assert str(night) in new.drivers[0].nights_away
    assert new.contracts[0].colonies == contract.colonies + 1


@pytest.mark.parametrize(("change", "words"), [
    (ColoniesLost(kind="colonies lost", group="H1", hives=16), "fewer than the 16 hives of H1 that have not been moved yet"),
    (TruckAway(kind="truck away", truck="Old blu", nights=(dt.date(2027, 4, 14),)), "the nearest is 'Old blue'"),
    (BloomShift(kind="bloom", contract="Nowhere", days=2), "a name of the table contracts"),
])  # fmt: skip
def test_a_change_that_cannot_be_is_one_sentence(change, words):
    with pytest.raises(OperationError) as caught:
        changed_operation(tiny_operation(), [change])
    (fault,) = caught.value.faults
    assert words in fault.message


def test_two_plans_alike_have_no_differences(before):
    found = compare(before, before)
    assert (found.nights, found.contracts, found.hives_moved_otherwise) == ((), (), 0)
    assert is_feasible(check_plan(before))
