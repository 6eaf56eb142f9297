"""What it costs to do otherwise than growers and drivers were told.

A colony told to come to, or leave, an orchard on a night and that does not is one change; hives that come beside
are none. A truck-night called off is one, and so is a new one. Where nothing was told nothing is changed.
"""

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

from routing.nights.draft_night import DraftNight
from routing.nights.told import Move

if TYPE_CHECKING:
    from routing.nights.problem import Problem


def hives_moved(problem: "Problem", nights: Iterable[DraftNight]) -> Counter[Move]:
    """Return the hives that come to, or leave, each orchard on each night."""
    found: Counter[Move] = Counter()
    for one in nights:
        for stop in one.stops:
            if stop.place in problem.promises:
                for lifted, inward in ((stop.set_down, True), (stop.picked_up, False)):
                    hives = sum(problem.kinds[kind].hives * units for kind, units in lifted)
                    if hives:
                        found[stop.place, one.night, inward] += hives
    return found


def change_usd(problem: "Problem", nights: Iterable[DraftNight]) -> float:
    """Return the price of all changes of a draft against what was told. [USD]"""
    told = problem.told
    if not told.runs:
        return 0.0
    ahead = [one for one in nights if one.night >= problem.next_night]
    now = hives_moved(problem, ahead)
    missing = sum(max(0, hives - now[move]) for move, hives in told.hives.items())
    runs = {(problem.rigs[one.rig].name, one.night) for one in ahead}
    return told.usd_per_colony * missing + told.usd_per_run * len(runs ^ told.runs)
