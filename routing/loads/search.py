"""Deck plan: which unit stands where, by constraint programming (OR-Tools CP-SAT).

Problem
    A load of batches of alike units rides on one deck. Choose a slot and a tier for each unit so that
    every unit can be set down without lifting another, and the worst-used weight limit is used least.
Data
    Batches b: n_b units of height h_b and weight l_b to w_b, riding from stop on_b to stop off_b. Slots s: a
    stack stands in each. Stretches p of road between stops. Bearings k: weight limits q_k, straight lines in
    the weights on the deck; a pound of b in slot s adds c_kbs; e_k rides empty.
Variables
    x_bst = 1 when tier t of slot s holds a unit of b. Alike units are one batch: they need no numbers.
    y_bs = 1 when slot s holds any unit of b. z_s = 1 when slot s is ever used.
    u: use of the worst bearing, whole per cent. m: imbalance of the sides, whole per cent.
    r_s = 1 when what stands in s is lifted to the right (side unloading).
    v_s = 1 when the stack in s must be lifted out of another's way (second try only).
    g: what the coupling's share of the trailer misses of its least, or has over its most, in tenths of a per cent.
    h: the same with each unit by itself at its worse end: what makes the chance of a missed share small.
Model
    minimise 100 u + 10,000 (u - 100)+ + 60 (rows used) + 40 (units above tier 1) + 10 m + 6000 (m - most)+
        + (steps of 10 in that used slots are away from the middle line) + 5000 a + 1000 g + 100 h + 2 d
        + 1,000,000 (units in slots of v_s = 1) + 50 (slots where a lot begins in its lane) + 4 (slots that a lot has a part of).
    most: the per cent that the sides may differ by. The worst weight limit leads. A load leaves the headboard to
    keep a weight limit or its balance, or to spare half of a limit; a row is spared when that costs
    neither stacking nor 0.6 per cent.
    (1) sum_st x_bst = n_b: every unit has one place.
    (2) On each stretch p, sum over b riding on p of x_bst <= 1: one unit in one place.
    (3) x_bst <= sum of x_b's(t-1) over batches b' of the same footprint that are there when b comes on, and
        x_bst <= v_s + the same sum over those that go off no earlier: what stands on one that goes first is lifted.
    (4) On each stretch, sum_bt h_b x_bst <= room under the lowest bridge.
    (5) y_bs + y_b's' <= 1 + v_s' when b' is on the deck while b is loaded or set down, and s' stands between
        s and the rear (rear unloading). From the sides: if r_s for s' on the right, if 1 - r_s on the left.
    (6) z_s <= sum of z over the slots just ahead of s, unless s is first behind the starting line: no gaps.
        With a headboard, a = 1 when the line is not the headboard.
    (7) On each stretch and bearing, e_k + sum c_kbs w_b x_bst <= q_k u / 100, each unit at its worst weight.
    (8) On each stretch, the sides' moments differ by at most m per cent of gross weight times half width.
    (9) On each stretch, what rests on the coupling is at least and at most its share of trailer and cargo, but for g
        tenths of a per cent, and its rating is one more bearing of (7). Shares with all units light, and with all of them heavy.
    (10) Behind a coupling the load may stand d whole inches behind its marks, on the deck; (7) and (9) follow.
    Without a plan, (6) is dropped and (3) and (5) may break at their price; without one even then the plain plan of
    ``zones`` stands, and what it leaves behind is a finding.

A run of axles that is the whole vehicle weighs the same wherever units stand: it is not in (7); the judge
looks at it. Each layout of slots is solved by itself, zones first as a hint; the best plan of all layouts is
taken. One worker, a deterministic limit, and an end at one per cent from the bound: same load, same plan.
"""

import math
from typing import NamedTuple

from ortools.sat.python import cp_model

