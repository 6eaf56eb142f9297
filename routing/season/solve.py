"""The season as a mixed-integer program: which units go which way, and which offers are taken.

Sets
    K kinds of units, C contracts (S signed, O offers), Y yards, N(k) nodes and A(k) arcs of each kind's network
    (``network.py``).
Data
    units[k], hives[k]; usd[a] what one hive earns or costs on arc a; frames[a] counted on, on an arc into an orchard;
    colonies[c], least[c] (an offer's smallest part; all of it when no part is taken), over[c], average[c], fee[c],
    short[c] penalty for each colony missing, weak[c] price of a frame missing (or none: a weak lot is not taken);
    room[y]; rest nights and supers are in the network itself.
Variables
    x[a] whole units on arc a; y[c] in {0, 1}, an offer is taken; paid[c] colonies paid for; miss[c] colonies missing of
    a signed contract; lack[c] frames that the average lacks, times hives.
Model: most of
    sum_a hives usd[a] x[a] + sum_c fee[c] paid[c] - short[c] miss[c] - weak[c] lack[c]
    (1) flow: at each node of each kind what comes in goes out; units[k] start in their yard, and all end somewhere.
    (2) got[c] = sum of hives on arcs into c; miss[c] >= colonies[c] - got[c], c in S.
    (3) got[c] <= colonies[c] + over[c], times y[c] for an offer; got[c] >= least[c] y[c].
    (4) paid[c] <= got[c]; paid[c] <= colonies[c], unless more is paid for.
    (5) sum over arcs into c of (frames[a] - average[c]) hives x[a] + lack[c] >= 0; lack[c] = 0 without weak[c].
    (6) in each yard, at the end of every night on which hives come: hives standing <= room[y].
    (7) trucks: for every run of nights and every size of truck, hives whose moves must lie inside that run and that
        only trucks up to that size may carry <= what those trucks move in it (``loads_per_truck_night`` loads each).
HiGHS proves the bound; the gap asked for is the one it stops at.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from ortools.math_opt.python import mathopt

from routing.errors import SolverError
from routing.season.kinds import Stand
from routing.season.network import END, Network
from routing.season.trucks import Room, truck_rooms

Unsolved = Literal["cannot be", "out of time"]


@dataclass(frozen=True)
class Solved:
    """Units on each arc, and how good that is."""

    units: tuple[int, ...]
    """Same order as the network's arcs."""
    profit_usd: float
    bound_usd: float


def solve_season(
    network: Network, *, seconds: float, gap: float, fixed: Mapping[str, bool] | None = None, cap: Mapping[str, int] | None = None
) -> Solved | Unsolved:
    """Return the season that earns most.

    Parameters
    ----------
    network
        The operation as a network.
    seconds
        Time for the solver. > 0. [s]
    gap
        Share of the profit at which the proof is good enough.
    fixed
        Offers to be taken (True) or refused (False), whatever they are worth.
    cap
        Most colonies that a contract can get, as tours found.

    Returns
    -------
    Solved or Unsolved
        Why there is no season: what is fixed cannot be, or time ran out before the first.

    Raises
    ------
    SolverError
        If the solver's answer is neither.
    """
    model = _Model(network, dict(fixed or {}), dict(cap or {}))
    params = mathopt.SolveParameters(time_limit=dt.timedelta(seconds=max(seconds, 0.1)), relative_gap_tolerance=gap)
    result = mathopt.solve(model.program, mathopt.SolverType.HIGHS, params=params)
    reason = result.termination.reason
    if reason not in _WELL and not result.has_primal_feasible_solution():
        raise SolverError(f"The season's solver ended with {reason}.")
    if not result.has_primal_feasible_solution():
        return "cannot be" if reason in _IMPOSSIBLE else "out of time"
    bound = result.termination.objective_bounds.dual_bound
    profit = result.objective_value()
    values = result.variable_values(model.units)
    return Solved(tuple(round(value) for value in values), profit, max(bound, profit) if isfinite(bound) else float("inf"))


_IMPOSSIBLE = {mathopt.TerminationReason.INFEASIBLE, mathopt.TerminationReason.INFEASIBLE_OR_UNBOUNDED}
_WELL = {
    mathopt.TerminationReason.OPTIMAL, mathopt.TerminationReason.FEASIBLE, mathopt.TerminationReason.INFEASIBLE,
    mathopt.TerminationReason.NO_SOLUTION_FOUND, mathopt.TerminationReason.INFEASIBLE_OR_UNBOUNDED,
}


