"""Seasons of one contract against what pen and paper say of them."""

import datetime as dt
import math

import numpy as np
import pytest
from scipy.stats import t as student

from fixtures.tiny import tiny_operation, tiny_plan
from routing.bloom.predict import bloom_forecast
from routing.inputs.offers import with_contracts
from routing.inputs.operation import Constant, Operation
from routing.plan import make_plan
from routing.plan_record import Plan
from routing.risk.record import Share
from routing.risk.simulate import simulate
from routing.risk.terms import shift_days

CHERRIES, BLUES = "Early cherries", "Late blueberries"
IN, OUT = dt.date(2027, 4, 24), dt.date(2027, 5, 10)
SEASONS = 4000


def told(**values: float) -> tuple[Constant, ...]:
    """Return the figures of chance: nothing goes wrong but what is named, and what goes wrong does so for one night."""
    plain = {"truck_out_share": 0.0, "truck_out_nights": 1.0, "driver_sick_share": 0.0, "driver_sick_nights": 1.0,
             "warm_night_share": 0.0, "warm_night_delay_min": 60.0} | values  # fmt: skip
    return tuple(Constant(name=name, value=value, source="for this test") for name, value in plain.items())


def cherries(in_nights: int = 1, *, late: int = 0) -> Operation:
    """Return cherries alone, in on so many nights from 24 April, out on 10 May only."""
    tiny = tiny_operation()
    one = tiny.contracts[0].model_copy(update={
        "in_from": IN, "in_until": IN + dt.timedelta(days=in_nights - 1), "out_from": OUT, "out_until": OUT,
        "late_nights_allowed": late,
    })  # fmt: skip
    return with_contracts(tiny, [one])


def planned(operation: Operation, constants: tuple[Constant, ...]) -> Plan:
    """Return the plan, with the figures of chance that it is simulated with."""
    plan = make_plan(operation, seconds=5.0, steps=3)
    return plan.model_copy(update={"operation": operation.model_copy(update={"constants": constants})})


def near(share: Share, expected: float) -> bool:
    """Tell whether a share of so many seasons is within four standard errors of what is expected."""
    return abs(share.value - expected) <= 4.0 * math.sqrt(expected * (1.0 - expected) / SEASONS) + 1e-12


def test_a_season_in_which_nothing_goes_wrong_costs_what_is_planned() -> None:
    plan = tiny_plan()
    calm = plan.model_copy(update={"operation": plan.operation.model_copy(update={"constants": told()})})
    risk = simulate(calm, seasons=50)
    planned_usd = 221.85 + 330.00 + 295.50 + 170.00
    assert (risk.cost_low_usd, risk.cost_usd, risk.cost_high_usd) == (planned_usd,) * 3
    assert (risk.moved_truck_nights, risk.lost_truck_nights) == (0.0, 0.0)
    kept = {one.contract: (one.kept.value, one.planned_short) for one in risk.promises}
    assert kept == {CHERRIES: (1.0, 0), BLUES: (0.0, 2)}
    # 16 of 16 and 22 of 24 colonies.
    assert risk.kept_colonies == pytest.approx(38 / 40)


@pytest.mark.parametrize(("truck", "driver"), [(0.2, 0.0), (0.0, 0.1), (0.2, 0.1)])
def test_two_nights_without_a_choice_are_kept_when_truck_and_driver_are_there_on_both(truck: float, driver: float) -> None:
    plan = planned(cherries(), told(truck_out_share=truck, driver_sick_share=driver))
    risk = simulate(plan, seasons=SEASONS, levers=False)
    assert near(risk.promises[0].kept, ((1 - truck) * (1 - driver)) ** 2)
    # In on its night, and then not out: the hives are left in.
    both = (1 - truck) * (1 - driver)
    assert near(risk.promises[0].left_in, both * (1 - both))