from routing.formulas.axle import Share
from routing.loads import rows
from routing.loads.deck import Stowed
from routing.loads.reach.search import keep_clear, units_lifted
from routing.loads.stowage import TENTHS, Deck, Stowage, tenths
from routing.loads.trailer.search import OnCoupling, behind_marks, keep_coupling, line_of, moved, on_coupling
from routing.loads.zones import zones

MOST_USE = 900  # per cent: such a load is broken anyhow, but the plan is still shown
PRICE_USE, PRICE_OVER, PRICE_IN_THE_WAY = 100, 10_000, 1_000_000
PRICE_ROW, PRICE_UPPER, PRICE_SIDE, PRICE_LEANS, PRICE_OUTSIDE = 60, 40, 10, 6000, 1
PRICE_AWAY, PRICE_BEGINS, PRICE_PART = 5000, 50, 4
PRICE_MISSED, PRICE_APART, PRICE_INCH = 1000, 100, 2
FULL_USE = 100
NEAR_ENOUGH = 0.01  # less than one per cent of a weight limit


class Terms(NamedTuple):
    """The model and its variables."""

    model: cp_model.CpModel
    x: dict[tuple[int, int, int], cp_model.IntVar]
    y: dict[tuple[int, int], cp_model.IntVar]
    z: list[cp_model.IntVar]
    v: list[cp_model.IntVar]
    lifted: list[cp_model.IntVar]
    use: cp_model.IntVar
    over: cp_model.IntVar
    imbalance: cp_model.IntVar
    leans: cp_model.IntVar
    away: cp_model.IntVar
    coupling: OnCoupling


def best_on(deck: Deck, *, in_order: bool, effort: float) -> Stowage | None:
    """Return the best plan found on one layout; None when there is none, or none was found in time.

    ``in_order`` False is the second try: what stands in the way may be lifted twice, at a price. ``effort``
    is the solver's deterministic time, a second or two for each unit of it.
    """
    if deck.too_full():
        return None
    terms = _terms(deck, in_order=in_order)
    _one_place_each(deck, terms)
    _one_unit_in_a_place(deck, terms)
    _stand_on_something(deck, terms)
    _under_the_bridge(deck, terms)
    keep_clear(deck, terms.model, terms.y, terms.v)
    if in_order:
        _no_gaps(deck, terms)
    _weights(deck, terms)
    _sides(deck, terms)
    keep_coupling(deck, terms.model, terms.x, terms.coupling, terms.use)
    terms.model.minimize(_price(deck, terms))
    _hint(deck, terms)
    return _read(deck, terms, effort)


def _price(deck: Deck, terms: Terms) -> cp_model.LinearExprT:
    upper = [one for (_, _, tier), one in terms.x.items() if tier > 1]
    outside = [deck.steps_out(slot) * one for slot, one in enumerate(terms.z)]
    shape = PRICE_ROW * sum(_rows_used(deck, terms)) + PRICE_UPPER * sum(upper) + PRICE_OUTSIDE * sum(outside)
    weights = PRICE_USE * terms.use + PRICE_OVER * terms.over
    sides = PRICE_SIDE * terms.imbalance + PRICE_LEANS * terms.leans
    coupling = PRICE_MISSED * terms.coupling.missed + PRICE_APART * terms.coupling.apart + PRICE_INCH * terms.coupling.behind_in
    own = weights + shape + sides + PRICE_AWAY * terms.away + coupling + PRICE_IN_THE_WAY * sum(terms.lifted)
    begins, parts = _lots(deck, terms)
    return own + PRICE_BEGINS * sum(begins) + PRICE_PART * sum(parts)


