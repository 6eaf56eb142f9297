"""Deck plans without marked places: the judge accepts them, every place tried by hand agrees, and a proof is one."""

import itertools
import random

import pytest

from routing.inputs.operation import Constant
from routing.loads.anywhere.rows import crates, lines, per_stack
from routing.loads.anywhere.search import none_exists, stand_anywhere
from routing.loads.capacity import Slot
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances
from routing.loads.deck import Stowed, placements
from routing.loads.merit import merit
from routing.loads.order import lifted_twice
from routing.loads.stowage import Deck
from routing.loads.vehicle import vehicle
from tests.benchmarks._decks import batches, pickup_and_trailer, split

COOL = Circumstances(temperature_f=45.0, riders=())


def deck_of(rig, *carried):
    return Deck(rig, vehicle(rig), carried, ())


def units_of(deck, stowage):
    return placements(deck.carried, stowage.layout, stowage.stowed)


def five_drops():
    """Return the benchmark's trailer, unloaded from the rear, with five drops: A 3, B 1, C 1, D 1, E 2."""
    draw, fleet = random.Random(9), pickup_and_trailer("rear")
    return deck_of(fleet.rig, *batches(fleet.unit, split(fleet.most, 5, draw), draw))


@pytest.mark.parametrize("number", [5, 7])
def test_a_trailer_that_no_marked_places_suit_is_loaded_off_the_marks(number, load):
    draw, fleet = random.Random(number), pickup_and_trailer("rear")
    deck = deck_of(fleet.rig, *batches(fleet.unit, split(fleet.most, 1 + number // 2 % 5, draw), draw))
    answer = stand_anywhere(deck, lifts=0, effort=0.5, spare=0.001)
    found = check_load(load(*units_of(deck, answer.stowage)), fleet.rig, about=COOL)
    assert [one.check for one in found if one.status == "broken"] == []


def test_a_load_that_no_deck_plan_suits_is_proven_so_and_has_the_fewest_lifted_twice():
    deck = five_drops()
    assert stand_anywhere(deck, lifts=0, effort=0.5) == (None, True)
    answer = stand_anywhere(deck, lifts=1, effort=1.0, spare=0.003)
    units = units_of(deck, answer.stowage)
    assert len(lifted_twice(units, "rear")) == 1
    assert merit(deck.rig, units, wanted=8).rolls


def in_a_row(deck, tops, turns):
    """Return units in one lane at given fronts, turned or not."""
    layout, stowed = [], []
    for place, (one, front_in, turned) in enumerate(zip(crates(deck), tops, turns, strict=True)):
        long, wide = (one.width_in, one.length_in) if turned else (one.length_in, one.width_in)
        layout.append(Slot(front_in, 0.0, long, wide))
        stowed.append(Stowed(one.batch, place, 1))
    return layout, stowed


def some_plan_by_trying(deck, *, from_in):
    """Tell whether any two units in one lane, every third inch from one on, make a deck plan that misses nothing."""
    length_in = deck.rig.truck.deck_length_in
    steps = [from_in + 3.0 * place for place in range(int(length_in / 3.0))]
    for turns in itertools.product((False, True), repeat=2):
        for tops in itertools.product(steps, repeat=2):
            layout, stowed = in_a_row(deck, tops, turns)
            ends = [slot.front_in + slot.length_in for slot in layout]
            apart = ends[0] <= tops[1] or ends[1] <= tops[0]
            if apart and max(ends) <= length_in and merit(deck.rig, placements(deck.carried, layout, stowed), wanted=2).sound:
                return True
    return False


@pytest.mark.parametrize("seed", [0, 5, 8, 9, 11, 13])
def test_on_a_narrow_trailer_trying_many_places_finds_no_more(seed, trailer, batch):
    draw = random.Random(seed)
    hitch = trailer().hitch.model_copy(update={"least_share": draw.choice((0.10, 0.12, 0.135)), "most_share": 0.14})
    rig = trailer(hitch=hitch, deck_width_in=45.0, deck_length_in=draw.choice((100.0, 130.0)), unloading="rear",
                  deck_front_in=draw.choice((60.0, 110.0, 130.0)))  # fmt: skip
    heavy = batch("B", 1, (1, 3))
    heavy = heavy._replace(unit=heavy.unit.model_copy(update={"hive_high_lb": draw.choice((100.0, 160.0))}))
    deck = deck_of(rig, batch("A", 1, (1, 2)), heavy)
    found = any(
        answer.stowage and merit(rig, units_of(deck, answer.stowage), wanted=2).sound
        for answer in (stand_anywhere(deck, lifts=0, effort=1.0, spare=spare) for spare in (0.0, 0.001))
    )
    assert found or not some_plan_by_trying(deck, from_in=0.0)
    if none_exists(deck, lifts=0, effort=1.0):
        assert not found
        assert not some_plan_by_trying(deck, from_in=0.4)


def test_both_answers_come_up_among_those_narrow_trailers(trailer, batch):
    shares = [trailer().hitch.model_copy(update={"least_share": least, "most_share": 0.14}) for least in (0.10, 0.139)]
    decks = [
        deck_of(trailer(hitch=one, deck_width_in=45.0, deck_length_in=130.0, unloading="rear", deck_front_in=110.0),
                batch("A", 1, (1, 2)), batch("B", 1, (1, 3)))
        for one in shares
    ]  # fmt: skip
    assert [none_exists(deck, lifts=0, effort=1.0) for deck in decks] == [False, True]


def test_from_the_side_what_stays_is_in_no_drops_way(trailer, batch, load):
    deck = deck_of(trailer(unloading="side"), *(batch(lot, 2, (1, 2 + place)) for place, lot in enumerate("ABC")))
    answer = stand_anywhere(deck, lifts=0, effort=0.5, spare=0.001)
    found = check_load(load(*units_of(deck, answer.stowage)), trailer(), about=COOL)
    assert [one.check for one in found if one.status == "broken"] == []


def test_alike_units_are_stacked_where_one_layer_has_no_room(rig, batch):
    truck = rig(deck_length_in=74.0, most_tiers=2)
    deck = deck_of(truck, batch("A", 5, (1, 2)), batch("B", 2, (1, 3)))
    # 74 x 96 in hold four pallets of 45 x 37 in: stacks of 2, 2 and 1, and one of 2.
    assert per_stack(deck) == 2
    stacks = [(one.batch, one.units, one.high_lb) for one in crates(deck)]
    assert stacks == [(0, 2, 1044.0), (0, 2, 1044.0), (0, 1, 522.0), (1, 2, 1044.0)]
    answer = stand_anywhere(deck, lifts=0, effort=0.5)
    assert sorted(unit.tier for unit in units_of(deck, answer.stowage)) == [1, 1, 1, 1, 2, 2, 2]
    # With stacks a missing answer proves nothing.
    assert not none_exists(deck_of(truck, batch("A", 9, (1, 2))), lifts=0, effort=0.5)


def test_the_air_that_is_asked_for_is_left_between_units(rig, batch):
    gap = Constant(name="least_air_gap_in", value=6.0, source="own")
    truck = rig(deck_length_in=86.0).model_copy(update={"constants": (gap,)})
    answer = stand_anywhere(deck_of(truck, batch("A", 4, (1, 2))), lifts=0, effort=0.5)
    fronts, lefts = (sorted({slot[side] for slot in answer.stowage.layout}) for side in (0, 1))
    assert len(answer.stowage.layout) == 4
    assert all(after - before >= 37.0 + 6.0 for before, after in itertools.pairwise(fronts))
    assert all(after - before >= 45.0 + 6.0 for before, after in itertools.pairwise(lefts))


def test_a_limit_that_no_place_breaks_is_left_out(rig, batch):
    told = {line.check for line in lines(deck_of(rig(), batch("A", 2, (1, 2))), proof=False)}
    # 11,800 lb empty and 1,044 lb of cargo break neither payload nor gross weight, nor any federal limit.
    assert told == set()
    steer = rig().axle_groups[0].model_copy(update={"rating_lb": 5500.0})
    weak = rig(axles=(steer, rig().axle_groups[1]))
    assert {line.check for line in lines(deck_of(weak, batch("A", 2, (1, 2))), proof=False)} == {"rating of the steer axle"}
