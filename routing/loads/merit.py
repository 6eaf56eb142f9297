"""How a deck plan stands by the judge's own measures: what two plans of one load are compared by."""

from collections.abc import Sequence
from typing import NamedTuple

from routing.loads.chance import chance_of_any, spread_of
from routing.loads.load import Placement
from routing.loads.nudge import SLIVER_LB, pounds_over
from routing.loads.order import lifted_twice
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig, stands
from routing.loads.weighing import leaning
from routing.loads.weight_rows import weight_rows


class Merit(NamedTuple):
    """By how much a deck plan misses what is asked of it; all 0 for one that misses nothing. Worse things first."""

    left_out: int
    """Units without a place."""
    over_lb: float
    """Over all weight limits, each at its worst stretch of road."""
    leans: float
    """Share by which the sides differ more than they may."""
    chance: float
    """Chance of breaking a weight limit, over what a load may have."""
    lifted: int
    """Units that must be lifted twice."""

    @property
    def sound(self) -> bool:
        """Tell whether nothing is missed."""
        return not any(self)

    @property
    def rolls(self) -> bool:
        """Tell whether at most hands are missed: units are lifted twice, but the load is safe on the road."""
        return not any(self[:-1])


def merit(rig: Rig, units: Sequence[Placement], *, wanted: int) -> Merit:
    """Return the merit of a deck plan; ``wanted`` is how many units ride."""
    lifted = len(lifted_twice(units, rig.truck.unloading))
    if not stands(rig):
        return Merit(wanted - len(units), 0.0, 0.0, 0.0, lifted)
    rows, stretches = weight_rows(rig), stretches_of(units)
    over = pounds_over(rows, stretches)
    leans = max((leaning(rig, riding) for riding in stretches), default=0.0) - rig.figure("side_balance_share").value
    # The judge counts the share and the chance to four places.
    chance = chance_of_any(rows, stretches, spread_of(rig)) - rig.figure("overweight_chance_most").value
    return Merit(
        wanted - len(units), over if over > SLIVER_LB else 0.0, max(0.0, round(leans, 4)), max(0.0, round(chance, 4)), lifted
    )
