"""The make-up model: which grades go to which contract, so that the least strength is given away.

Problem
    Contracts want colonies of an average and a floor. Colonies come in grades. Every colony promised that can be
    had is sent; of all ways to do that, the one that gives away least.
Data
    stock[g] colonies of grade g, frames[c,g] of each on the first night of contract c; promised[c], over[c],
    average[c], floor[c]; hives on a pallet of each (yard, pallet kind) when pallets are made up; which contracts
    hold their colonies on one night.
Variables
    x[c,g] colonies of grade g to contract c; short[c] colonies missing; u[c,k] pallets; away[c] frames given away.
Model: least of (largest sum away + 1) sum short[c] + sum away[c]
    (1) sum_g x[c,g] + short[c] >= promised[c], sum_g x[c,g] <= promised[c] + over[c].
    (2) sum_g (frames[c,g] - average[c]) x[c,g] >= 0: the average is kept; x[c,g] = 0 under the floor.
    (3) away[c] >= sum_g (frames[c,g] - average[c] - paid[c,g]) x[c,g], away[c] >= 0: a bonus pays for strength.
        Colonies beyond the promise that are not paid for are given away whole.
    (4) sum over contracts that hold their colonies on one night of x[c,g] <= stock[g].
    (5) on pallets: sum over grades of (yard, kind) k of x[c,g] = hives[k] u[c,k].
Frames are whole hundredths, the colony's rounded down, the line rounded up: what is kept here is kept.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from routing.errors import SolverError
from routing.strength.makeup.grades import Grade

HUNDREDTHS = 100
WORK = 2.0
"""Deterministic work limit, about seconds; a make-up of ten contracts takes a small part of one."""


@dataclass(frozen=True)
class Asked:
    """What one contract asks of the make-up."""

    contract: str
    promised: int
    over: int
    """Colonies beyond the promise that are taken when pallets are not broken up."""
    average: float
    floor: float
    frames: tuple[float, ...]
    """Of each grade on the contract's first night. [frames]"""
    paid: tuple[float, ...]
    """Of those, the frames over the average that a bonus pays for. [frames]"""
    over_paid: bool = False
    """Are colonies beyond the promise paid for?"""


@dataclass(frozen=True)
class Solved:
    """Colonies by contract and grade."""

    sent: Mapping[tuple[int, int], int]
    """(contract, grade) -> colonies; none that are 0."""
    missing: tuple[int, ...]
    proven: bool
    """No other make-up misses fewer colonies, or as few and gives away less."""


def make_up(
    asked: Sequence[Asked], stock: Sequence[Grade], at_once: Sequence[Sequence[int]], pallets: Mapping[str, int] | None
) -> Solved:
    """Return the colonies of each grade to send to each contract.

    Parameters
    ----------
    asked
        The contracts, in the order of their first nights.
    stock
        The grades; ``Asked.frames`` counts in them.
    at_once
        For each contract, those that hold colonies on its first night, itself among them.
    pallets
        Hives on a pallet of each kind, when whole pallets are made up of the hives of one yard; None: colonies.

    Raises
    ------
    SolverError
        If the solver finds no make-up (there is always the one that sends nothing).
    """
    alike = _alike(asked, stock, pallets)
    merged = [replace(stock[kinds[0]], hives=sum(stock[g].hives for g in kinds)) for kinds in alike]
    narrowed = [_narrowed(one, alike) for one in asked]
    model = cp_model.CpModel()
    sent = {
        (c, g): model.new_int_var(0, min(grade.hives, one.promised + one.over), f"x{c},{g}")
        for c, one in enumerate(narrowed) for g, grade in enumerate(merged) if one.frames[g] >= one.floor - 1e-9
    }  # fmt: skip
    short = [_terms(model, one, _of(sent, c)) for c, one in enumerate(narrowed)]
    away = [_away(model, one, _of(sent, c), short[c], merged) for c, one in enumerate(narrowed)]
    _share(model, sent, merged, at_once)
    if pallets is not None:
        _palletise(model, sent, merged, pallets)
    most = sum(_most_away(one, merged) for one in narrowed)
    model.minimize((most + 1) * sum(short) + sum(away))
    found = _solve(model, sent, short)
    return replace(found, sent=_told_apart(found.sent, alike, stock, at_once))


def _alike(asked: Sequence[Asked], stock: Sequence[Grade], pallets: Mapping[str, int] | None) -> list[list[int]]:
    """Return the grades by what the model can tell: frames at every contract, and yard and pallet if they matter."""
    kinds: dict[tuple[object, ...], list[int]] = {}
    for g, grade in enumerate(stock):
        where = (grade.yard, grade.pallet) if pallets is not None else ()
        kinds.setdefault((*(_down(one.frames[g]) for one in asked), *where), []).append(g)
    return list(kinds.values())


