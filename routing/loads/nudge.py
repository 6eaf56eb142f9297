"""Moving a whole load a little along the deck, when that keeps a weight limit which its rows as marked do not.

The search sets units in marked places only. A load that misses the coupling's share or an axle's rating by little is
right some inches further on; every weight limit is a straight line in that way.
"""

from collections.abc import Sequence

from routing.loads.load import Placement
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig, stands
from routing.loads.weight_rows import WeightRow, weight_rows

STEP_IN = 1.0
SLIVER_LB = 1e-6
MOST_WEIGHED = 600
"""Units times stretches of road up to which every inch is tried for a load typed in by hand."""


def nudged(rig: Rig, units: tuple[Placement, ...]) -> tuple[Placement, ...]:
    """Return the units moved together by the fewest whole inches at which no weight limit is broken.

    Those that break no limit stay. When no place keeps every limit, they go where least is over, and stay when that
    spares nothing.
    """
    rows, stretches = weight_rows(rig), stretches_of(units)
    best_lb, best = pounds_over(rows, stretches), units
    if not units or best_lb <= SLIVER_LB:
        return units
    back_in = int(rig.truck.deck_length_in - max(unit.front_in + unit.length_in for unit in units))
    ahead_in = int(min(unit.front_in for unit in units))
    for way_in in sorted((step * STEP_IN for step in range(-ahead_in, back_in + 1)), key=abs):
        moved = tuple(unit.model_copy(update={"front_in": unit.front_in + way_in}) for unit in units)
        over_lb = pounds_over(rows, stretches_of(moved))
        if over_lb < best_lb - SLIVER_LB:
            best_lb, best = over_lb, moved
        if best_lb <= SLIVER_LB:
            break
    return best


def nudge_words(rig: Rig, units: tuple[Placement, ...]) -> tuple[str, ...]:
    """Return the sentence that tells by how much the whole load is to be moved; none when that spares nothing."""
    if not units or not stands(rig) or len(units) * len(stretches_of(units)) > MOST_WEIGHED:
        return ()
    moved = nudged(rig, units)
    way_in = moved[0].front_in - units[0].front_in
    if way_in == 0.0:
        return ()
    rows = weight_rows(rig)
    kept = pounds_over(rows, stretches_of(moved)) <= SLIVER_LB
    spared = "there no weight limit is broken" if kept else "less is over there, but some limit is still broken"
    return (f"Move the whole load {abs(way_in):.0f} in {'back' if way_in > 0 else 'ahead'}: {spared}.",)


def pounds_over(rows: Sequence[WeightRow], stretches: Sequence[Sequence[Placement]]) -> float:
    """Return the pounds over all limits, summed over limits at their worst stretch."""
    return sum(max((max(0.0, row.worst_lb(units) - row.limit_lb) for units in stretches), default=0.0) for row in rows)
