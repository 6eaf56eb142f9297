"""Deck plan without marked places: every unit anywhere on the deck, by constraint programming (OR-Tools CP-SAT).

Problem
    A load rides in one layer, or in stacks of units that ride together anyhow: a stack is then one unit of the model. Choose
    for each unit where it stands and which way it is turned, so that nothing stands in anything else, every unit can be set
    down without lifting another, and every weight limit holds after every drop.
Data
    Units i of length l_i, width w_i, weight from low_i to high_i, riding from stop to stop. Stretches p of road between
    stops. Rows k: base_k + sum_i (a_k + b_k c_i) weight_i <= limit_k, with c_i the unit's middle along the deck.
Variables
    x_i, y_i: front and left edge, whole inches. t_i = 1 when the unit is turned. For each pair that rides together: i ahead
    of j, j ahead of i, i left of j, j left of i. r_i = 1 when unit i leaves to the right (unloading from the sides).
    v_i = 1 when unit i is lifted out of another's way; at most so many are.
Model
    minimise 1,000,000 sum v_i + 20 (length of deck from the first unit's front to the last one's end) + sum x_i
        + (ways of the units' middles from the middle line).
    (1) Each unit stands on the deck. (2) Two units that ride together are ahead of or beside each other.
    (3) When j is on the deck while i is loaded or set down, j is not behind i in its lane (rear), or not between i and the
        side to which it leaves, or v_j = 1. (4) On each stretch every row holds, each unit at its worse end; a coupling's
        share with all units light, with all of them heavy, and at weights that make its chance of missing small (``rows``).
    (5) On each stretch the sides are even. Alike units of one batch stand in order of x.

A model for ``proof`` widens the rows so that a plan in fractions of an inch would still be one of the model's when every
edge is moved to the whole inch before it: sizes are rounded down, and each row gives what such a move can change. When
that model has no answer, no deck plan in one layer exists at all, wherever the units stand.
"""

import math
from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

from ortools.sat.python import cp_model

from routing.loads.anywhere.rows import Crate, Line, crates, lines, per_stack, side_moment
from routing.loads.capacity import Slot
from routing.loads.deck import Stowed
from routing.loads.load import Placement
from routing.loads.stowage import Deck, Stowage

MILLI = 1000
"""Weights are counted in thousandths of a pound."""
PRICE_LIFTED, PRICE_LENGTH = 1_000_000, 20


class Spots(NamedTuple):
    """The model and its variables, one of each for every unit."""

    model: cp_model.CpModel
    crates: Sequence[Crate]
    x: list[cp_model.IntVar]
    y: list[cp_model.IntVar]
    turned: list[cp_model.IntVar]
    lifted: list[cp_model.IntVar]
    gap_in: float
    proof: bool

    def length(self, unit: int) -> cp_model.LinearExpr:
        """Return how much of the deck's length a unit takes. [in]"""
        long, wide = self._whole(unit)
        return long + (wide - long) * self.turned[unit]

    def width(self, unit: int) -> cp_model.LinearExpr:
        """Return how much of the deck's width a unit takes. [in]"""
        long, wide = self._whole(unit)
        return wide + (long - wide) * self.turned[unit]

    def _whole(self, unit: int) -> tuple[int, int]:
        sides = (self.crates[unit].length_in + self.gap_in, self.crates[unit].width_in + self.gap_in)
        long, wide = (math.floor(side + 1e-6) if self.proof else math.ceil(side - 1e-6) for side in sides)
        return long, wide


class Answer(NamedTuple):
    """What came of the search."""

    stowage: Stowage | None
    proven: bool
    """Without a stowage: no such deck plan exists, wherever the units stand."""


