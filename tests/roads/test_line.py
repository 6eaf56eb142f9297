"""Lines of roads as short text."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.roads.line import points_of_text, text_of_line

POINT = st.tuples(st.floats(-90, 90), st.floats(-180, 180))


@given(line=st.lists(POINT, min_size=1, max_size=30).map(tuple))
def test_a_line_written_and_read_is_the_same_to_six_decimals(line: "tuple[tuple[float, float], ...]") -> None:
    assert np.abs(points_of_text(text_of_line(line)) - np.array(line)).max() <= 5.1e-7


def test_an_empty_text_is_no_line() -> None:
    assert points_of_text("").shape == (0, 2)


CUT = [("_p~iF", "ends within"), ("_p~iF~ps", "ends within"), ("~", "ends within"), ("a b", "holds a letter")]


@pytest.mark.parametrize(("text", "words"), CUT)
def test_a_text_that_is_cut_or_is_none_is_refused(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        points_of_text(text)
