"""A sliding tandem: weight follows the pins by moments, the best hole is the best of all, a kingpin limit binds."""

import pytest

from routing.inputs.rigging import RoadLimit
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances
from routing.loads.pins import best_hole, holes, pin_findings, slid, worst_use
from routing.loads.solve import stowed_with_pins
from routing.loads.states import stretches_of
from routing.loads.vehicle import vehicle

KINGPIN = RoadLimit(where="Example State", kind="kingpin to rear axle", value=456.5, source="invented")


def test_what_slides_takes_its_own_weight_along_and_the_rest_stays(sliding_semi):
    # 9,000 lb on the tandem at 440 in: 5,000 lb of them the trailer's body. At 400 in the body puts
    # 5,000 x 440 / 400 = 5,500 lb on it: 9,500; the 500 lb leave the kingpin, 200 in behind the steer axle of 205.
    moved = slid(sliding_semi(), 400.0)
    steer, drive, tandem = (one.empty_lb for one in moved.axle_groups)
    assert tandem == pytest.approx(9500.0)
    assert steer == pytest.approx(11000.0 - 500.0 * 5 / 205)
    assert drive == pytest.approx(13000.0 - 500.0 * 200 / 205)


def test_sliding_keeps_the_gross_weight(sliding_semi):
    for centre_in in (400.0, 440.0, 488.0):
        assert sum(vehicle(slid(sliding_semi(), centre_in)).empty_lb) == pytest.approx(11000 + 13000 + 9000)


def test_the_best_hole_is_the_best_of_all_tried_one_by_one(sliding_semi, placement):
    rig = sliding_semi()
    units = [placement(f"A{n}", front_in=37.0 * n, weight_high_lb=2400.0) for n in range(14)]
    stretches = stretches_of(units)
    found = holes(rig, stretches)
    assert len(found) == 23  # (490 - 400) / 4 = 22 steps
    tried = [worst_use(slid(rig, 400.0 + 4.0 * step), stretches) for step in range(23)]
    best = best_hole(found, kept_to_law=False)
    assert best.use == min(tried)
    assert best.centre_in == 400.0 + 4.0 * tried.index(min(tried))
    assert min(tried) < worst_use(rig, stretches)


def test_a_kingpin_limit_of_the_user_keeps_the_holes_ahead_of_it(sliding_semi, placement):
    rig = sliding_semi().model_copy(update={"road_limits": (KINGPIN,)})
    units = [placement(f"A{n}", front_in=300.0 + 37.0 * n, weight_high_lb=4500.0) for n in range(7)]
    found = holes(rig, stretches_of(units))
    lawful, free = (best_hole(found, kept_to_law=kept) for kept in (True, False))
    # The rear axle is 24.5 in behind the centre: 432 + 24.5 = 456.5 in is the last lawful hole.
    assert max(one.centre_in for one in found if one.allowed) == 432.0
    assert lawful.centre_in <= 432.0 < free.centre_in
    words = pin_findings(rig, stretches_of(units), "it")
    assert "without the kingpin limit it would be hole" in words[0].note
    assert (words[1].measured, words[1].status) == (440.0 + 24.5, "broken")


def test_without_a_listed_limit_the_kingpin_is_not_checked(sliding_semi, placement):
    found = pin_findings(sliding_semi(), stretches_of([placement()]), "it")
    assert [one.status for one in found if one.check == "kingpin to rear axle"] == ["unknown"]


def test_a_trailer_that_does_not_slide_has_no_holes(trailer, placement):
    assert pin_findings(trailer(), stretches_of([placement()]), "it") == []


def test_a_planned_load_sets_the_pins(sliding_semi, batch):
    rig = sliding_semi().model_copy(update={"road_limits": (KINGPIN,)})
    moved, units = stowed_with_pins(rig, (batch("A", 60, (1, 2)),))
    use = worst_use(moved, stretches_of(units))
    assert use <= 1.0
    assert use == best_hole(holes(rig, stretches_of(units)), kept_to_law=True).use
    assert moved.axle_groups[2].centre_in <= 432.0


def test_a_listed_kingpin_limit_counts_for_axles_that_do_not_slide(semi, placement):
    (found,) = pin_findings(semi.model_copy(update={"road_limits": (KINGPIN,)}), stretches_of([placement()]), "it")
    assert (found.measured, found.limit, found.status) == (440.0 + 24.5, 456.5, "broken")


def test_axles_that_carry_no_vehicle_have_no_holes_and_break_nothing(sliding_semi, placement, load):
    steer, _, tandem = sliding_semi().axle_groups
    lame = sliding_semi().model_copy(update={"axle_groups": (steer, tandem)})
    assert holes(lame, stretches_of([placement()])) == ()
    found = check_load(load(placement()), lame, about=Circumstances(temperature_f=45.0, riders=()))
    assert next(one for one in found if one.check == "weight on each axle").status == "unknown"
