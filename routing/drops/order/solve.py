"""The shortest round from the gate past every drop and back.

Problem
    The travelling salesman over the gate and at most 30 drops, ways along the tracks.
Model
    One arc variable for each ordered pair of places; the arcs taken form one circuit (CP-SAT AddCircuit);
    minimise the feet of the arcs taken. Ways are whole feet.
Ties
    A round is as long driven backwards: the way about that comes to the nearer of its two ends first is told.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from ortools.sat.python import cp_model

from routing.drops.problem import Floats
from routing.errors import SolverError


@dataclass(frozen=True)
class Round:
    """Drops in the order of the drive."""

    order: tuple[int, ...]
    way_ft: float
    is_shortest: bool
    """Proven."""


def shortest_round(ways_ft: Floats, *, seconds: float = 5.0) -> Round:
    """Return the shortest round.

    Parameters
    ----------
    ways_ft
        Between the gate (row and column 0) and the drops; finite. [places x places]
    seconds
        Within which it must be proven; else the best found is returned and said to be no more than that.
    """
    count = ways_ft.shape[0]
    if count <= 2:
        return Round(tuple(range(count - 1)), float(2.0 * ways_ft[0, -1]) if count == 2 else 0.0, True)
    whole = np.rint(ways_ft).astype(np.int64)
    model = cp_model.CpModel()
    arcs = [(i, j, model.new_bool_var(f"{i}-{j}")) for i in range(count) for j in range(count) if i != j]
    model.add_circuit(arcs)
    model.minimize(sum(int(whole[i, j]) * taken for i, j, taken in arcs))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise SolverError(f"the round of the drops ended with {solver.status_name(status)}.")
    after = {i: j for i, j, taken in arcs if solver.boolean_value(taken)}
    order = [after[0]]
    while after[order[-1]] != 0:
        order.append(after[order[-1]])
    if ways_ft[0, order[-1]] < ways_ft[0, order[0]]:
        order.reverse()
    stops = [0, *order, 0]
    way = sum(float(ways_ft[a, b]) for a, b in pairwise(stops))
    return Round(tuple(one - 1 for one in order), way, status == cp_model.OPTIMAL)
