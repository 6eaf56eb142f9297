"""What a plan may count on, from counts, from a mean and spread, from one hive, from nothing."""

import datetime as dt
import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.strength.group import group_strength, share_below

TINY = tiny_operation()
ROOM = 18.0  # double deep 10: 10 frames, and 8 beside a feeder that takes the room of two


def test_the_bound_is_the_mean_less_t_standard_errors_corrected_for_the_finite_group() -> None:
    # 8x4, 9x6, 10x2: 32 + 54 + 20 = 106 in 12 hives; squares 4(5/6)^2 + 6(1/6)^2 + 2(7/6)^2
    mean, variance = 106 / 12, (4 * 25 + 6 * 1 + 2 * 49) / 36 / 11
    strength = group_strength(TINY, group(hives=16, frames_seen="8x4, 9x6, 10x2"))
    margin = 0.87553 * math.sqrt(variance / 12) * math.sqrt(1 - 12 / 16)  # t(.80), 11 degrees of freedom
    assert strength.mean_frames == pytest.approx(mean)
    assert strength.sd_frames == pytest.approx(math.sqrt(variance))
    assert strength.counted_frames == pytest.approx(mean - margin, abs=1e-5)
    assert "12 of 16 hives opened: at least this with 80% confidence" in strength.basis


def test_counts_and_their_own_mean_and_spread_say_the_same() -> None:
    counts = group_strength(TINY, group(hives=40, frames_seen="6, 8, 10, 8"))
    told = group(hives=40, frames_mean=8.0, frames_sd=math.sqrt(8 / 3), hives_inspected=4)
    assert group_strength(TINY, told).counted_frames == pytest.approx(counts.counted_frames)


def test_a_full_count_is_the_mean_itself() -> None:
    strength = group_strength(TINY, group(hives=4, frames_seen="6, 8, 10, 8"))
    assert (strength.counted_frames, strength.inspected) == (8.0, 4)
    assert strength.basis == "every hive was opened: the mean itself"


def test_one_hive_opened_is_judged_by_the_default_spread_and_says_so() -> None:
    strength = group_strength(TINY, group(hives=24, frames_seen="9"))
    assert strength.counted_frames == pytest.approx(9 - 0.8416212 * 2.5 * math.sqrt(1 - 1 / 24), abs=1e-6)
    assert "taken as 2.5 frames" in strength.basis


def test_a_mean_without_the_number_opened_is_taken_for_one_hive() -> None:
    alone = group_strength(TINY, group(hives=24, frames_mean=9.0, frames_sd=1.0))
    assert alone.inspected == 1
    assert alone.counted_frames == pytest.approx(9 - 0.8416212 * math.sqrt(23 / 24), abs=1e-6)


def test_nothing_written_down_counts_for_nothing() -> None:
    strength = group_strength(TINY, group(hives=24))
    assert (strength.inspected, strength.counted_frames) == (0, 0.0)
    assert "nothing is counted on" in strength.basis
    assert share_below(TINY, group(hives=24), 6.0) == 1.0


def test_no_more_is_counted_on_than_the_boxes_hold_on_the_road() -> None:
    strength = group_strength(TINY, group(hives=4, frames_seen="20x4"))
    assert (strength.mean_frames, strength.counted_frames) == (20.0, ROOM)
    assert "no more than the 18 frames" in strength.basis


def test_no_less_than_nothing_is_counted_on() -> None:
    assert group_strength(TINY, group(hives=200, frames_seen="0, 9")).counted_frames == 0.0


def test_more_confidence_counts_on_less() -> None:
    sure = with_constant("strength_confidence", 0.95)
    hives = group(hives=40, frames_seen="6, 8, 10, 8")
    assert group_strength(sure, hives).counted_frames < group_strength(TINY, hives).counted_frames


def test_a_confidence_of_one_half_counts_on_the_mean() -> None:
    half = with_constant("strength_confidence", 0.5)
    assert group_strength(half, group(hives=40, frames_seen="6, 8, 10, 8")).counted_frames == pytest.approx(
        8.0
    )


@pytest.mark.parametrize("confidence", [0.49, 1.0, 80.0])
def test_a_confidence_that_is_none_is_refused_by_name(confidence: float) -> None:
    with pytest.raises(ValueError, match="strength_confidence"):
        group_strength(with_constant("strength_confidence", confidence), group(hives=40, frames_seen="6, 8"))


@pytest.mark.parametrize(
    ("floor", "share"), [(7.9, 0.0), (8.0, 0.0), (8.1, 4 / 12), (9.5, 10 / 12), (11.0, 1.0)]
)
def test_the_share_below_a_floor_is_counted_in_the_hives_opened(floor: float, share: float) -> None:
    assert share_below(TINY, group(hives=16, frames_seen="8x4, 9x6, 10x2"), floor) == pytest.approx(share)


def test_the_share_below_a_floor_follows_the_normal_when_only_mean_and_spread_are_known() -> None:
    hives = group(hives=40, frames_mean=8.0, frames_sd=2.0, hives_inspected=10)
    assert share_below(TINY, hives, 6.0) == pytest.approx(0.158655, abs=1e-6)  # one spread under the mean
    assert share_below(TINY, hives, 0.0) == 0.0


def test_the_share_below_a_floor_uses_the_default_spread_where_none_is_given() -> None:
    hives = group(hives=40, frames_mean=8.0, hives_inspected=10)
    assert share_below(TINY, hives, 5.5) == pytest.approx(NormalDist().cdf(-1.0))


@pytest.mark.parametrize(("floor", "share"), [(7.9, 0.0), (8.0, 0.0), (8.1, 1.0)])
def test_without_any_spread_all_hives_are_on_one_side_of_the_floor(floor: float, share: float) -> None:
    assert (
        share_below(TINY, group(hives=9, frames_mean=8.0, frames_sd=0.0, hives_inspected=3), floor) == share
    )


FRAMES = st.lists(st.integers(0, 40).map(lambda half: half / 2), min_size=1, max_size=30)


@given(frames=FRAMES, more=st.integers(0, 300))
def test_the_plan_never_counts_on_more_than_was_seen_or_fits(frames: list[float], more: int) -> None:
    hives = group(hives=len(frames) + more, frames_seen=", ".join(map(str, frames)))
    strength = group_strength(TINY, hives)
    assert 0.0 <= strength.counted_frames <= min(strength.mean_frames + 1e-9, ROOM)


@given(frames=FRAMES, more=st.integers(0, 300), floor=st.floats(0.0, 20.0), step=st.floats(0.0, 5.0))
def test_a_higher_floor_never_has_fewer_hives_below(
    frames: list[float], more: int, floor: float, step: float
) -> None:
    hives = group(hives=len(frames) + more, frames_seen=", ".join(map(str, frames)))
    assert 0.0 <= share_below(TINY, hives, floor) <= share_below(TINY, hives, floor + step) <= 1.0


def group(
    *, hives: int, frames_seen: str | None = None, frames_mean: float | None = None,
    frames_sd: float | None = None, hives_inspected: int | None = None,
) -> HiveGroup:  # fmt: skip
    return HiveGroup(
        name="G", yard="Home yard", build="double deep 10", pallet="four-way", hives=hives,
        inspected_on=dt.date(2027, 4, 17), frames_seen=frames_seen, frames_mean=frames_mean,
        frames_sd=frames_sd, hives_inspected=hives_inspected,
    )  # fmt: skip


def with_constant(name: str, value: float) -> Operation:
    own = Constant(name=name, value=value, source="the test")
    return TINY.model_copy(update={"constants": (own,)})
