"""The siting model against the outside: published p-median optima, and a reference library on random ground."""

from pathlib import Path

import geopandas as gpd
import numpy as np
import pulp
import pytest
from scipy.sparse.csgraph import shortest_path
from shapely.geometry import Point
from spopt.locate import MCLP, PMedian

from routing.drops.problem import PARTS, Floats, SitingProblem
from routing.drops.solve import solve_siting

DATA = Path(__file__).parent / "data" / "p_median.txt"


def published() -> dict[str, tuple[int, int, Floats]]:
    """Return medians, published optimum and ways between vertices of each instance of the OR-Library."""
    found = {}
    for line in DATA.read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            name, vertices, medians, optimum, edges = line.split(";")
            graph = np.full((int(vertices), int(vertices)), np.inf)
            for edge in edges.split():
                one, other, length = (int(part) for part in edge.split("-"))
                graph[one - 1, other - 1] = graph[other - 1, one - 1] = length
            found[name] = int(medians), int(optimum), shortest_path(graph, directed=False)
    return found


@pytest.mark.parametrize("name", ["pmed1", "pmed2", "pmed3", "pmed4", "pmed5"])
def test_published_p_median_optima_are_found_and_proven(name: str) -> None:
    # Beasley, A note on solving large p-median problems, EJOR 21 (1985) 270-273: 5819, 4093, 4250, 3034, 1355.
    medians, optimum, ways = published()[name]
    solved = solve_siting(SitingProblem(ways, np.full(len(ways), PARTS), medians))
    assert solved is not None
    assert solved.siting.cost == optimum
    assert solved.bound == pytest.approx(optimum, abs=0.01)
    assert len(solved.siting.chosen) == medians


def ground(seed: int, drops: int = 25, pieces: int = 60) -> tuple[Floats, Floats, Floats]:
    """Return places for drops, pieces of ground, and the hives that each piece draws."""
    dice = np.random.default_rng(seed)
    return dice.uniform(0, 2000, (drops, 2)), dice.uniform(0, 2000, (pieces, 2)), dice.integers(1, 9, pieces) / 4.0


def frame(points: Floats) -> gpd.GeoDataFrame:
    return gpd.GeoDataFrame(geometry=[Point(*point) for point in points])


def distances(drops: Floats, pieces: Floats) -> Floats:
    return np.hypot(drops[:, None, 0] - pieces[None, :, 0], drops[:, None, 1] - pieces[None, :, 1])


@pytest.mark.parametrize(("seed", "stops"), [(1, 2), (2, 4), (3, 7)])
def test_the_mean_distance_is_that_of_the_reference_library(seed: int, stops: int) -> None:
    drops, pieces, hives = ground(seed)
    cost = distances(drops, pieces)
    theirs = PMedian.from_cost_matrix(cost.T, hives, p_facilities=stops).solve(pulp.PULP_CBC_CMD(msg=False))
    ours = solve_siting(SitingProblem(cost, np.rint(hives * PARTS).astype(np.int64), stops))
    assert ours is not None
    assert ours.siting.cost == pytest.approx(pulp.value(theirs.problem.objective), rel=1e-6)
    assert ours.gap < 1e-6


@pytest.mark.parametrize(("seed", "stops", "reach_ft"), [(4, 2, 400.0), (5, 3, 350.0), (6, 5, 300.0)])
def test_the_most_acres_within_reach_are_those_of_the_reference_library(seed: int, stops: int, reach_ft: float) -> None:
    # Maximal covering is the same model: an acre costs 1 when it is out of reach, else nothing.
    drops, pieces, hives = ground(seed)
    apart = distances(drops, pieces)
    model = MCLP.from_cost_matrix(apart.T, hives, service_radius=reach_ft, p_facilities=stops)
    theirs = model.solve(pulp.PULP_CBC_CMD(msg=False))
    missed = SitingProblem(np.where(apart > reach_ft, 1.0, 0.0), np.rint(hives * PARTS).astype(np.int64), stops)
    ours = solve_siting(missed)
    assert ours is not None
    assert hives.sum() - ours.siting.cost == pytest.approx(pulp.value(theirs.problem.objective), rel=1e-6)
    assert ours.gap < 1e-6