@pytest.mark.parametrize(("nights", "out"), [(1, 0.3), (2, 0.3), (4, 0.5)])
def test_a_window_of_some_nights_fails_when_the_truck_is_out_on_all_of_them(nights: int, out: float) -> None:
    plan = planned(cherries(nights), told(truck_out_share=out))
    risk = simulate(plan, seasons=SEASONS, levers=False)
    assert near(risk.promises[0].kept, (1 - out**nights) * (1 - out))
    assert near(risk.promises[0].short, out**nights)


def test_a_breakdown_of_some_nights_loses_the_share_told_and_its_nights_together() -> None:
    # Two nights that follow each other: out on the first is 0.3. Given that, out on the second too: the spell began on the
    # first (and lasts), or another begins: with p = 1 - sqrt(0.7), both are free only if none begins on 3 nights: (1-p)^3.
    plan = planned(cherries(2), told(truck_out_share=0.3, truck_out_nights=2.0))
    p = 1 - math.sqrt(0.7)
    both_out = 1 - 2 * 0.7 + (1 - p) ** 3
    assert near(simulate(plan, seasons=SEASONS, levers=False).promises[0].short, both_out)


def test_a_late_night_that_is_taken_is_late_and_costs_what_is_agreed() -> None:
    plan = planned(cherries(late=1), told(truck_out_share=0.4))
    one = simulate(plan, seasons=SEASONS, levers=False).promises[0]
    # Late when out on the 24th and there on the 25th; 16 hives at $5; left in at $250 when out on 10 May.
    assert near(one.late, 0.4 * 0.6)
    expected = 0.4 * 0.6 * 16 * 5 + (1 - 0.4**2) * 0.4 * 16 * 250 + 0.4**2 * 16 * (60 + 15)
    assert one.usd == pytest.approx(expected, rel=0.06)


def test_a_warm_evening_ends_a_night_whose_slack_it_eats() -> None:
    # Delays have the mean 300 min; a night is lost when its delay is over the slack: share x exp(-slack / 300).
    plan = planned(cherries(), told(warm_night_share=0.8, warm_night_delay_min=300.0))
    lost = []
    for night in plan.truck_nights:
        dark = {one.place: one for one in plan.windows if one.night == night.night}
        first = night.stops[0]
        early = (first.arrive - dark[first.place].loading_from).total_seconds() / 60
        late = min((dark[stop.place].set_down_until - stop.leave).total_seconds() / 60 for stop in night.stops)
        lost.append(0.8 * math.exp(-(early + late) / 300))
    assert near(simulate(plan, seasons=SEASONS, levers=False).promises[0].kept, (1 - lost[0]) * (1 - lost[1]))


def test_a_lot_is_weak_as_often_as_students_t_says() -> None:
    # 4 of 16 hives opened, all 16 delivered: their average is 8.6 + t3 x 0.8 / sqrt(4) x sqrt(1 - 4/16).
    tiny = cherries()
    group = tiny.hive_groups[0].model_copy(
        update={"frames_seen": None, "frames_mean": 8.6, "frames_sd": 0.8, "hives_inspected": 4}
    )
    bold = (Constant(name="strength_confidence", value=0.5, source="for this test"),)
    operation = tiny.model_copy(update={"hive_groups": (group,), "constants": bold})
    risk = simulate(planned(operation, (*told(), *bold)), seasons=SEASONS, levers=False)
    weak = student.cdf((8.0 - 8.6) / (0.8 / 2 * math.sqrt(0.75)), df=3)
    assert near(risk.promises[0].weak, weak)
    assert near(risk.promises[0].kept, 1 - weak)


def test_a_spare_truck_night_stands_in_once() -> None:
    plan = planned(cherries(), told(truck_out_share=0.3))
    spare = next(one for one in simulate(plan, seasons=SEASONS).levers if one.what == "a spare truck-night")
    # Kept: without it 0.7 x 0.7; with it when at most one of the two nights fails: 0.49 + 2 x 0.3 x 0.7 = 0.91.
    assert spare.kept_low <= 0.42 <= spare.kept_high


