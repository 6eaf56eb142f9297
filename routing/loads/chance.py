"""How likely a weight limit breaks, hive weights being ranges: a straight line of many uncertain weights.

Each unit's range is read as its middle and two standard deviations to either side; part of the variance is shared by
all hives of the load (one flow, one feeding, one scale that is off), the rest is each unit's own. The sum is taken as
normal. The ends of the ranges are taken as ends: a limit that holds with every unit at its worse end is not broken.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from routing.finding import Finding, at_most, not_checked
from routing.loads.load import Placement
from routing.loads.vehicle import Rig
from routing.loads.weight_rows import WeightRow, weight_rows

SLIVER_LB = 1e-6
MOST_NAMED = 3
CHECK = "chance that some weight limit breaks"
SOURCE = "ranges of weight as typed or worked out; sum of uncertain weights; one load in a hundred is our own figure"


class Spread(NamedTuple):
    """How uncertain weights are."""

    deviations: float
    """Standard deviations from the middle of a range to its end."""
    shared: float
    """Part of the variance that all hives of a load share."""


def spread_of(rig: Rig) -> Spread:
    """Return the spread of weights, the user's own figures where there are any."""
    return Spread(rig.figure("weight_range_sd").value, rig.figure("weights_shared_share").value)


def chance_of(row: WeightRow, units: Sequence[Placement], spread: Spread) -> float:
    """Return the chance that a row breaks with ``units`` on the deck."""
    if row.extreme_lb(units) <= row.limit_lb + SLIVER_LB:
        return 0.0
    sds = [row.of(unit) * (unit.weight_high_lb - unit.weight_low_lb) / 2 / spread.deviations for unit in units]
    middle_lb = row.base_lb + sum(row.of(unit) * (unit.weight_low_lb + unit.weight_high_lb) / 2 for unit in units)
    variance = spread.shared * sum(sds) ** 2 + (1.0 - spread.shared) * sum(sd * sd for sd in sds)
    if variance <= 0.0:
        return 1.0 if middle_lb > row.limit_lb + SLIVER_LB else 0.0
    return 0.5 * math.erfc((row.limit_lb - middle_lb) / math.sqrt(2.0 * variance))


def chances(
    rows: Sequence[WeightRow], stretches: Sequence[Sequence[Placement]], spread: Spread
) -> list[tuple[float, str]]:
    """Return each row's chance at its worst stretch of road, with its name, the likeliest first; those of 0 left out."""
    worst = [(max((chance_of(row, units, spread) for units in stretches), default=0.0), row.check) for row in rows]
    return sorted((one for one in worst if one[0] > 0.0), key=lambda one: (-one[0], one[1]))


def chance_of_any(rows: Sequence[WeightRow], stretches: Sequence[Sequence[Placement]], spread: Spread) -> float:
    """Return a chance that is never under that of some row breaking: the sum of all, at most 1."""
    return min(1.0, sum(chance for chance, _ in chances(rows, stretches, spread)))


def chance_finding(rig: Rig, stretches: Sequence[Sequence[Placement]], subject: str) -> Finding:
    """Return the finding on the chance that some weight limit breaks on the way."""
    most = rig.figure("overweight_chance_most")
    try:
        rows = weight_rows(rig)
    except ValueError:
        return not_checked(CHECK, subject, force=most.force, source=SOURCE, note="where the axles are is not known")
    found = chances(rows, stretches, spread_of(rig))
    note = "; ".join(f"{check}: {_in_a_hundred(chance)}" for chance, check in found[:MOST_NAMED])
    about = {"unit": "share", "force": most.force, "source": SOURCE, "note": note or "none breaks even at the worst weights"}
    chance = round(min(1.0, sum(chance for chance, _ in found)), 4)
    return at_most(CHECK, subject, measured=chance, limit=most.value, **about)


def _in_a_hundred(chance: float) -> str:
    return f"{100.0 * chance:.1f} in 100" if chance >= 0.001 else "under 1 in 1,000"
