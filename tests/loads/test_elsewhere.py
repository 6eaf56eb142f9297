"""The second deck plan: kept out while nothing is missed, better when something is, and as sure as it says."""

import random

import pytest

from routing.loads.elsewhere import MOST_UNITS, plan_elsewhere
from routing.loads.merit import Merit, merit
from routing.loads.solve import deck_plan, stowed_with_pins
from routing.loads.vehicle import vehicle
from tests.benchmarks._decks import batches, pickup_and_trailer, split


def rear(number):
    draw, fleet = random.Random(number), pickup_and_trailer("rear")
    return fleet.rig, batches(fleet.unit, split(fleet.most, 1 + number // 2 % 5, draw), draw)


def test_a_plan_that_misses_nothing_stays_as_it_is(rig, batch):
    _, units = stowed_with_pins(rig(), (batch("A", 4, (1, 2)),))
    plan = plan_elsewhere(rig(), vehicle(rig()), units=units, carried=(batch("A", 4, (1, 2)),))
    assert (plan.units, plan.merit, plan.told) == (units, Merit(0, 0.0, 0.0, 0.0, 0), "")


def test_three_drops_from_the_rear_of_a_trailer_find_a_plan_off_the_marks():
    truck, carried = rear(5)
    _, marked = stowed_with_pins(truck, carried)
    assert not merit(truck, marked, wanted=8).sound
    plan = deck_plan(truck, carried)
    assert (plan.merit.sound, plan.told) == (True, "")


def test_five_drops_are_told_as_proven_with_the_fewest_lifted_twice():
    truck, carried = rear(9)
    plan = deck_plan(truck, carried)
    assert (plan.merit.rolls, plan.merit.lifted) == (True, 1)
    assert plan.told == (
        "proven: wherever its units stand, no deck plan keeps every weight limit and lets every drop come off by itself; "
        "1 lifted twice is the fewest there can be"
    )


def test_a_load_that_is_too_heavy_wherever_it_stands_is_proven_so(trailer, batch):
    weak = trailer(hitch=trailer().hitch.model_copy(update={"coupling_rating_lb": 200.0}))
    # The empty trailer alone puts 250 lb on the ball, and a share of 10 per cent is asked for.
    plan = deck_plan(weak, (batch("A", 2, (1, 2)),))
    assert plan.merit.over_lb > 0.0
    assert plan.told == "proven: wherever its units stand, no deck plan keeps every weight limit"


def test_a_unit_higher_than_the_lowest_bridge_is_told_and_not_stood_anywhere(rig, batch):
    # 42 in of deck and 25.75 in of pallet and hives are 67.75 in.
    plan = deck_plan(rig(most_height_in=67.0), (batch("A", 2, (1, 2)),))
    assert (plan.units, plan.merit.left_out) == ((), 2)
    assert plan.told == "proven: standing on the deck, some unit is higher than the lowest bridge"


def test_of_a_load_of_many_units_nothing_is_said_to_be_proven(trailer, batch, loose):
    weak = trailer(hitch=trailer().hitch.model_copy(update={"coupling_rating_lb": 200.0}))
    plan = deck_plan(weak, (batch("A", MOST_UNITS + 1, (1, 2), loose),))
    assert plan.told == "no better deck plan was found on marked places; that there is none is not proven"


def test_each_thing_missed_is_counted(rig, placement):
    heavy = placement(weight_high_lb=9000.0, weight_low_lb=9000.0, left_in=51.0)
    found = merit(rig(), (heavy,), wanted=3)
    assert found.left_out == 2
    # 9,000 lb with its middle (51 + 22.5 - 48) = 25.5 in right: 229,500 of (11,800 + 9,000) x 48 lb in = 0.2299, 0.05 allowed.
    assert found.leans == pytest.approx(0.2299 - 0.05, abs=1e-4)
    # The middle is 78.5 in behind the steer axle: 9,000 x (190 - 78.5) / 190 = 5,281.6 lb on it, 3,100 lb are left.
    assert found.over_lb == pytest.approx(5281.58 - 3100.0, abs=0.1)
    assert not found.rolls
