"""Texts of posted limits as maps have them."""

import doctest
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.roads import line, posted
from routing.roads.posted import posted_length_in, posted_weight_lb


@pytest.mark.parametrize(("text", "inches"), [
    ("12'6\"", 150.0), ("12' 6\"", 150.0), ("12'6", 150.0), ("12’6”", 150.0), ("12-6", 150.0),
    ("12 ft 6 in", 150.0), ("12ft6in", 150.0),
    ("12 feet 6 inches", 150.0), ("12.5 ft", 150.0), ("12'", 144.0), ("12'6.5\"", 150.5), ("152 in", 152.0), ("150\"", 150.0),
    ("3.81", 150.0), ("3,81", 150.0), ("3.81 m", 150.0), ("381 cm", 150.0), ("13'6\";12'6\"", 150.0),
])  # fmt: skip
def test_a_length_is_read_as_the_sign_has_it(text: str, inches: float) -> None:
    assert posted_length_in(text) == pytest.approx(inches)


@pytest.mark.parametrize(("text", "pounds"), [
    ("20 st", 40_000.0), ("20st", 40_000.0), ("40000 lbs", 40_000.0), ("40,000 lbs", 40_000.0), ("40 000 lb", 40_000.0),
    ("20 tons", 40_000.0), ("20 short tons", 40_000.0), ("40 kips", 40_000.0), ("10,5 st", 21_000.0),
    # 1 t = 1000 kg, 1 lb = 0.45359237 kg: 20 t = 44,092.45 lb
    ("20", 44_092.45), ("20 t", 44_092.45), ("20000 kg", 44_092.45), ("30;20", 44_092.45),
])  # fmt: skip
def test_a_weight_is_read_as_the_sign_has_it(text: str, pounds: float) -> None:
    assert posted_weight_lb(text) == pytest.approx(pounds, abs=0.01)


@pytest.mark.parametrize("text", ["none", "default", "unsigned", "no", "NONE"])
def test_no_sign_is_no_limit(text: str) -> None:
    assert posted_length_in(text) == posted_weight_lb(text) == math.inf


@pytest.mark.parametrize("text", ["below_default", "12-60", "low", "", "-3", "0", "3.5 @ (Mo-Fr)", "12 hands", "3.5;low"])
def test_what_cannot_be_read_is_not_guessed(text: str) -> None:
    assert posted_length_in(text) is None


@pytest.mark.parametrize("text", ["20 stone", "heavy", "", "0 t", "20 t @ night"])
def test_a_weight_that_cannot_be_read_is_not_guessed(text: str) -> None:
    assert posted_weight_lb(text) is None


@given(feet=st.integers(6, 20), inches=st.integers(0, 11))
def test_every_way_of_writing_feet_and_inches_reads_alike(feet: int, inches: int) -> None:
    texts = (f"{feet}'{inches}\"", f"{feet}'{inches}", f"{feet}-{inches}", f"{feet} ft {inches} in", f"{feet}ft{inches}in")
    assert {posted_length_in(text) for text in texts} == {12.0 * feet + inches}


@given(text=st.text(max_size=12))
def test_no_text_stops_the_reading(text: str) -> None:
    for read in (posted_length_in, posted_weight_lb):
        value = read(text)
        assert value is None or value > 0.0


def test_the_examples_of_the_docstrings_hold() -> None:
    for module in (posted, line):
        outcome = doctest.testmod(module)
        assert (outcome.attempted >= 1, outcome.failed) == (True, 0)
