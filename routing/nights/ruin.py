"""Search by insertion: a first plan in a moment, then ruin and recreate.

Ruin takes out a few truck-nights that are near each other, or everything of a promise or two that are; recreate
puts back, cheapest way in first, what promises then lack. A worse plan is taken now and then, less and less.
After G. Schrimpf and others, "Record breaking optimization results using the ruin and recreate principle",
Journal of Computational Physics 159 (2000) 139-171 (from memory).
"""

import random
from collections.abc import Callable, Iterable, Iterator
from itertools import count

from routing.nights.begin import holds, sound
from routing.nights.draft import DraftNight, bill
from routing.nights.found import CENT
from routing.nights.insertion import Inserter
from routing.nights.problem import Problem
from routing.nights.segments import Event, events, segments
from routing.nights.sources import Want
from routing.nights.stock import stock_holds
from routing.nights.working import Run, Working

Nights = tuple[DraftNight, ...]
WARM, COLD = 0.01, 0.0005
"""Share of the cost by which a plan may be worse and still be taken, at the start and at the end."""
NOISE = 0.15


def first_plan(problem: Problem, nights: Nights, *, seed: int) -> Nights:
    """Return a plan that serves what it can of what a draft leaves unserved."""
    work = Working(problem, nights)
    _recreate(work, Inserter(problem, random.Random(seed)))
    found = sound(problem, work.drafts())
    return found if found is not None and stock_holds(problem, found) else nights


def mended_plan(problem: Problem, nights: Nights, *, seed: int) -> Nights:
    """Return a plan that keeps what it can of truck-nights that may go, though some take hives that do not come."""
    work, inserter = Working(problem, nights), Inserter(problem, random.Random(seed))
    _recreate(work, inserter)
    _settle(work)
    _recreate(work, inserter)
    found = sound(problem, work.drafts())
    return found if found is not None and holds(problem, found) else ()


def settled(problem: Problem, nights: Iterable[DraftNight]) -> Nights:
    """Return truck-nights without the lots whose hives are not there to be taken."""
    work = Working(problem, nights)
    _settle(work)
    return work.drafts()


def ruin_and_recreate(
    problem: Problem, start: Nights, *, seed: int, progress: Callable[[int], float], stop: Callable[[], bool]
) -> Iterator[tuple[Nights, float]]:
    """Yield the best plan and its cost after each round.

    Parameters
    ----------
    problem
        The operation in numbers.
    start
        The plan to begin with.
    seed
        Seed of every random choice.
    progress
        Share of the search that is over after so many rounds; it ends at 1.
    stop
        Asked between rounds; True ends the search.
    """
    ruin = Ruin(problem, start, seed=seed)
    for turn in count():
        over = progress(turn)
        if over >= 1.0 or stop() or not ruin.now:
            return
        ruin.round(over)
        yield ruin.best, ruin.best_usd


class Ruin:
    """A search by ruin and recreate that goes on round by round."""

    def __init__(self, problem: Problem, start: Nights, *, seed: int) -> None:
        self.problem, self.chance = problem, random.Random(seed)
        self.pieces = segments(problem)
        self.inserter = Inserter(problem, self.chance, NOISE)
        self.begin_again(start)

    def begin_again(self, start: Nights) -> None:
        """Go on from another plan."""
        self.best = self.now = start
        self.best_usd = self.now_usd = bill(self.problem, start).total

    def round(self, over: float) -> None:
        """Ruin and recreate once; ``over`` is the share of the search that is over: the later, the less is risked."""
        work = Working(self.problem, self.now, self.pieces)
        _ruin(work, self.chance)
        _recreate(work, self.inserter)
        new = sound(self.problem, work.drafts())
        if new is None or not stock_holds(self.problem, new):
            return
        usd = bill(self.problem, new).total
        warmth = WARM * (COLD / WARM) ** over
        if usd < self.now_usd + warmth * self.best_usd * self.chance.random():
            self.now, self.now_usd = new, usd
        if usd < self.best_usd - CENT:
            self.best, self.best_usd = new, usd


