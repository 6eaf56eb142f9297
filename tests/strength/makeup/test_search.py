"""Pallets made up: as near the lot's average as the best of all ways, and every colony used once."""

import itertools
from collections import Counter

import numpy as np
import pytest

from routing.strength.makeup.search import arrange, off_average


def best_of_all(strengths: list[int], size: int) -> float:
    """Return the least distance from the average, over every way to fill pallets."""
    if not strengths:
        return 0.0
    average = sum(strengths) / (len(strengths) // size)

    def least(left: tuple[int, ...]) -> float:
        if not left:
            return 0.0
        first, rest = left[0], left[1:]
        ways = []
        for others in set(itertools.combinations(rest, size - 1)):
            after = list(rest)
            for one in others:
                after.remove(one)
            ways.append(abs(first + sum(others) - average) + least(tuple(after)))
        return min(ways)

    return least(tuple(strengths)) / (len(strengths) // size) / size


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize(("pallets", "size"), [(3, 3), (2, 4), (4, 2)])
def test_pallets_are_as_near_the_average_as_the_best_of_all_ways(seed: int, pallets: int, size: int) -> None:
    strengths = [int(one) * 50 for one in np.random.default_rng(seed).integers(12, 22, pallets * size)]
    found, proven = arrange(Counter(strengths), size)
    assert proven
    assert Counter(one for pattern, times in found.items() for one in pattern * times) == Counter(strengths)
    assert off_average(found) == pytest.approx(best_of_all(sorted(strengths), size))


def test_too_many_patterns_are_dealt_out_and_said_not_to_be_proven() -> None:
    strengths = [800 + 7 * step for step in range(24)]
    found, proven = arrange(Counter(strengths), 6)
    assert not proven
    assert sorted(one for pattern, times in found.items() for one in pattern * times) == strengths
    assert off_average(found) < 5.0


def test_colonies_that_do_not_fill_pallets_are_refused() -> None:
    with pytest.raises(ValueError, match="7 colonies do not fill pallets of 4"):
        arrange({800: 7}, 4)


def test_no_colonies_are_no_pallets() -> None:
    assert arrange({}, 4) == ({}, True)
    assert off_average({}) == 0.0
