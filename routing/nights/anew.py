"""Truck-nights planned anew when their loads turn out too much for the deck: the rest of the plan stays, and holds."""

from routing.nights.begin import sound
from routing.nights.draft import DraftNight
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem
from routing.nights.search import MOST_STOPS, Nights, open_nights
from routing.nights.segments import segments
from routing.nights.slot import Slot, Task, segment_of
from routing.nights.stock import stock_holds

WORK = 3.0
"""Work limit of the solver (about seconds)."""


def planned_anew(problem: Problem, nights: Nights, *, freed: frozenset[tuple[int, int]], seed: int) -> Nights:
    """Return the plan with some of its (night, rig) truck-nights planned anew, or as it was when that fails.

    The problem may allow less than when they were planned. Each gets an empty slot of the same rig beside it; when
    the truck-nights around forbid every answer, those that share an orchard with them are planned anew too.
    """
    free = [one for one in nights if (one.night, one.rig) in freed]
    orchards = {stop.place for one in free for stop in one.stops if stop.place in problem.promises}
    chained = [one for one in nights if any(stop.place in orchards for stop in one.stops)]
    for chosen in (free, chained):
        fixed = tuple(one for one in nights if one not in chosen)
        answer = solve_jointly(_anew(problem, fixed, chosen), work=WORK, seed=seed)
        found = None if answer is None else sound(problem, (*fixed, *answer))
        if found is not None and stock_holds(problem, found):
            return found
    return nights


def _anew(problem: Problem, fixed: Nights, free: list[DraftNight]) -> Task:
    pieces = segments(problem)
    slots: tuple[Slot, ...] = ()
    for one in free:
        where = segment_of(pieces, one.night)
        slots += (Slot(one.rig, open_nights(problem, pieces[where], one.rig), where),) * 2
    every = frozenset(name for piece in pieces for name in piece.outward())
    return Task(problem, pieces, fixed, slots, every, most_stops=MOST_STOPS)
