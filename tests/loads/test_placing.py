"""Positions and heights: each check just kept, and just broken."""

import pytest

from routing.loads.placing import placing, top_in


def status(check, *units, load, rig, **truck):
    one = rig(**truck)
    return next(found for found in placing(load(*units), one.truck) if found.check == check)


def test_a_load_may_fill_the_deck_to_its_edge(load, rig, placement):
    last = placement(front_in=203.0, left_in=51.0)
    assert status("length of the load on the deck", last, load=load, rig=rig).margin == 0.0
    assert status("width of the load on the deck", last, load=load, rig=rig).margin == 0.0


@pytest.mark.parametrize(
    ("where", "check", "measured"),
    [
        ({"front_in": 204.0}, "length of the load on the deck", 204 + 37),
        ({"front_in": -2.0}, "length of the load on the deck", 35 + 2),
        ({"left_in": 52.0}, "width of the load on the deck", 52 + 45),
    ],
)
def test_what_sticks_out_is_measured(load, rig, placement, where, check, measured):
    assert status(check, placement(**where), load=load, rig=rig).measured == measured


def test_the_legal_width_counts_deck_and_load(load, rig, placement):
    # 23 CFR 658.15: 102 in.
    check = "width of deck and load"
    assert status(check, placement(), load=load, rig=rig, deck_width_in=102.0).status == "ok"
    assert status(check, placement(left_in=58.0), load=load, rig=rig).status == "broken"


def test_two_units_in_one_place_are_named(load, rig, placement):
    check = "units that stand in each other"
    found = status(check, placement("A1"), placement("A2", front_in=36.0), load=load, rig=rig)
    assert (found.status, found.measured, found.note) == ("broken", 1, "A1 and A2")
    assert status(check, placement("A1"), placement("A2", front_in=37.0), load=load, rig=rig).status == "ok"


def test_one_place_may_be_used_twice_in_a_night(load, rig, placement):
    first, then = placement("A1", loaded_at=1, set_down_at=2), placement("B1", loaded_at=2, set_down_at=3)
    assert status("units that stand in each other", first, then, load=load, rig=rig).status == "ok"


def test_a_stack_stands_on_something_that_is_there_when_it_comes_on(load, rig, placement):
    check = "stacked units with nothing under them"
    above = placement("A2", tier=2, drop_order=1)
    assert status(check, above, load=load, rig=rig).status == "broken"
    assert status(check, placement("A1", drop_order=1), above, load=load, rig=rig).status == "ok"
    late = placement("A1", loaded_at=2, set_down_at=4)
    early = placement("A2", tier=2, loaded_at=1, set_down_at=3)
    assert status(check, late, early, load=load, rig=rig).status == "broken"


def test_what_stands_on_a_unit_that_goes_first_is_lifted_twice(load, rig, placement):
    stack = (placement("A1", drop_order=1), placement("A2", tier=2, drop_order=2))
    found = status("units to be lifted twice", *stack, load=load, rig=rig)
    assert (found.status, found.measured, found.note) == ("broken", 1.0, "A2")
    assert status("stacked units with nothing under them", *stack, load=load, rig=rig).status == "ok"


def test_the_top_is_deck_and_stack(load, rig, placement):
    truck = rig(most_tiers=2).truck
    stack = (placement("A1"), placement("A2", tier=2), placement("B1", front_in=37.0, height_in=30.0))
    assert top_in(stack, truck) == 42 + 2 * 25.75
    assert top_in((), truck) == 42


def test_height_is_kept_to_the_inch(load, rig, placement):
    check = "height over the road"
    assert status(check, placement(), load=load, rig=rig, most_height_in=67.75).status == "ok"
    found = status(check, placement(), load=load, rig=rig, most_height_in=67.5)
    assert (found.status, found.margin) == ("broken", -0.25)


def test_more_layers_than_the_truck_takes_are_broken(load, rig, placement):
    stack = (placement("A1"), placement("A2", tier=2))
    assert status("layers", *stack, load=load, rig=rig).status == "broken"
    assert status("layers", *stack, load=load, rig=rig, most_tiers=2).status == "ok"
