"""The round past all drops is the shortest: every order is tried."""

from itertools import pairwise, permutations

import numpy as np
import pytest

from routing.drops.order.solve import shortest_round
from routing.drops.search import distances_between


def length(order: tuple[int, ...], ways: np.ndarray) -> float:
    stops = (0, *(one + 1 for one in order), 0)
    return sum(ways[a, b] for a, b in pairwise(stops))


@pytest.mark.parametrize("seed", range(6))
def test_no_order_is_shorter(seed: int) -> None:
    ways = distances_between(np.random.default_rng(seed).uniform(0, 3000, (7, 2)))
    found = shortest_round(ways)
    best = min(length(order, ways) for order in permutations(range(6)))
    # Ways are whole feet in the model: seven roundings of half a foot.
    assert found.way_ft == pytest.approx(best, abs=3.5)
    assert found.way_ft == pytest.approx(length(found.order, ways))
    assert found.is_shortest


def test_the_nearer_end_of_the_round_comes_first() -> None:
    # On one lane at 100, 400 and 900 ft.
    places = np.array([[0.0, 0.0], [900.0, 0.0], [100.0, 0.0], [400.0, 0.0]])
    assert shortest_round(distances_between(places)).order[0] in (1, 2)
    assert shortest_round(distances_between(places)).way_ft == pytest.approx(1800.0)


@pytest.mark.parametrize(("count", "way"), [(1, 0.0), (2, 500.0)])
def test_one_drop_and_none(count: int, way: float) -> None:
    ways = distances_between(np.array([[0.0, 0.0], [250.0, 0.0]])[:count])
    found = shortest_round(ways)
    assert (len(found.order), found.way_ft, found.is_shortest) == (count - 1, way, True)


def test_thirty_drops_are_proven_too() -> None:
    ways = distances_between(np.random.default_rng(1).uniform(0, 3000, (31, 2)))
    found = shortest_round(ways, seconds=20.0)
    assert sorted(found.order) == list(range(30))
    assert found.is_shortest
