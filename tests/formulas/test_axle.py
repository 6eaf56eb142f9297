"""Axle loads: whatever rides wherever, weights and moments balance exactly."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from routing.formulas.axle import AxleLayout, axle_loads, axle_positions_in, axle_shares, coupling_share

ITEMS = st.lists(st.tuples(st.floats(0.0, 5_000.0), st.floats(-200.0, 700.0)), max_size=12)
Items = list[tuple[float, float]]


@st.composite
def layouts(draw: st.DrawFn, *, trailer: bool) -> AxleLayout:
    """Draw a truck on two to four groups, with a trailer on one to three, or without."""

    def part(first_in: float, count: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
        centres = [first_in]
        for _ in range(count - 1):
            centres.append(centres[-1] + draw(st.floats(40.0, 200.0)))
        return tuple(centres), tuple(draw(st.floats(2_000.0, 40_000.0)) for _ in centres)

    truck, ratings = part(0.0, draw(st.integers(2, 4)))
    if not trailer:
        return AxleLayout(truck_centres_in=truck, truck_ratings_lb=ratings)
    behind, behind_ratings = part(draw(st.floats(100.0, 400.0)), draw(st.integers(1, 3)))
    return AxleLayout(truck_centres_in=truck, truck_ratings_lb=ratings, trailer_centres_in=behind,
                      trailer_ratings_lb=behind_ratings, coupling_in=draw(st.floats(0.0, 400.0)))


def _near(found: float, expected: float, size: float) -> bool:
    return math.isclose(found, expected, rel_tol=1e-9, abs_tol=1e-9 * (1.0 + size))


def _moment(loads_lb: tuple[float, ...], centres_in: tuple[float, ...]) -> float:
    return sum(load * centre for load, centre in zip(loads_lb, centres_in, strict=True))


@settings(max_examples=100, deadline=None)
@given(layouts(trailer=False), ITEMS)
def test_on_a_truck_weights_and_moments_balance(layout: AxleLayout, items: Items) -> None:
    loads = axle_loads(layout, [w for w, _ in items], truck_arms_in=[a for _, a in items])
    size = sum(w * (700.0 + abs(a)) for w, a in items)
    assert _near(sum(loads.groups_lb), sum(w for w, _ in items), size)
    assert _near(_moment(loads.groups_lb, layout.truck_centres_in), sum(w * a for w, a in items), size)


@settings(max_examples=100, deadline=None)
@given(layouts(trailer=True), ITEMS, ITEMS)
def test_with_a_trailer_each_part_balances_about_its_own_origin(
    layout: AxleLayout, on_truck: Items, on_trailer: Items
) -> None:
    loads = axle_loads(
        layout, [w for w, _ in on_truck], truck_arms_in=[a for _, a in on_truck],
        trailer_weights_lb=[w for w, _ in on_trailer], trailer_arms_in=[a for _, a in on_trailer],
    )
    groups = len(layout.truck_centres_in)
    truck, trailer = loads.groups_lb[:groups], loads.groups_lb[groups:]
    size = sum(w * (1_000.0 + abs(a)) for w, a in (*on_truck, *on_trailer)) * 10.0
    assert _near(sum(trailer) + loads.coupling_lb, sum(w for w, _ in on_trailer), size)
    assert _near(_moment(trailer, layout.trailer_centres_in), sum(w * a for w, a in on_trailer), size)
    assert _near(sum(truck), sum(w for w, _ in on_truck) + loads.coupling_lb, size)
    expected = sum(w * a for w, a in on_truck) + loads.coupling_lb * (layout.coupling_in or 0.0)
    assert _near(_moment(truck, layout.truck_centres_in), expected, size)


@settings(max_examples=60, deadline=None)
@given(layouts(trailer=True), st.floats(-200.0, 700.0))
def test_shares_are_what_one_pound_adds(layout: AxleLayout, arm_in: float) -> None:
    one = axle_loads(layout, [], truck_arms_in=[], trailer_weights_lb=[1.0], trailer_arms_in=[arm_in])
    shares = axle_shares(layout, "trailer")
    assert [share.at(arm_in) for share in shares] == pytest.approx(list(one.groups_lb), abs=1e-9)
    assert coupling_share(layout).at(arm_in) == pytest.approx(one.coupling_lb, abs=1e-9)
    assert sum(share.constant for share in shares) == pytest.approx(1.0, abs=1e-9)
    assert sum(share.per_in for share in shares) == pytest.approx(0.0, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(layouts(trailer=False), ITEMS)
def test_groups_behind_the_steer_axle_share_in_proportion_to_their_ratings(
    layout: AxleLayout, items: Items
) -> None:
    loads = axle_loads(layout, [w for w, _ in items], truck_arms_in=[a for _, a in items]).groups_lb[1:]
    behind = sum(loads)
    for load, rating in zip(loads, layout.truck_ratings_lb[1:], strict=True):
        assert load == pytest.approx(behind * rating / sum(layout.truck_ratings_lb[1:]), rel=1e-9, abs=1e-6)


def test_a_load_over_a_group_rests_on_it_alone() -> None:
    layout = AxleLayout(truck_centres_in=(0.0, 160.0), truck_ratings_lb=(8_000.0, 16_000.0))
    assert axle_loads(layout, [900.0], truck_arms_in=[0.0]).groups_lb == (900.0, 0.0)
    assert axle_loads(layout, [900.0], truck_arms_in=[160.0]).groups_lb == pytest.approx((0.0, 900.0))


def test_a_load_behind_the_drive_axle_lifts_the_steer_axle() -> None:
    layout = AxleLayout(truck_centres_in=(0.0, 160.0), truck_ratings_lb=(8_000.0, 16_000.0))
    # A forklift of 5,000 lb hung 80 in behind the drive axle: 5,000 x 240 / 160 = 7,500; the rest, -2,500.
    loads = axle_loads(layout, [5_000.0], truck_arms_in=[240.0])
    assert loads.groups_lb == pytest.approx((-2_500.0, 7_500.0))


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"truck_centres_in": (0.0,), "truck_ratings_lb": (1.0,)}, "two axle groups or more"),
        ({"truck_centres_in": (0.0, 160.0), "truck_ratings_lb": (1.0,)}, "2 axle groups but 1 ratings"),
        ({"truck_centres_in": (160.0, 0.0), "truck_ratings_lb": (1.0, 1.0)}, "behind the one before it"),
        ({"truck_centres_in": (0.0, 160.0), "truck_ratings_lb": (1.0, 0.0)}, "more than 0 lb"),
        ({"truck_centres_in": (0.0, 160.0), "truck_ratings_lb": (1.0, 1.0), "coupling_in": 150.0}, "both"),
        ({"truck_centres_in": (0.0, 160.0), "truck_ratings_lb": (1.0, 1.0), "coupling_in": 150.0,
          "trailer_centres_in": (0.0,), "trailer_ratings_lb": (1.0,)}, "behind its coupling"),
    ],
)
def test_a_layout_that_cannot_stand_is_refused(wrong: dict[str, object], sentence: str) -> None:
    with pytest.raises(ValidationError, match=sentence):
        AxleLayout.model_validate(wrong)


def test_weights_without_arms_and_a_trailer_that_is_not_there_are_refused() -> None:
    layout = AxleLayout(truck_centres_in=(0.0, 160.0), truck_ratings_lb=(8_000.0, 16_000.0))
    with pytest.raises(ValueError, match="2 weights but 1 arms"):
        axle_loads(layout, [1.0, 2.0], truck_arms_in=[1.0])
    with pytest.raises(ValueError, match="weights are 0 or more"):
        axle_loads(layout, [-1.0], truck_arms_in=[1.0])
    with pytest.raises(ValueError, match="no trailer"):
        axle_loads(layout, [], truck_arms_in=[], trailer_weights_lb=[1.0], trailer_arms_in=[1.0])


def test_axles_of_a_group_stand_evenly_about_its_centre() -> None:
    assert axle_positions_in(200.0, spread_in=0.0, axles=1) == (200.0,)
    assert axle_positions_in(200.0, spread_in=52.0, axles=2) == (174.0, 226.0)
    assert axle_positions_in(200.0, spread_in=100.0, axles=3) == (150.0, 200.0, 250.0)
    with pytest.raises(ValueError, match="2 axles cannot spread over 0"):
        axle_positions_in(200.0, spread_in=0.0, axles=2)
