"""Of lots said to pass at 90 %, 88 to 92 % pass: lots, samples and inspections drawn with a seed."""

import pytest

from tests.benchmarks._season_strength import KINDS, passed_share, said_again

BY_NAME = {kind.name: kind for kind in KINDS}


@pytest.mark.parametrize("name", ["average and floor", "half frames, 15 % opened", "with growth"])
def test_ninety_in_a_hundred_lots_said_to_pass_at_ninety_percent_pass(name: str) -> None:
    # 1,500 lots: standard error 0.77 points.
    assert 0.88 <= passed_share(BY_NAME[name], lots=1500, draws=400, seed=4) <= 0.92


def test_hives_that_are_not_normal_are_within_four_points() -> None:
    for name in ("skewed", "two kinds of colony"):
        assert 0.86 <= passed_share(BY_NAME[name], lots=700, draws=300, seed=4) <= 0.94


@pytest.mark.parametrize("name", ["average and floor", "average alone"])
def test_the_chance_that_a_beekeeper_is_told_is_the_one_that_is_calibrated(name: str) -> None:
    chance, error = said_again(BY_NAME[name], seed=8)
    assert chance == pytest.approx(0.90, abs=4 * error + 0.005)
