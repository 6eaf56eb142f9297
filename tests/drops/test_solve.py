"""The siting model against every siting there is, on ground small enough to try them all."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.drops.bound import priced
from routing.drops.problem import PARTS, SitingProblem
from routing.drops.search import allot, first_siting
from routing.drops.solve import solve_siting

PLACES, PIECES = 6, 5


def problem(seed: int, *, stops: int, unit: int, least: int, most: int, spacing: float = 0.0, total: int = 13) -> SitingProblem:
    """Return random ground of some hives; unit, least and most in hives."""
    dice = np.random.default_rng(seed)
    drops, pieces = dice.uniform(0, 1000, (PLACES, 2)), dice.uniform(0, 1000, (PIECES, 2))
    cost = np.hypot(drops[:, None, 0] - pieces[None, :, 0], drops[:, None, 1] - pieces[None, :, 1])
    wanted = dice.multinomial(total * PARTS - PIECES, np.full(PIECES, 1 / PIECES)) + 1
    near = np.hypot(drops[:, None, 0] - drops[None, :, 0], drops[:, None, 1] - drops[None, :, 1]) < spacing
    np.fill_diagonal(near, False)
    return SitingProblem(cost, wanted, stops, least * PARTS, most * PARTS, unit * PARTS, near)


def best_of_all(one: SitingProblem) -> float:
    """Return the least cost over every set of drops and every whole number of units at each; inf when none fits."""
    best = np.inf
    units = range(1, -(-one.total // one.unit) + 1)
    for count in range(1, one.stops + 1):
        for chosen in combinations(range(PLACES), count):
            if one.near is not None and any(one.near[a, b] for a, b in combinations(chosen, 2)):
                continue
            for numbers in product(units, repeat=count):
                for short in range(count) if one.short else [None]:
                    held = np.array(numbers) * one.unit
                    if short is not None:
                        held[short] -= one.short
                    if held.sum() == one.total and (held >= max(one.least, 1)).all() and (held <= one.highest).all():
                        found = allot(one, chosen, held)
                        best = best if found is None else min(best, found.cost)
    return best


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 10_000), stops=st.integers(1, 3), unit=st.integers(2, 5), least=st.integers(0, 4),
    most=st.integers(4, 13), spacing=st.sampled_from([0.0, 300.0, 600.0]),
)  # fmt: skip
def test_the_least_cost_over_every_siting_is_found_and_proven(
    seed: int, stops: int, unit: int, least: int, most: int, spacing: float
) -> None:
    one = problem(seed, stops=stops, unit=unit, least=least, most=most, spacing=spacing)
    best = best_of_all(one)
    solved = solve_siting(one)
    if solved is None:
        assert best == np.inf
        return
    assert solved.siting.cost == pytest.approx(best, rel=1e-5)
    assert solved.bound <= best * (1 + 1e-6)
    assert solved.gap < 1e-4


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10_000), stops=st.integers(1, 3), unit=st.integers(2, 5), most=st.integers(5, 13))
def test_the_bound_is_under_the_best_and_no_candidate_of_the_best_is_closed(seed: int, stops: int, unit: int, most: int) -> None:
    one = problem(seed, stops=stops, unit=unit, least=0, most=most)
    best = best_of_all(one)
    known = first_siting(one)
    bounded = priced(one, np.inf if known is None else known.cost)
    assert bounded.bound <= best * (1 + 1e-9)
    solved = solve_siting(one)
    if solved is not None and known is not None and solved.siting.cost < known.cost * (1 - 1e-6):
        assert not bounded.closed & set(solved.siting.chosen)


def test_shares_of_hives_keep_least_and_most_and_every_sum() -> None:
    one = problem(3, stops=3, unit=4, least=4, most=8, total=18)
    solved = solve_siting(one)
    assert solved is not None
    siting = solved.siting
    assert (siting.flow.sum(axis=0) == one.wanted).all()
    # 18 hives are 5 units of 4, one of them 2 short: 8 + 8 + 2 is less than the least, so 8 + 6 + 4 it is.
    assert sorted(siting.held // PARTS) == [4, 6, 8]


def test_drops_are_as_far_apart_as_asked() -> None:
    free = solve_siting(problem(8, stops=3, unit=1, least=1, most=13))
    apart = solve_siting(problem(8, stops=3, unit=1, least=1, most=13, spacing=700.0))
    assert free is not None
    assert apart is not None
    near = problem(8, stops=3, unit=1, least=1, most=13, spacing=700.0).near
    assert near is not None
    assert any(near[a, b] for a, b in combinations(free.siting.chosen, 2))
    assert not any(near[a, b] for a, b in combinations(apart.siting.chosen, 2))
    assert apart.siting.cost > free.siting.cost


def test_hives_that_no_number_of_drops_can_hold_have_no_siting() -> None:
    # 3 stops of at most 4 hives hold 12 of the 13.
    assert solve_siting(problem(1, stops=3, unit=1, least=1, most=4)) is None


def test_one_more_stop_never_makes_it_dearer() -> None:
    costs = []
    for stops in (1, 2, 3, 4):
        solved = solve_siting(problem(5, stops=stops, unit=1, least=1, most=13))
        assert solved is not None
        costs.append(solved.siting.cost)
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[-1]