class _Model:
    """The program and its columns."""

    def __init__(self, network: Network, fixed: dict[str, bool], cap: dict[str, int]) -> None:
        self.network, self.cap = network, cap
        self.program = mathopt.Model(name="season")
        self.units = [
            self.program.add_integer_variable(lb=0.0, ub=float(network.kinds[arc.kind].units)) for arc in network.arcs
        ]
        self._gain: list[tuple[float, mathopt.Variable]] = []
        for arc, x in zip(network.arcs, self.units, strict=True):
            usd = sum(arc.usd.values()) * network.kinds[arc.kind].hives
            if usd:
                self._gain.append((usd, x))
        self._flow()
        self._into: dict[str, list[int]] = defaultdict(list)
        for index, arc in enumerate(network.arcs):
            if arc.head.place in network.stands:
                self._into[arc.head.place].append(index)
        for stand in network.stands.values():
            self._contract(stand, fixed)
        self._yards()
        self._trucks(truck_rooms(network))
        self.program.maximize(mathopt.LinearSum(usd * x for usd, x in self._gain))

    def _sum(self, terms: Iterable[tuple[float, mathopt.Variable]]) -> mathopt.LinearSum:
        return mathopt.LinearSum(factor * x for factor, x in terms)

    def _hives(self, index: int) -> float:
        return float(self.network.kinds[self.network.arcs[index].kind].hives)

    def _flow(self) -> None:
        """(1)."""
        balance: dict[tuple[int, object], list[tuple[float, mathopt.Variable]]] = defaultdict(list)
        for arc, x in zip(self.network.arcs, self.units, strict=True):
            balance[arc.kind, arc.tail].append((1.0, x))
            balance[arc.kind, arc.head].append((-1.0, x))
        for (kind, node), terms in balance.items():
            if node != END:
                given = float(self.network.kinds[kind].units) if node == self.network.starts[kind] else 0.0
                self.program.add_linear_constraint(lb=given, ub=given, expr=self._sum(terms))

    def _contract(self, stand: Stand, fixed: dict[str, bool]) -> None:
        """(2) to (5)."""
        one, into = stand.contract, self._into[stand.contract.name]
        got = [(self._hives(index), self.units[index]) for index in into]
        most = float(one.colonies + stand.over)
        if one.name in self.cap:
            most = min(most, float(self.cap[one.name]))
        paid = self.program.add_variable(lb=0.0, ub=most if one.over_delivery == "paid" else float(one.colonies))
        self.program.add_linear_constraint(ub=0.0, expr=self._sum([(1.0, paid), *((-h, x) for h, x in got)]))
        self._gain.append((one.fee_usd_per_colony, paid))
        if one.signed:
            miss = self.program.add_variable(lb=0.0, ub=float(one.colonies))
            self.program.add_linear_constraint(lb=float(one.colonies), expr=self._sum([(1.0, miss), *got]))
            self.program.add_linear_constraint(ub=most, expr=self._sum(got))
            self._gain.append((-one.short_usd_per_colony, miss))
        else:
            taken = self.program.add_binary_variable()
            if one.name in fixed:
                taken.lower_bound = taken.upper_bound = float(fixed[one.name])
            least = float(one.least_colonies or one.colonies)
            self.program.add_linear_constraint(ub=0.0, expr=self._sum([(-most, taken), *got]))
            self.program.add_linear_constraint(lb=0.0, expr=self._sum([(-least, taken), *got]))
        self._average(stand, into)

    def _average(self, stand: Stand, into: list[int]) -> None:
        one = stand.contract
        above = [
            ((self.network.arcs[index].frames - one.min_average_frames) * self._hives(index), self.units[index])
            for index in into
        ]
        if one.weak_usd_per_frame is not None:
            lack = self.program.add_variable(lb=0.0)
            self._gain.append((-one.weak_usd_per_frame, lack))
            above.append((1.0, lack))
        if any(factor < 0.0 for factor, _ in above):
            self.program.add_linear_constraint(lb=0.0, expr=self._sum(above))

    def _yards(self) -> None:
        """(6)."""
        standing: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        for index, arc in enumerate(self.network.arcs):
            if arc.stands is not None:
                yard, first, last = arc.stands
                standing[yard].append((first, last, index))
        for yard, rows in standing.items():
            comes = {arc.night + 1 for arc in self.network.arcs if arc.night is not None and arc.stands and arc.stands[0] == yard}
            for evening in sorted(comes):
                terms = [(self._hives(index), self.units[index]) for first, last, index in rows if first <= evening <= last]
                self.program.add_linear_constraint(ub=float(self.network.room[yard]), expr=self._sum(terms))

    def _trucks(self, rooms: Iterable[Room]) -> None:
        """(7)."""
        for room in rooms:
            terms = [(self._hives(index), self.units[index]) for index in room.arcs]
            self.program.add_linear_constraint(ub=room.hives, expr=self._sum(terms))
