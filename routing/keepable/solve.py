"""The supply model: the least number of colonies that must be missing, whatever the trucks do.

Problem
    Contracts want colonies of some strength. Hives come in units (pallets, or loose hives) of several kinds.
    How many colonies must be missing, at the least, over all contracts handed in?
Data
    units[k], hives[k], frames[k] of each kind k; colonies[c], over[c], average[c] and the kinds of each
    contract c; the nights on which contracts hold their hives at the same time.
Variables
    x[c,k] whole units of kind k that contract c gets; short[c] colonies missing.
Model: least sum of short[c]
    (1) sum_k hives[k] x[c,k] + short[c] >= colonies[c].
    (2) sum_k hives[k] x[c,k] <= colonies[c] + over[c]: units are whole, and little more is taken.
    (3) sum_k (frames[k] - average[c]) hives[k] x[c,k] >= 0, unless a weak lot is taken at a price.
    (4) x[c,k] <= units[k], and over contracts that hold their hives on one night sum_c x[c,k] <= units[k]: no
        hive stands in two orchards at once.
Every plan keeps (1) to (4), so what the model says must be missing is missing in every plan.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from ortools.sat.python import cp_model

from routing.errors import SolverError
from routing.keepable.need import Need, at_once
from routing.nights.problem import UnitKind

FINE = 10_000
"""Frames in whole parts, rounded for the plan: a proof must not lean on rounding."""
COARSE = 100
"""Frames in whole parts, rounded against the plan, as the search for plans counts them."""
WORK = 5.0
"""Deterministic work limit, about seconds; the models are far smaller."""


@dataclass(frozen=True)
class Least:
    """Colonies that must be missing."""

    proven: int
    """No plan has fewer missing."""
    found: int
    """A choice of hives with so many missing; the same as ``proven`` when the model was solved to the end."""


def least_missing(needs: Sequence[Need], kinds: Sequence[UnitKind], *, strict: bool = False) -> Least:
    """Return the least number of colonies missing over all contracts handed in.

    Parameters
    ----------
    needs
        The contracts that share the stock.
    kinds
        The stock; ``Need.kinds`` counts in it.
    strict
        False: averages are rounded for the plan, as a proof must. True: against it, as an offer must.

    Raises
    ------
    SolverError
        If the model has no solution (it always has: everything may be missing).
    """
    model = cp_model.CpModel()
    units = {
        (row, kind): model.new_int_var(0, _most(need, kinds[kind]), "")
        for row, need in enumerate(needs) for kind in need.kinds
    }  # fmt: skip
    short = [_terms(model, need, kinds, strict, _of(units, row)) for row, need in enumerate(needs)]
    _share(model, needs, kinds, units)
    model.minimize(sum(short))
    return _solve(model)


def _of(units: Mapping[tuple[int, int], cp_model.IntVar], row: int) -> dict[int, cp_model.IntVar]:
    return {kind: var for (owner, kind), var in units.items() if owner == row}


def _most(need: Need, kind: UnitKind) -> int:
    """Return the bound of (4) on one contract's units, or of (2) where hives may come twice."""
    taken = (need.colonies + need.over) // kind.hives
    return taken if need.again else min(kind.units, taken)


def _terms(
    model: cp_model.CpModel, need: Need, kinds: Sequence[UnitKind], strict: bool,
    units: Mapping[int, cp_model.IntVar],
) -> cp_model.IntVar:  # fmt: skip
    """Add (1) to (3); return the colonies missing."""
    short = model.new_int_var(0, need.colonies, "")
    hives = sum(kinds[kind].hives * var for kind, var in units.items())
    model.add(hives + short >= need.colonies)
    model.add(hives <= need.colonies + need.over)
    if need.average is not None:
        above = {kind: _above(kinds[kind].frames - need.average, strict) for kind in units}
        model.add(sum(above[kind] * kinds[kind].hives * var for kind, var in units.items()) >= 0)
    return short


def _above(frames: float, strict: bool) -> int:
    return floor(frames * COARSE + 1e-6) if strict else ceil(frames * FINE)


def _share(
    model: cp_model.CpModel, needs: Sequence[Need], kinds: Sequence[UnitKind],
    units: Mapping[tuple[int, int], cp_model.IntVar],
) -> None:  # fmt: skip
    """Add (4) for every largest set of contracts that hold their hives at once."""
    rows = {need.contract: row for row, need in enumerate(needs)}
    for _, there in at_once({need.contract: need for need in needs}):
        for index, kind in enumerate(kinds):
            wanting = [units[rows[name], index] for name in there if (rows[name], index) in units]
            if len(wanting) > 1:
                model.add(sum(wanting) <= kind.units)


def _solve(model: cp_model.CpModel) -> Least:
    solver = cp_model.CpSolver()
    # CP-SAT would put the default handler back when it ends: the next Ctrl-C would then lose the plan.
    solver.parameters.catch_sigint_signal = False
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = WORK
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise SolverError(f"the supply model ended with {solver.status_name(status)}.")
    return Least(proven=ceil(solver.best_objective_bound - 1e-6), found=round(solver.objective_value))
