"""Weights: moments balance, less cargo never weighs more, and each limit is kept to the pound."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.loads.states import Moment, deck_states
from routing.loads.vehicle import vehicle
from routing.loads.weighing import weighing

PLACES = st.tuples(st.floats(0, 200), st.floats(0, 50), st.floats(50, 700), st.floats(0, 200))


def spread(placement, rows):
    return [
        placement(f"A{n}", front_in=front, left_in=left, weight_low_lb=low, weight_high_lb=low + more)
        for n, (front, left, low, more) in enumerate(rows)
    ]


def finding(check, units, load, rig):
    return next(one for one in weighing(load(*units), rig) if one.check == check)


@settings(max_examples=40)
@given(rows=st.lists(PLACES, min_size=1, max_size=8))
def test_axle_weights_add_up_to_the_gross_weight(rig, semi, placement, rows):
    exact = [(front, left, low, 0.0) for front, left, low, _ in rows]
    for one in (rig(), semi):
        (state,) = deck_states(vehicle(one), spread(placement, exact), [Moment(0, "loaded")])
        assert sum(axle.high_lb for axle in state.axles) == pytest.approx(state.gross_high_lb)
        assert sum(axle.low_lb for axle in state.axles) == pytest.approx(state.gross_low_lb)


@settings(max_examples=40)
@given(rows=st.lists(PLACES, min_size=1, max_size=6))
def test_no_weight_between_lightest_and_heaviest_leaves_an_axles_range(rig, placement, rows):
    units = spread(placement, rows)
    axles = vehicle(rig())
    (state,) = deck_states(axles, units, [Moment(0, "loaded")])
    for choice in itertools.product((0.0, 0.5, 1.0), repeat=min(3, len(units))):
        shares = [*choice, *[0.3] * len(units)]
        for place, axle in enumerate(state.axles):
            lb = axles.empty_lb[place]
            for unit, share in zip(units, shares, strict=False):
                weight = unit.weight_low_lb + share * (unit.weight_high_lb - unit.weight_low_lb)
                lb += weight * axles.shares[place].at(unit.front_in + unit.length_in / 2)
            assert axle.low_lb - 1e-6 <= lb <= axle.high_lb + 1e-6


@settings(max_examples=40)
@given(rows=st.lists(PLACES, min_size=2, max_size=8))
def test_a_unit_less_never_raises_payload_or_gross(rig, placement, load, rows):
    units = spread(placement, rows)
    for check in ("payload", "gross weight"):
        full, less = (finding(check, some, load, rig()) for some in (units, units[1:]))
        assert less.measured <= full.measured


def test_a_drop_may_load_the_steer_axle(rig, placement, load):
    # A pallet behind the rear axle lifts the front: at 60 + 203 + 18.5 = 281.5 in, by 91.5 / 190 of it.
    ahead, behind = placement("A1", drop_order=2), placement("B1", front_in=203.0, drop_order=1)
    steer = finding("rating of the steer axle", (ahead, behind), load, rig())
    # The worst is after the first drop: 5,400 + 522 x (190 - 78.5) / 190.
    assert steer.measured == pytest.approx(5400 + 522 * 111.5 / 190, abs=0.1)


@pytest.mark.parametrize(("rating_lb", "status"), [(1044.0, "ok"), (1043.0, "broken")])
def test_payload_is_kept_to_the_pound(rig, placement, load, rating_lb, status):
    units = (placement("A1"), placement("A2", left_in=45.0))
    assert finding("payload", units, load, rig(payload_lb=rating_lb)).status == status


@pytest.mark.parametrize(("rating_lb", "status"), [(12844.0, "ok"), (12843.0, "broken")])
def test_gross_is_kept_to_the_pound(rig, placement, load, rating_lb, status):
    # 5,400 + 6,400 + 2 x 522 = 12,844 lb.
    units = (placement("A1"), placement("A2", left_in=45.0))
    assert finding("gross weight", units, load, rig(gross_rating_lb=rating_lb)).status == status


def test_a_semi_over_its_bridge_formula_is_told_with_figure_and_source(semi, placement, load):
    units = [
        placement(f"A{n}", front_in=43.0 * n, weight_low_lb=4600.0, weight_high_lb=4600.0) for n in range(10)
    ]
    found = [one for one in weighing(load(*units), semi) if one.force == "law" and one.status == "broken"]
    # 33,000 lb empty and 46,000 lb of cargo are under 80,000 lb; the tractor's tandem is not under 34,000 lb.
    assert "gross weight, federal limit" not in {one.check for one in found}
    assert any(one.limit == 34000.0 and one.source.startswith("23 USC 127") for one in found)


def test_one_heavy_side_is_seen(rig, placement, load):
    units = [placement(f"A{n}", front_in=37.0 * n) for n in range(6)]
    found = finding("one side heavier", units, load, rig())
    # 6 x 522 lb, 25.5 in left of the middle, of (11,800 + 3,132) lb and 48 in.
    assert found.measured == pytest.approx(6 * 522 * 25.5 / (14932 * 48), abs=1e-4)
    assert found.status == "broken"


def test_axles_that_are_not_known_are_not_well(rig, placement, load):
    found = weighing(load(placement()), rig(axles=()))
    unknown = {one.check for one in found if one.status == "unknown"}
    assert {"gross weight", "weight on each axle", "federal axle and bridge limits"} <= unknown


def test_limits_that_are_in_no_table_are_named(rig, placement, load):
    state = finding("weight limits of this State's roads and bridges", (placement(),), load, rig())
    assert state.status == "unknown"