def stand_anywhere(
    deck: Deck, *, lifts: int, effort: float, spare: float = 0.0, near: Sequence[Placement] = ()
) -> Answer:
    """Return a deck plan that keeps every weight limit and the order of drops.

    Parameters
    ----------
    deck
        Truck, axles and what rides; its layout is not looked at.
    lifts
        Most units that may be lifted twice; as few as can be are.
    effort
        Of the search, in the solver's deterministic time.
    spare
        What the coupling's share has to keep free of its limits, as a share of the trailer with all that rides.
    near
        A plan that misses something, to look near first.
    """
    spots = _model(deck, lifts=lifts, proof=False, spare=spare)
    spots.model.minimize(_price(deck, spots))
    _look_near(deck, spots, near)
    solver = _solver(effort)
    status = solver.solve(spots.model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Answer(_read(spots, solver), False)
    return Answer(None, status == cp_model.INFEASIBLE and none_exists(deck, lifts=lifts, effort=effort))


def none_exists(deck: Deck, *, lifts: int, effort: float) -> bool:
    """Tell whether it is proven that no deck plan keeps every weight limit with so few units lifted twice.

    Proven for one layer; with stacks nothing is.
    """
    if per_stack(deck) > 1 or deck.tiers() > 1:
        return False
    spots = _model(deck, lifts=lifts, proof=True, spare=0.0)
    return bool(_solver(effort).solve(spots.model) == cp_model.INFEASIBLE)


def _solver(effort: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    # CP-SAT would put the default handler back when it ends: the next Ctrl-C would then lose the plan.
    solver.parameters.catch_sigint_signal = False
    solver.parameters.max_deterministic_time = effort
    solver.parameters.relative_gap_limit = 0.05
    return solver


def _model(deck: Deck, *, lifts: int, proof: bool, spare: float) -> Spots:
    model, truck = cp_model.CpModel(), deck.rig.truck
    units, gap_in = crates(deck), deck.rig.figure("least_air_gap_in").value
    # A unit with the air behind and beside it stands on a deck that is as much longer and wider.
    long, wide = (math.floor(side_in + gap_in + 1e-6) for side_in in (truck.deck_length_in, truck.deck_width_in))
    every = range(len(units))
    spots = Spots(
        model, units,
        x=[model.new_int_var(0, long, f"x{unit}") for unit in every],
        y=[model.new_int_var(0, wide, f"y{unit}") for unit in every],
        turned=[model.new_bool_var(f"t{unit}") for unit in every],
        lifted=[model.new_bool_var(f"v{unit}") if lifts else model.new_constant(0) for unit in every],
        gap_in=gap_in, proof=proof,
    )  # fmt: skip
    model.add(sum(spots.lifted) <= lifts)
    _on_the_deck(spots, long, wide)
    _apart(deck, spots)
    for line in lines(deck, proof=proof):
        _weighs(spots, line, spare=spare)
    _even(deck, spots)
    return spots


def _on_the_deck(spots: Spots, long: int, wide: int) -> None:
    # (1)
    for unit, one in enumerate(spots.crates):
        spots.model.add(spots.x[unit] + spots.length(unit) <= long)
        spots.model.add(spots.y[unit] + spots.width(unit) <= wide)
        if unit and spots.crates[unit - 1] == one:
            spots.model.add(spots.x[unit - 1] <= spots.x[unit])


def _apart(deck: Deck, spots: Spots) -> None:
    # (2) and (3)
    model, from_rear = spots.model, deck.rig.truck.unloading == "rear"
    right = [] if from_rear else [model.new_bool_var(f"r{unit}") for unit in range(len(spots.crates))]
    for i, j in combinations(range(len(spots.crates)), 2):
        its, others = (deck.carried[spots.crates[unit].batch].ride for unit in (i, j))
        if not its.meets(others):
            continue
        ahead, behind = _before(spots, i, j, along=True), _before(spots, j, i, along=True)
        left, beside = _before(spots, i, j, along=False), _before(spots, j, i, along=False)
        model.add_bool_or(ahead, behind, left, beside)
        if others.hinders(its):
            _clear(spots, (i, j), (ahead, behind, left, beside), right)
        if its.hinders(others):
            _clear(spots, (j, i), (behind, ahead, beside, left), right)


def _before(spots: Spots, i: int, j: int, *, along: bool) -> cp_model.IntVar:
    """Return a variable that may only be 1 when unit i ends before unit j begins, along or across the deck."""
    edges, size = (spots.x, spots.length(i)) if along else (spots.y, spots.width(i))
    told = spots.model.new_bool_var("")
    spots.model.add(edges[i] + size <= edges[j]).only_enforce_if(told)
    return told


def _clear(
    spots: Spots, pair: tuple[int, int], where: tuple[cp_model.IntVar, ...], right: list[cp_model.IntVar]
) -> None:
    """Keep the second unit, which stays, out of the way of the first; ``where``: the first ahead, behind, left, right."""
    (unit, stays), (_, behind, left, beside) = pair, where
    if not right:
        spots.model.add_bool_or(behind, left, beside, spots.lifted[stays])
        return
    ahead = where[0]
    # To the right: what stays is ahead, behind, or on the left of it.
    spots.model.add_bool_or(ahead, behind, beside, spots.lifted[stays], right[unit].negated())
    spots.model.add_bool_or(ahead, behind, left, spots.lifted[stays], right[unit])


def _weighs(spots: Spots, line: Line, *, spare: float) -> None:
    # (4)
    terms: list[cp_model.LinearExprT] = []
    slack_lb = -0.2 * len(line.units)
    for unit, pulls in line.units:
        parts = [_pull(spots, unit, pull.constant, pull.per_in) for pull in pulls]
        if len(parts) == 1:
            terms.append(parts[0])
        else:
            worst = spots.model.new_int_var(-(10**9), 10**9, "")
            for part in parts:
                spots.model.add(worst >= part)
            terms.append(worst)
        if spots.proof:
            slack_lb += 0.4 + max(0.0, *(-pull.per_in for pull in pulls))
    room_lb = line.room_lb + slack_lb - (0.0 if spots.proof else spare * line.all_lb)
    spots.model.add(sum(terms) <= math.floor(room_lb * MILLI))


def _pull(spots: Spots, unit: int, constant: float, per_in: float) -> cp_model.LinearExprT:
    """Return what a unit adds: constant + per_in x (its front edge + half its length). [thousandths of lb]"""
    one = spots.crates[unit]
    as_is = constant + per_in * one.length_in / 2
    turning = per_in * (one.width_in - one.length_in) / 2
    return round(as_is * MILLI) + round(per_in * MILLI) * spots.x[unit] + round(turning * MILLI) * spots.turned[unit]


def _even(deck: Deck, spots: Spots) -> None:
    # (5)
    half_in = deck.rig.truck.deck_width_in / 2
    for riding in deck.stretches():
        units = [unit for unit, one in enumerate(spots.crates) if one.batch in riding]
        most = side_moment(deck, riding)
        moment: list[cp_model.LinearExprT] = []
        slack = -0.2 * len(units)
        for unit in units:
            one = spots.crates[unit]
            turning = round(one.high_lb * (one.length_in - one.width_in) / 2)
            middle = round(one.high_lb * (one.width_in / 2 - half_in))
            moment.append(round(one.high_lb) * spots.y[unit] + turning * spots.turned[unit] + middle)
            slack += 1.0 + one.high_lb + deck.rig.truck.deck_width_in if spots.proof else 0.0
        spots.model.add(sum(moment) <= math.floor(most + max(slack, 0.0)))
        spots.model.add(-sum(moment) <= math.floor(most + max(slack, 0.0)))


def _price(deck: Deck, spots: Spots) -> cp_model.LinearExprT:
    model, truck = spots.model, deck.rig.truck
    start, end = (model.new_int_var(0, math.ceil(truck.deck_length_in), name) for name in ("start", "end"))
    away = []
    for unit, edge in enumerate(spots.x):
        model.add(start <= edge)
        model.add(end >= edge + spots.length(unit))
        twice = model.new_int_var(0, 2 * math.ceil(truck.deck_width_in), "")
        off = 2 * spots.y[unit] + spots.width(unit) - round(truck.deck_width_in)
        model.add(twice >= off)
        model.add(twice >= -off)
        away.append(twice)
    return PRICE_LIFTED * sum(spots.lifted) + PRICE_LENGTH * (end - start) + sum(spots.x) + sum(away)


def _look_near(deck: Deck, spots: Spots, near: Sequence[Placement]) -> None:
    """Hint where units of each batch stand in a plan, in the order in which they stand."""
    standing: dict[int, list[Placement]] = {batch: [] for batch in range(len(deck.carried))}
    for stood in sorted(near, key=lambda unit: unit.front_in):
        if stood.tier == 1:
            standing[_batch_of(deck, stood)].append(stood)
    for unit, one in enumerate(spots.crates):
        if standing[one.batch]:
            place = standing[one.batch].pop(0)
            spots.model.add_hint(spots.x[unit], round(place.front_in))
            spots.model.add_hint(spots.y[unit], round(place.left_in))
            spots.model.add_hint(spots.turned[unit], abs(place.length_in - one.length_in) > 0.01)


def _batch_of(deck: Deck, unit: Placement) -> int:
    return next(
        number for number, one in enumerate(deck.carried) if (one.lot.lot, one.hives_each) == (unit.lot, unit.hives)
    )


def _read(spots: Spots, solver: cp_model.CpSolver) -> Stowage:
    layout: list[Slot] = []
    stowed: list[Stowed] = []
    for unit, one in enumerate(spots.crates):
        sides = (one.length_in, one.width_in)
        length_in, width_in = sides[::-1] if solver.boolean_value(spots.turned[unit]) else sides
        layout.append(Slot(float(solver.value(spots.x[unit])), float(solver.value(spots.y[unit])), length_in, width_in))
        stowed += [Stowed(one.batch, unit, tier) for tier in range(1, one.units + 1)]
    return Stowage(tuple(layout), tuple(stowed), 0, 0, solver.objective_value)