def test_one_more_night_is_worth_what_a_wider_window_is() -> None:
    plan = planned(cherries(), told(truck_out_share=0.3))
    wider = next(one for one in simulate(plan, seasons=SEASONS).levers if one.what == "one more night on either end")
    assert wider.kept_low <= (1 - 0.3**2) ** 2 - 0.7**2 <= wider.kept_high


def test_a_tour_whose_orchards_no_longer_share_a_night_is_driven_twice() -> None:
    # The hand-made plan brings H1 on from cherries to blueberries on 11 May. Out of cherries by then, and blueberries only
    # from the 12th (their nights are moved in the seasons, not in the plan): on one night it cannot be, on two it can.
    plan = tiny_plan()
    cherries, blues = plan.operation.contracts
    moved = (cherries.model_copy(update={"out_until": dt.date(2027, 5, 11), "spray_on": None}),
             blues.model_copy(update={"in_from": dt.date(2027, 5, 12), "in_until": dt.date(2027, 5, 14)}))  # fmt: skip
    operation = plan.operation.model_copy(update={"contracts": moved, "constants": told()})
    risk = simulate(plan.model_copy(update={"operation": operation}), seasons=20, levers=False)
    kept = {one.contract: (one.kept.value, one.left_in.value, one.colonies_missing) for one in risk.promises}
    # Cherries are emptied, to a yard; of blueberries the six loose hives come, H1's sixteen do not: 24 - 6 = 18 missing.
    assert kept == {CHERRIES: (1.0, 0.0, 0.0), BLUES: (0.0, 0.0, 18.0)}


def test_a_contract_by_percent_bloom_moves_with_the_bloom_and_an_agreed_one_as_the_constant_says() -> None:
    tiny = tiny_operation()
    season = {"season": np.array([1.0, -1.0]), CHERRIES: np.zeros(2)}
    agreed = tiny.contracts[0]
    assert list(shift_days(tiny, agreed, season)) == [0, 0]
    follows = tiny.model_copy(update={"constants": told(agreed_dates_follow_bloom=1.0)})
    # From dates alone: seven tenths of the variance are the season's.
    days = round(math.sqrt(0.7) * bloom_forecast(follows, agreed).own_sd_days)
    assert list(shift_days(follows, agreed, season)) == [days, -days]
    assert days > 0


def test_the_same_seed_gives_the_same_seasons_and_another_others() -> None:
    plan = planned(cherries(2), told(truck_out_share=0.3))
    first, again, other = (simulate(plan, seasons=200, seed=seed) for seed in (1, 1, 2))
    assert first.model_copy(update={"seconds": 0.0}) == again.model_copy(update={"seconds": 0.0})
    assert first.promises != other.promises


def test_no_season_at_all_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="0 seasons cannot be simulated; at least 1 can"):
        simulate(tiny_plan(), seasons=0)


def test_a_plan_in_which_nothing_moves_has_no_risk() -> None:
    still = tiny_plan().model_copy(update={"truck_nights": (), "loads": (), "deliveries": (), "cost_lines": ()})
    bare = still.model_copy(update={"operation": with_contracts(still.operation, ()).model_copy(update={"drivers": ()})})
    risk = simulate(bare, seasons=10)
    assert (risk.cost_usd, risk.promises, risk.levers, risk.kept_colonies, risk.all_kept.value) == (0.0, (), (), 1.0, 1.0)


def test_a_promise_of_which_nothing_is_planned_is_never_kept_and_costs_its_fees_and_penalties() -> None:
    plan = tiny_plan()
    bare = plan.model_copy(update={
        "truck_nights": (), "operation": plan.operation.model_copy(update={"constants": told()}),
        "deliveries": tuple(one.model_copy(update={"delivered": 0, "shares": ()}) for one in plan.deliveries),
    })  # fmt: skip
    risk = simulate(bare, seasons=10, levers=False)
    # 16 at 60 + 15 and 24 at 70 + 15.
    assert [(one.kept.value, one.usd) for one in risk.promises] == [(0.0, 1200.0), (0.0, 2040.0)]
