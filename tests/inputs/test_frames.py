"""Frames of bees as beekeepers write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.inputs.frames import MOST_HIVES, frames_seen


def test_one_number_is_one_hive() -> None:
    assert frames_seen("8, 9.5, 7") == (8.0, 9.5, 7.0)


def test_counts_are_frames_times_hives() -> None:
    assert frames_seen("8x5, 9x3") == (8.0,) * 5 + (9.0,) * 3


def test_counts_and_numbers_mix_with_any_spacing_and_mark() -> None:
    assert frames_seen(" 8 x 2;9.5 ,10X1; 7×2 ") == (8.0, 8.0, 9.5, 10.0, 7.0, 7.0)


UNREADABLE = ["", " ", "8,,9", "eight", "8 9", "8x", "x5", "-8", "8x-1", "8x1.5", "nan", "1e3", "8x5x2", "٨"]


@pytest.mark.parametrize("text", UNREADABLE)
def test_what_cannot_be_read_is_named(text: str) -> None:
    with pytest.raises(ValueError, match="is neither frames of one hive"):
        frames_seen(text)


def test_a_hive_of_thirty_frames_is_read_and_one_of_more_is_not() -> None:
    assert frames_seen("30") == (30.0,)
    with pytest.raises(ValueError, match="more than 30 frames"):
        frames_seen("30.5")


def test_five_thousand_hives_are_read_and_one_more_is_not() -> None:
    assert len(frames_seen(f"8x{MOST_HIVES - 1}, 9")) == MOST_HIVES
    with pytest.raises(ValueError, match="more than 5000 hives"):
        frames_seen(f"8x{MOST_HIVES}, 9")


def test_a_count_of_no_hives_is_refused() -> None:
    with pytest.raises(ValueError, match="counts no hive"):
        frames_seen("8x0")


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(1, 20)), min_size=1, max_size=20))
def test_every_hive_written_down_comes_back(counts: list[tuple[int, int]]) -> None:
    text = ", ".join(f"{halves / 2}x{hives}" for halves, hives in counts)
    expected = tuple(halves / 2 for halves, hives in counts for _ in range(hives))
    assert frames_seen(text) == expected


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    try:
        seen, sentence = frames_seen(text), "."
    except ValueError as error:
        seen, sentence = (), str(error)
    assert all(0 <= frames <= 30 for frames in seen)
    assert sentence.endswith(".")
