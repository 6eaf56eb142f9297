"""Tours that decks can carry: the loop between the rooms of nights and of loads, with a bound on its rounds.

A truck-night with a load that cannot ride has had its second deck plan by then (``routing.loads.elsewhere``). It is planned
otherwise in the ways of ``ways``; of those whose loads ride, the cheapest plan stays. When none does, the truck-night is
taken out, with what hangs on it, and the promises that it served are told with the reason. The bound of the first round
holds for whatever comes out: less room only forbids plans.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from routing.feedback.cut import without
from routing.feedback.deck_loads import DeckLoads
from routing.feedback.taken_out import TakenOut, lost_hives, taken_out
from routing.feedback.ways import Way, by_itself, with_fewer_units, with_its_neighbours
from routing.loads.load import Load
from routing.nights.begin import sound
from routing.nights.draft import DraftNight, bill
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem
from routing.nights.schedule import schedule
from routing.nights.stock import stock_holds
from routing.nights.tour import TruckNight

Nights = tuple[DraftNight, ...]
MOST_MENDED = 8
"""Truck-nights planned otherwise at most; what cannot ride after that is taken out."""
NEAR_ENOUGH = 1.02
"""A plan that costs no more than so much of what it cost before is not looked further for."""
WORK = 0.6
"""Work limit of the solver for one way (about seconds)."""


@dataclass(frozen=True)
class Ridden:
    """A plan of which every load can ride, but for nights that are done."""

    nights: Nights
    truck_nights: tuple[TruckNight, ...]
    loads: tuple[Load, ...]
    out: tuple[TakenOut, ...] = ()
    """Truck-nights planned otherwise or taken out."""
    lost: frozenset[str] = frozenset()
    """Contracts that lost hives by it."""


def that_ride(problem: Problem, nights: Nights, *, seed: int, late: Callable[[], bool] = lambda: False) -> Ridden:
    """Return the plan with every truck-night whose loads cannot ride planned otherwise or taken out.

    Parameters
    ----------
    problem
        The operation in numbers.
    nights
        The draft.
    seed
        Of the solver.
    late
        Asked before each way to plan a truck-night otherwise; True: what cannot ride yet is taken out.
    """
    decks, before, out = DeckLoads(problem), nights, list[TakenOut]()
    hopeless: set[DraftNight] = set()
    for turn in range(MOST_MENDED):
        bad = decks.that_cannot_ride(nights)
        if not set(bad) - hopeless or late():
            break
        first = _first(set(bad) - hopeless)
        mended = _mended(decks, nights, first, seed=seed + turn, late=late)
        if mended is None:
            hopeless.add(first)
        else:
            out += [taken_out(problem, one, loads) for one, loads in bad.items() if one not in mended]
            nights = mended
    while bad := decks.that_cannot_ride(nights):
        # One by one: what hung on it may ride without it.
        first = _first(bad)
        out.append(taken_out(problem, first, bad[first]))
        nights = without(problem, nights, {first})
    truck_nights = schedule(problem, nights)
    loads = tuple(load for one in truck_nights for load in decks.of(one))
    return Ridden(nights, truck_nights, loads, tuple(out), lost_hives(problem, before, nights))


def _first(bad: Iterable[DraftNight]) -> DraftNight:
    return min(bad, key=lambda one: (one.night, one.rig))


def _mended(
    decks: DeckLoads, nights: Nights, bad: DraftNight, *, seed: int, late: Callable[[], bool]
) -> Nights | None:
    """Return the cheapest plan found in which one truck-night is otherwise and its loads ride; None without one.

    Planned anew by itself, then with fewer units, then with its neighbours: the next only when the plan so far loses hives
    and costs much more than before.
    """
    problem, enough_usd = decks.problem, bill(decks.problem, nights).total * NEAR_ENOUGH
    others, fit = set(decks.that_cannot_ride(nights)) - {bad}, decks.fit(bad)
    best: tuple[float, Nights] | None = None
    for tried in (
        (_answer(problem, way, seed) for way in by_itself(problem, nights, bad, fit=fit)),
        iter(sorted(with_fewer_units(problem, nights, bad, fit=fit), key=lambda one: bill(problem, one).total)),
        (_answer(problem, way, seed) for way in with_its_neighbours(problem, nights, bad, fit=fit)),
    ):
        for answer in tried:
            usd = bill(problem, answer).total if answer is not None else 0.0
            if late():
                return best[1] if best else None
            if answer is None or (best is not None and usd >= best[0]) or not set(decks.that_cannot_ride(answer)) <= others:
                continue
            best = (usd, answer)
            if not lost_hives(problem, nights, answer):
                return answer
        if best is not None and best[0] <= enough_usd:
            break
    return best[1] if best else None


def _answer(problem: Problem, way: Way, seed: int) -> Nights | None:
    answer = solve_jointly(way.task, work=WORK, seed=seed)
    found = None if answer is None else sound(problem, (*way.task.fixed, *answer))
    return found if found is not None and stock_holds(problem, found) else None