def _narrowed(one: Asked, alike: Sequence[Sequence[int]]) -> Asked:
    return replace(
        one, frames=tuple(one.frames[kinds[0]] for kinds in alike), paid=tuple(one.paid[kinds[0]] for kinds in alike)
    )  # fmt: skip


def _told_apart(
    sent: Mapping[tuple[int, int], int], alike: Sequence[Sequence[int]], stock: Sequence[Grade], at_once: Sequence[Sequence[int]]
) -> dict[tuple[int, int], int]:
    """Return the colonies by grade: of grades alike, those of a group that the contract has already, then the most.

    Contracts come in the order of their first nights, so what is free on that night stays free: enough is.
    """
    found: dict[tuple[int, int], int] = {}
    for (c, kind), number in sorted(sent.items()):
        left = number
        mine = {stock[g].group for (owner, g) in found if owner == c}
        free = {g: _free(g, c, found, stock, at_once) for g in alike[kind]}
        for g in sorted(free, key=lambda g: (stock[g].group not in mine, -free[g])):
            taken = min(left, free[g])
            if taken > 0:
                found[c, g] = taken
                left -= taken
        if left:
            raise SolverError(f"{left} colonies of the make-up are of no group.")
    return found


def _free(
    grade: int, contract: int, found: Mapping[tuple[int, int], int], stock: Sequence[Grade], at_once: Sequence[Sequence[int]]
) -> int:
    """Return the colonies of a grade that no contract with a night in common has taken."""
    sets = [together for together in at_once if contract in together]
    held = max((sum(found.get((c, grade), 0) for c in together) for together in sets), default=0)
    return stock[grade].hives - held


def _of(sent: Mapping[tuple[int, int], cp_model.IntVar], contract: int) -> dict[int, cp_model.IntVar]:
    return {g: var for (c, g), var in sent.items() if c == contract}


def _terms(model: cp_model.CpModel, one: Asked, sent: Mapping[int, cp_model.IntVar]) -> cp_model.IntVar:
    """Add (1) and (2); return the colonies missing."""
    short = model.new_int_var(0, one.promised, "")
    number = sum(sent.values())
    model.add(number + short >= one.promised)
    model.add(number <= one.promised + one.over)
    line = _up(one.average)
    model.add(sum((_down(one.frames[g]) - line) * var for g, var in sent.items()) >= 0)
    return short


def _away(
    model: cp_model.CpModel, one: Asked, sent: Mapping[int, cp_model.IntVar], short: cp_model.IntVar, stock: Sequence[Grade]
) -> cp_model.IntVar:
    """Add (3); return the hundredths of frames given away."""
    away = model.new_int_var(0, _most_away(one, stock), "")
    given = sum((_down(one.frames[g]) - _down(one.paid[g])) * var for g, var in sent.items())
    due = sum(sent.values()) if one.over_paid else one.promised - short
    model.add(away >= given - _up(one.average) * due)
    return away


def _share(
    model: cp_model.CpModel, sent: Mapping[tuple[int, int], cp_model.IntVar], stock: Sequence[Grade],
    at_once: Sequence[Sequence[int]],
) -> None:  # fmt: skip
    """Add (4)."""
    for together in at_once:
        for g, grade in enumerate(stock):
            model.add(sum(sent[c, g] for c in together if (c, g) in sent) <= grade.hives)


def _palletise(
    model: cp_model.CpModel, sent: Mapping[tuple[int, int], cp_model.IntVar], stock: Sequence[Grade],
    pallets: Mapping[str, int],
) -> None:  # fmt: skip
    """Add (5); loose hives stay loose."""
    kinds = {(c, stock[g].yard, stock[g].pallet) for c, g in sent if stock[g].pallet in pallets}
    for c, yard, pallet in sorted(kinds, key=str):
        of_kind = [var for (owner, g), var in sent.items() if (owner, stock[g].yard, stock[g].pallet) == (c, yard, pallet)]
        units = model.new_int_var(0, sum(grade.hives for grade in stock), "")
        model.add(sum(of_kind) == pallets[str(pallet)] * units)


def _most_away(one: Asked, stock: Sequence[Grade]) -> int:
    highest = max((_down(frames) for frames in one.frames), default=0)
    return highest * min(one.promised + one.over, sum(grade.hives for grade in stock))


def _solve(
    model: cp_model.CpModel, sent: Mapping[tuple[int, int], cp_model.IntVar], short: Sequence[cp_model.IntVar]
) -> Solved:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = WORK
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise SolverError(f"The make-up model ended as {solver.status_name(status)}; sending nothing is a make-up always.")
    found = {key: solver.value(var) for key, var in sent.items() if solver.value(var)}
    return Solved(
        sent=found, missing=tuple(solver.value(one) for one in short), proven=status == cp_model.OPTIMAL
    )  # fmt: skip


def _down(frames: float) -> int:
    return math.floor(HUNDREDTHS * frames + 1e-6)


def _up(frames: float) -> int:
    return math.ceil(HUNDREDTHS * frames - 1e-6)