def _ruin(work: Working, chance: random.Random) -> None:
    """Take out truck-nights near each other, or all moves of promises near each other."""
    ahead = [run for key, run in sorted(work.runs.items()) if key not in work.done]
    if not ahead:
        return
    seed = chance.choice(ahead)
    if chance.random() < 0.5:
        places = {halt.place for halt in seed.halts}
        near = sorted(ahead, key=lambda run: _apart(run, seed, places) + 3.0 * chance.random())
        lots = [(run, lot) for run in near[: chance.choice((1, 2, 2, 3, 3, 4))] for lot in run.carried]
    else:
        name = chance.choice(sorted({halt.place for halt in seed.halts if halt.place in work.problem.promises}))
        miles = work.problem.miles
        near_names = sorted(work.problem.promises, key=lambda other: miles(name, other) * (1.0 + chance.random()))
        chosen = set(near_names[: chance.choice((1, 1, 2, 3))]) | {name}
        lots = [(run, lot) for run in ahead for lot in run.carried if chosen & {lot.start.place, lot.end.place}]
    for run, lot in lots:
        work.remove(run, lot)
    _settle(work)


def _apart(run: Run, seed: Run, places: set[str]) -> float:
    return abs(run.night - seed.night) - 2.0 * len(places & {halt.place for halt in run.halts})


def _settle(work: Working) -> None:
    """Take out what can no longer be: hives out of an orchard that did not come, hives of a yard that did not return."""
    again = True
    while again:
        again = False
        for key, run in sorted(work.runs.items(), key=lambda item: (-item[0][1], item[0][0])):
            for lot in list(run.carried):
                if key not in work.done and _lacks(work, run, lot.kind, lot.start.place):
                    work.remove(run, lot)
                    again = True


def _lacks(work: Working, run: Run, kind: int, origin: str) -> bool:
    if origin not in work.yards:
        came = sum(units for (k, n), units in work.into[origin].items() if k == kind and n < run.night)
        return came < sum(units for (k, n), units in work.out_of[origin].items() if k == kind and n <= run.night)
    there = work.problem.stock.get((origin, kind), 0)
    off, back = work.off[origin, kind], work.back[origin, kind]
    for number in range(work.segment[run.night] + 1):
        there -= off[number]
        if there < 0:
            return True
        there += back[number]
    return False


def _recreate(work: Working, inserter: Inserter) -> None:
    """Put in what promises lack, move by move in the order of their nights; ins before the outs of the same hives."""
    problem = work.problem
    moves = [one for one in events(problem) if one.last >= problem.next_night]
    for event in _ordered(moves, inserter):
        want = Want(problem.promises[event.promise], event.inward)
        while True:
            hives = _lacking(work, want)
            place = inserter.best(work, want, hives) if hives > 0 else None
            if place is None:
                break
            inserter.put(work, place)


def _ordered(moves: list[Event], inserter: Inserter) -> list[Event]:
    """Return moves by their nights, a little shaken; half of the time the ins of promises by chance, then their outs."""
    chance = inserter.chance
    if not inserter.noise:
        return sorted(moves, key=lambda one: (one.first, one.promise, not one.inward))
    if chance.random() < 0.5:
        late = {one: one.first + 3.0 * chance.random() for one in moves}
        return sorted(moves, key=lambda one: (late[one], one.promise, not one.inward))
    rank = {name: chance.random() for name in sorted({one.promise for one in moves})}
    return sorted(moves, key=lambda one: (not one.inward, rank[one.promise], one.first))


def _lacking(work: Working, want: Want) -> int:
    kinds, name = work.problem.kinds, want.promise.name
    came = sum(kinds[kind].hives * units for (kind, _), units in work.into[name].items())
    if want.inward:
        return want.promise.colonies - came
    return came - sum(kinds[kind].hives * units for (kind, _), units in work.out_of[name].items())