def _lots(deck: Deck, terms: Terms) -> tuple[list[cp_model.IntVar], list[cp_model.IntVar]]:
    """Return where lots begin in a lane, and which slots they have a part of: each should stand together."""
    begins, parts = [], []
    for lot in dict.fromkeys(one.lot.lot for one in deck.carried):
        own = [batch for batch, one in enumerate(deck.carried) if one.lot.lot == lot]
        has = [terms.model.new_bool_var(f"{lot}{slot}") for slot in range(len(deck.layout))]
        for slot, here in enumerate(has):
            for batch in own:
                if (batch, slot) in terms.y:
                    terms.model.add_implication(terms.y[batch, slot], here)
            begins.append(terms.model.new_bool_var(f"{lot}{slot} begins"))
            terms.model.add(begins[-1] >= here - sum(has[other] for other in rows.ahead(deck.layout, slot)))
        parts += has
    return begins, parts


def _rows_used(deck: Deck, terms: Terms) -> list[cp_model.IntVar]:
    fronts = [round(place.front_in, 3) for place in deck.layout]
    used = {front_in: terms.model.new_bool_var(f"row{front_in}") for front_in in fronts}
    for slot, front_in in enumerate(fronts):
        terms.model.add_implication(terms.z[slot], used[front_in])
    return list(used.values())


