"""A load that misses a limit by inches is moved by those inches, all together, and no further."""

import pytest

from routing.loads.nudge import nudge_words, nudged
from routing.loads.states import stretches_of
from routing.loads.weight_rows import weight_rows


def broken(rig, units):
    return [row.check for row in weight_rows(rig) for riding in stretches_of(units) if row.worst_lb(riding) > row.limit_lb]


def test_the_fewest_inches_that_keep_the_share_are_taken(trailer, placement):
    rig = trailer()
    exact = {"weight_low_lb": 1000.0, "weight_high_lb": 1000.0}
    # Its middle at 200 in, over the axle: 250 of 3,000 lb on the ball, 8.3 %; 10 % asks for 50 lb more: 10 in ahead.
    unit = placement(front_in=200.0 - 40.0 - 18.5, **exact)
    (moved,) = nudged(rig, (unit,))
    assert moved.front_in == pytest.approx(unit.front_in - 10.0)
    assert broken(rig, [unit]) == ["least share on the coupling"]
    assert broken(rig, [moved]) == []


def test_a_load_that_keeps_every_limit_stays(trailer, placement):
    units = (placement(front_in=124.0, weight_low_lb=1000.0, weight_high_lb=1000.0),)
    assert broken(trailer(), units) == []
    assert nudged(trailer(), units) is units


def test_a_load_never_leaves_the_deck_and_keeps_its_order(trailer, placement):
    units = (placement("A1", weight_high_lb=6000.0), placement("A2", front_in=180.0, weight_high_lb=6000.0))
    first, second = nudged(trailer(), units)
    assert first.front_in >= 0.0
    assert second.front_in + 37.0 <= 222.0
    assert second.front_in - first.front_in == pytest.approx(180.0)


def test_a_load_typed_in_by_hand_is_told_how_far_to_move(trailer, placement):
    exact = {"weight_low_lb": 1000.0, "weight_high_lb": 1000.0}
    off = placement(front_in=200.0 - 40.0 - 18.5, **exact)
    assert nudge_words(trailer(), (off,)) == ("Move the whole load 10 in ahead: there no weight limit is broken.",)
    assert nudge_words(trailer(), (off.model_copy(update={"front_in": 124.0}),)) == ()
    # Nowhere on the deck does the ball bear so much: less is over at the rear.
    heavy = placement(front_in=0.0, weight_low_lb=6900.0, weight_high_lb=6900.0)
    light = trailer(hitch=trailer().hitch.model_copy(update={"coupling_rating_lb": 100.0}))
    (words,) = nudge_words(light, (heavy,))
    assert words.endswith("but some limit is still broken.")
