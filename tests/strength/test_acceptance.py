"""The grower's inspection: how it samples, and the chance to pass where every hive is known."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fixtures.tiny import tiny_operation
from routing.strength.acceptance import Inspecting, floor_chance, inspecting, known_lot_chance, lot_chance, step_of

TINY = tiny_operation()
CONTRACT = TINY.contracts[0]


RULES = [(16, 5, 0), (50, 5, 0), (51, 6, 0), (100, 10, 1), (340, 34, 3), (3, 3, 0)]


@pytest.mark.parametrize(("hives", "opened", "allowed"), RULES)
def test_a_tenth_is_opened_and_five_at_the_least(hives: int, opened: int, allowed: int) -> None:
    asked = inspecting(TINY, CONTRACT, hives)
    assert (asked.opened, asked.weak_allowed) == (opened, allowed)


def test_the_contracts_own_rule_goes_before_the_defaults() -> None:
    own = CONTRACT.model_copy(update={"opened_share": 0.15, "opened_least_hives": 1, "weak_allowed_share": 0.0})
    asked = inspecting(TINY, own, 340)  # blog.strombotne.com/pollination-contract: 51 of 340
    assert (asked.opened, asked.weak_allowed, asked.average_frames, asked.floor_frames) == (51, 0, 8.0, 6.0)


@given(st.integers(1, 60), st.data())
@settings(max_examples=60, deadline=None)
def test_the_floor_alone_is_the_hypergeometric_of_scipy(hives: int, data: st.DataObject) -> None:
    weak, opened = data.draw(st.integers(0, hives)), data.draw(st.integers(1, hives))
    allowed = data.draw(st.integers(0, opened))
    expected = stats.hypergeom.cdf(allowed, hives, weak, opened)
    assert floor_chance(hives, weak, opened=opened, weak_allowed=allowed) == pytest.approx(expected, abs=1e-12)


@given(st.lists(st.sampled_from([4.0, 5.5, 6.0, 7.5, 8.0, 9.0, 10.5]), min_size=3, max_size=9), st.data())
@settings(max_examples=60, deadline=None)
def test_a_known_lot_passes_in_as_many_samples_as_counted_one_by_one(frames: list[float], data: st.DataObject) -> None:
    asked = Inspecting(
        opened=data.draw(st.integers(1, len(frames))), average_frames=data.draw(st.sampled_from([0.0, 6.5, 7.75, 8.0])),
        floor_frames=data.draw(st.sampled_from([0.0, 5.5, 6.0])), weak_allowed=data.draw(st.integers(0, 2)),
    )  # fmt: skip
    samples = list(itertools.combinations(frames, asked.opened))
    expected = sum(asked.passes(sample) for sample in samples) / len(samples)
    assert known_lot_chance(frames, asked) == pytest.approx(expected, abs=1e-9)


def test_without_an_average_a_known_lot_is_the_floor_alone() -> None:
    asked = Inspecting(opened=12, average_frames=0.0, floor_frames=6.0, weak_allowed=1)
    expected = stats.hypergeom.cdf(1, 120, 9, 12)
    assert known_lot_chance([5.0] * 9 + [8.0] * 111, asked) == pytest.approx(expected, abs=1e-9)


def test_the_line_itself_passes() -> None:
    asked = Inspecting(opened=3, average_frames=8.1, floor_frames=8.1, weak_allowed=0)
    assert known_lot_chance([8.1] * 6, asked) == 1.0
    assert known_lot_chance([8.1] * 5 + [8.09], asked) == pytest.approx(10 / 20)


def test_the_step_of_counts_is_the_coarsest() -> None:
    told = {1.0: [8.0, 9.0], 0.5: [8.0, 8.5], 0.25: [7.25], 0.1: [7.3], 0.01: [7.01], 0.0: [7.001]}
    assert {step: step_of(frames) for step, frames in told.items()} == {step: step for step in told}


def test_counts_finer_than_a_hundredth_are_refused() -> None:
    asked = Inspecting(opened=1, average_frames=8.0, floor_frames=6.0, weak_allowed=0)
    with pytest.raises(ValueError, match="finer than a hundredth"):
        known_lot_chance([8.001], asked)


def test_a_lot_too_large_to_count_is_drawn_and_comes_near_the_exact_chance() -> None:
    frames = [5.0] * 20 + [7.0] * 60 + [8.0] * 80 + [9.0] * 40
    asked = Inspecting(opened=20, average_frames=7.5, floor_frames=6.0, weak_allowed=2)
    exact, none = lot_chance(frames, asked)
    assert (exact, none) == (known_lot_chance(frames, asked), 0.0)
    fine = list(frames)
    fine[-1] += 0.001  # told finer than a hundredth: not to be counted
    drawn, error = lot_chance(fine, asked, seed=1)
    assert 0.0 < error < 0.008
    assert drawn == pytest.approx(exact, abs=4 * error)


def test_a_lot_opened_whole_passes_or_does_not() -> None:
    asked = Inspecting(opened=3, average_frames=7.999, floor_frames=6.0, weak_allowed=0)
    assert lot_chance([8.001, 8.0, 8.0], asked) == (1.0, 0.0)
    assert lot_chance([8.001, 8.0, 5.999], asked) == (0.0, 0.0)