def _read(deck: Deck, terms: Terms, effort: float) -> Stowage | None:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    # CP-SAT would put the default handler back when it ends: the next Ctrl-C would then lose the plan.
    solver.parameters.catch_sigint_signal = False
    solver.parameters.max_deterministic_time = effort
    solver.parameters.relative_gap_limit = NEAR_ENOUGH
    status = solver.solve(terms.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    stowed = tuple(Stowed(*key) for key, one in terms.x.items() if solver.boolean_value(one))
    layout = behind_marks(deck.layout, solver.value(terms.coupling.behind_in))
    return Stowage(layout, stowed, 0, solver.value(terms.use), solver.objective_value)


def _terms(deck: Deck, *, in_order: bool) -> Terms:
    model = cp_model.CpModel()
    tiers = range(1, deck.tiers() + 1)
    pairs = [
        (batch, slot)
        for batch, one in enumerate(deck.carried)
        for slot, place in enumerate(deck.layout)
        if one.fits(place)
    ]
    slots = range(len(deck.layout))
    x = {(*pair, tier): model.new_bool_var(f"x{pair}{tier}") for pair in pairs for tier in tiers}
    z = [model.new_bool_var(f"z{slot}") for slot in slots]
    v = [model.new_constant(0) if in_order else model.new_bool_var(f"v{slot}") for slot in slots]
    terms = Terms(
        model,
        x=x,
        y={pair: model.new_bool_var(f"y{pair}") for pair in pairs},
        z=z,
        v=v,
        lifted=[] if in_order else units_lifted(deck, model, x, v),
        use=model.new_int_var(0, MOST_USE, "u"),
        over=model.new_int_var(0, MOST_USE, "over"),
        imbalance=model.new_int_var(0, 100, "m"),
        leans=model.new_int_var(0, 100, "leans"),
        away=model.new_bool_var("away"),
        coupling=on_coupling(deck, model, z),
    )
    model.add(terms.over >= terms.use - FULL_USE)
    most_leaning = math.floor(100 * deck.rig.figure("side_balance_share").value + 1e-6)
    model.add(terms.leans >= terms.imbalance - most_leaning)
    for (batch, slot, tier), one in terms.x.items():
        model.add_implication(one, terms.y[batch, slot])
        if tier == 1:
            model.add_implication(one, terms.z[slot])
    for slot in slots:
        first = [one for (_, place, tier), one in terms.x.items() if place == slot and tier == 1]
        model.add(terms.z[slot] <= sum(first))
    return terms


def _one_place_each(deck: Deck, terms: Terms) -> None:
    # (1)
    for batch, one in enumerate(deck.carried):
        terms.model.add(sum(x for key, x in terms.x.items() if key[0] == batch) == one.number)


def _one_unit_in_a_place(deck: Deck, terms: Terms) -> None:
    # (2)
    for riding in deck.stretches():
        for slot in range(len(deck.layout)):
            for tier in range(1, deck.tiers() + 1):
                here = [terms.x[batch, slot, tier] for batch in riding if (batch, slot, tier) in terms.x]
                terms.model.add_at_most_one(here)


def _stand_on_something(deck: Deck, terms: Terms) -> None:
    # (3)
    for (batch, slot, tier), one in terms.x.items():
        if tier == 1:
            continue
        own = deck.carried[batch]
        alike = [other for other, its in enumerate(deck.carried) if its.footprint == own.footprint]
        there = [other for other in alike if deck.carried[other].ride.carries(own.ride)]
        staying = [other for other in there if deck.carried[other].ride.holds(own.ride)]
        terms.model.add(one <= sum(terms.x[other, slot, tier - 1] for other in there))
        # One whose support goes first is lifted with the stack.
        terms.model.add(one <= sum(terms.x[other, slot, tier - 1] for other in staying) + terms.v[slot])


def _under_the_bridge(deck: Deck, terms: Terms) -> None:
    # (4)
    truck = deck.rig.truck
    room = math.floor((truck.most_height_in - truck.deck_height_in) * TENTHS + 1e-6)
    for riding in deck.stretches():
        for slot in range(len(deck.layout)):
            here = [(key, one) for key, one in terms.x.items() if key[1] == slot and key[0] in riding]
            high = sum(
                math.ceil(deck.carried[key[0]].unit.height_in * TENTHS - 1e-6) * one for key, one in here
            )
            terms.model.add(high <= room)


def _no_gaps(deck: Deck, terms: Terms) -> None:
    # (6)
    lines = rows.starting_lines(deck.layout)
    starts = [terms.model.new_bool_var(f"line{line_in}") for line_in, _ in lines]
    terms.model.add_exactly_one(starts)
    if deck.rig.truck.headboard:
        terms.model.add(terms.away == 1 - starts[0])
    for slot, place in enumerate(deck.layout):
        ahead = [terms.z[other] for other in rows.ahead(deck.layout, slot)]
        first = [start for start, (_, firsts) in zip(starts, lines, strict=True) if slot in firsts]
        terms.model.add(terms.z[slot] <= sum(ahead) + sum(first))
        later = [
            start
            for start, (line_in, _) in zip(starts, lines, strict=True)
            if line_in > place.front_in + 0.01
        ]
        terms.model.add(terms.z[slot] + sum(later) <= 1)


def _weights(deck: Deck, terms: Terms) -> None:
    # (7)
    for bearing in deck.vehicle.bearings if deck.vehicle else ():
        if all(part == 1.0 for part in bearing.parts):
            continue
        empty = tenths(bearing.on(deck.vehicle.empty_lb)) if deck.vehicle else 0
        line = line_of(bearing, deck.vehicle.shares) if deck.vehicle else Share(0.0, 0.0)
        adds = {(batch, slot): deck.adds(bearing, batch=batch, slot=slot) for batch, slot in terms.y}
        for riding in deck.stretches():
            cargo = sum(adds[key[:2]] * one for key, one in terms.x.items() if key[0] in riding)
            cargo += moved(deck, line, riding) * terms.coupling.behind_in
            terms.model.add(100 * (empty + cargo) <= math.floor(bearing.limit_lb * TENTHS) * terms.use)


def _sides(deck: Deck, terms: Terms) -> None:
    # (8)
    for riding in deck.stretches():
        here = [(key, one) for key, one in terms.x.items() if key[0] in riding]
        moment = sum(deck.tips(batch=batch, slot=slot) * one for (batch, slot, _), one in here)
        terms.model.add(moment <= deck.tips_percent(riding) * terms.imbalance)
        terms.model.add(-moment <= deck.tips_percent(riding) * terms.imbalance)


def _hint(deck: Deck, terms: Terms) -> None:
    zoned = set(zones(deck.rig.truck, deck.carried, deck.layout).stowage)
    for key, one in terms.x.items():
        terms.model.add_hint(one, Stowed(*key) in zoned)
