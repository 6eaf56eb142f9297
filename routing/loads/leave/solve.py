"""The fewest units to leave behind, by constraint programming (OR-Tools CP-SAT).

Problem
    A load breaks a weight limit. Choose the fewest units to leave behind so that it breaks none; of equals, the one
    with the fewest hives left behind.
Data
    Units i of weight l_i to w_i, riding on stretches p of road. Rows k: base_k + sum_i a_ki weight_i <= limit_k; each
    unit counts at ``ease`` of the way from its middle to its worse end: 1 is certain.
Variables
    y_i = 1 when unit i rides.
Model
    minimise sum_i (1 - y_i) (1000 + hives_i).
    (1) On each stretch, each row holds with the units that ride.
    (2) y_i <= sum of y over the units that i stands on: nothing floats.
    (3) On each stretch, the sides stay even, when they are with all units.
"""

import math
from collections.abc import Sequence

from ortools.sat.python import cp_model

from routing.loads.load import Placement
from routing.loads.placing import stood_on
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig
from routing.loads.weight_rows import WeightRow, weight_rows

TENTHS = 10
EFFORT = 0.5


def fewest_left(rig: Rig, units: Sequence[Placement], *, ease: float = 1.0) -> tuple[str, ...] | None:
    """Return the labels of the fewest units to leave behind; None when no choice keeps every limit.

    Parameters
    ----------
    rig
        With axle groups that tell where the axles are.
    units
        Everything in the load.
    ease
        1 counts every unit at its worse end, 0 at its middle.

    Raises
    ------
    ValueError
        If the axle rows do not make a vehicle that stands.
    """
    model = cp_model.CpModel()
    rides = {unit.label: model.new_bool_var(unit.label) for unit in units}
    rows = weight_rows(rig)
    for riding in stretches_of(units):
        for row in rows:
            _kept(model, rides, row, riding=riding, ease=ease)
        if _leaning(rig, riding) <= 0.0:
            _even(model, rides, rig, riding)
    for unit in units:
        beneath = stood_on(unit, units)
        if beneath:
            model.add(rides[unit.label] <= sum(rides[other.label] for other in beneath))
    model.minimize(sum((1000 + unit.hives) * (1 - rides[unit.label]) for unit in units))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    solver.parameters.catch_sigint_signal = False
    solver.parameters.max_deterministic_time = EFFORT
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return tuple(unit.label for unit in units if not solver.boolean_value(rides[unit.label]))


def _kept(
    model: cp_model.CpModel, rides: dict[str, cp_model.IntVar], row: WeightRow, *, riding: Sequence[Placement], ease: float
) -> None:
    # (1)
    if all(row.of(unit) >= 0.0 for unit in riding) and row.worst_lb(riding) <= row.limit_lb:
        return  # it holds with everything aboard, and leaving something behind cannot break it
    for side in (1.0, -1.0) if row.together else (None,):
        parts = [math.ceil(_adds_lb(row, unit, ease, side=side) * TENTHS - 1e-6) for unit in riding]
        adds = sum(part * rides[unit.label] for part, unit in zip(parts, riding, strict=True))
        model.add(adds <= math.floor((row.limit_lb - row.base_lb) * TENTHS + 1e-6))


def _adds_lb(row: WeightRow, unit: Placement, ease: float, *, side: float | None) -> float:
    """Return what a unit adds, at ``ease`` of the way to its heavy end (side 1), its light end (-1) or its worse one."""
    middle, half = (unit.weight_low_lb + unit.weight_high_lb) / 2, (unit.weight_high_lb - unit.weight_low_lb) / 2
    spread = abs(row.of(unit)) * half if side is None else row.of(unit) * half * side
    return row.of(unit) * middle + spread * ease


def _even(model: cp_model.CpModel, rides: dict[str, cp_model.IntVar], rig: Rig, riding: Sequence[Placement]) -> None:
    # (3)
    share, half_in = rig.figure("side_balance_share").value, rig.truck.deck_width_in / 2
    empty_lb = sum(group.empty_lb for group in rig.axle_groups)
    for side in (1.0, -1.0):
        parts = [
            (math.ceil(unit.weight_high_lb * (side * _off_middle_in(rig, unit) - share * half_in) * TENTHS), unit)
            for unit in riding
        ]
        model.add(sum(part * rides[unit.label] for part, unit in parts) <= math.floor(share * half_in * empty_lb * TENTHS))


def _off_middle_in(rig: Rig, unit: Placement) -> float:
    return unit.left_in + unit.width_in / 2 - rig.truck.deck_width_in / 2


def _leaning(rig: Rig, riding: Sequence[Placement]) -> float:
    """Return by how much the sides' moments are over what is allowed, negative when within. [lb in]"""
    moment = abs(sum(unit.weight_high_lb * _off_middle_in(rig, unit) for unit in riding))
    gross_lb = sum(group.empty_lb for group in rig.axle_groups) + sum(unit.weight_high_lb for unit in riding)
    return moment - rig.figure("side_balance_share").value * gross_lb * rig.truck.deck_width_in / 2
