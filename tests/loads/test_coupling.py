"""The coupling's least and most share and its rating, each just kept and just broken."""

import pytest

from routing.inputs.rigging import Hitch
from routing.loads.coupling import coupled, coupling_findings
from routing.loads.solve import stowed_with_pins
from routing.loads.states import stretches_of
from routing.loads.weight_rows import weight_rows


def told(rig, *units):
    return {one.check: one for one in coupling_findings(rig, stretches_of(units), "it")}


def at(placement, behind_ball_in, **changes):
    """Return a unit of 1,000 lb whose middle is so far behind the ball: the deck begins 40 in behind it."""
    about = {"front_in": behind_ball_in - 40.0 - 18.5, "weight_low_lb": 1000.0, "weight_high_lb": 1000.0} | changes
    return placement(**about)


def test_the_empty_trailer_rests_on_its_ball_with_what_its_axle_does_not_carry(trailer):
    on = coupled(trailer())
    assert (on.resting_lb, on.total_lb) == (2000.0 - 1750.0, 2000.0)


@pytest.mark.parametrize(("behind_in", "share", "least", "most"), [
    # Of 1,000 lb, (200 - x) / 200 rests on the ball; with the 250 lb of the empty trailer, of 3,000 lb:
    (190.0, (250 + 50) / 3000, "ok", "ok"),
    (190.4, (250 + 48) / 3000, "broken", "ok"),
    (160.0, (250 + 200) / 3000, "ok", "ok"),
    (159.6, (250 + 202) / 3000, "ok", "broken"),
])  # fmt: skip
def test_a_ball_bears_ten_to_fifteen_per_cent(trailer, placement, behind_in, share, least, most):
    """Intech gooseneck manual, section 3.1, as the row says."""
    found = told(trailer(), at(placement, behind_in))
    assert found["least share of the trailer on the coupling"].status == least
    assert found["most share of the trailer on the coupling"].status == most
    assert found["most share of the trailer on the coupling"].measured == pytest.approx(share, abs=1e-4)


def test_weights_count_at_the_end_of_their_range_that_is_worse(trailer, placement):
    behind = at(placement, 220.0, weight_low_lb=0.0)
    # Behind the axle a heavy unit lifts the ball: (250 - 100) / 3,000 at the least; at the most it weighs nothing.
    found = told(trailer(), behind)
    assert found["least share of the trailer on the coupling"].measured == pytest.approx(150 / 3000)
    assert found["most share of the trailer on the coupling"].measured == pytest.approx(250 / 2000)


def test_units_are_light_together_or_heavy_together_and_the_chance_tells_of_some_of_each(trailer, placement):
    range_lb = {"weight_low_lb": 900.0, "weight_high_lb": 1100.0}
    ahead, behind = at(placement, 150.0, **range_lb), at(placement, 230.0, label="A2", **range_lb)
    # Of each pound (200 - 150) / 200 = 0.25 and (200 - 230) / 200 = -0.15: 250 + 0.1 x 900 of 3,800 lb light, 360 of 4,200 heavy.
    found = told(trailer(), ahead, behind)
    assert found["least share of the trailer on the coupling"].measured == pytest.approx(360 / 4200, abs=1e-4)
    assert found["most share of the trailer on the coupling"].measured == pytest.approx(340 / 3800, abs=1e-4)
    row = next(one for one in weight_rows(trailer()) if one.check == "least share on the coupling")
    # Light ahead and heavy behind, against 10 %: 0.1 x (2,000 + 900 + 1,100) - (250 + 225 - 165) = 90 lb too few.
    assert row.extreme_lb([ahead, behind]) == pytest.approx(90.0)
    assert row.worst_lb([ahead, behind]) == pytest.approx(max(380.0 - 340.0, 420.0 - 360.0))


def test_a_maker_s_own_share_goes_before_the_cited_one(trailer, placement):
    own = Hitch(truck="Old blue", kind="pintle", trailer_empty_lb=2000.0, least_share=0.05, share_source="plate on the tongue")
    found = told(trailer(hitch=own), at(placement, 200.0))
    least = found["least share of the trailer on the coupling"]
    assert (least.status, least.limit, least.source) == ("ok", 0.05, "plate on the tongue")
    assert "most share of the trailer on the coupling" not in found
    assert found["weight on the coupling"].status == "unknown"


@pytest.mark.parametrize(("hitch", "words"), [
    (None, "no row in the table of hitches"),
    (Hitch(truck="Old blue", kind="ball"), "not weighed by itself"),
    (Hitch(truck="Old blue", kind="pintle", trailer_empty_lb=2000.0), "no share is cited for a pintle"),
])  # fmt: skip
def test_what_is_not_known_of_a_hitch_is_told(trailer, placement, hitch, words):
    found = told(trailer(hitch=hitch), at(placement, 180.0))["share of the trailer on the coupling"]
    assert found.status == "unknown"
    assert words in found.note


def test_the_ball_s_rating_counts_every_pound_on_it(trailer, placement):
    # 250 + 4,000 x (200 - 140) / 200 = 1,450 of 1,500 lb.
    found = told(trailer(), at(placement, 140.0, weight_high_lb=4000.0))["weight on the coupling"]
    assert (found.measured, found.limit, found.status) == (1450.0, 1500.0, "ok")


def test_a_truck_without_a_trailer_has_no_coupling(rig, placement):
    assert told(rig(), placement()) == {}


def test_gear_carried_on_the_trailer_counts_as_trailer(trailer):
    rig = trailer(lifting="boom", lifting_weight_lb=400.0, lifting_mount="behind cab")
    # 18 in ahead of the deck, 22 in behind the ball: 400 x (200 - 22) / 200 = 356 lb of it on the ball.
    on = coupled(rig)
    assert (on.total_lb, on.resting_lb) == (2400.0, pytest.approx(250 + 356))


def test_the_deck_plan_keeps_the_share(trailer, batch):
    _, units = stowed_with_pins(trailer(), (batch("A", 4, (1, 2)),))
    shares = told(trailer(), *units)
    assert len(units) == 4
    assert {one.status for one in shares.values()} == {"ok"}
    # Without the hitch's row the plan does not look at the ball.
    _, units = stowed_with_pins(trailer(hitch=None), (batch("A", 4, (1, 2)),))
    assert "broken" in {one.status for one in told(trailer(), *units).values()}
