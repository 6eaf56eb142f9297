"""The search for good plans: serve one move after another, then plan small neighbourhoods anew.

A neighbourhood is a few truck-nights, with an empty slot beside them now and then. The joint model (``master``)
decides yards, strengths, splits, nights and routes of all of them at once; what comes back replaces them when
the whole bill is smaller. Large-neighbourhood search as in P. Shaw, "Using constraint programming and local
search methods to solve vehicle routing problems", CP 1998, doi 10.1007/3-540-49481-2_30 (from memory).
Two neighbourhoods are solved side by side, from the same plan and with fixed seeds, and tried in a fixed order:
two cores are used and the plan does not depend on which was faster.
"""

import random
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

from routing.nights.crew import crew
from routing.nights.draft import DraftNight, bill, clock, promise_bill
from routing.nights.lots import rides
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem
from routing.nights.segments import Event, Segment, events, segments
from routing.nights.slot import Slot, Task, segment_of

Nights = tuple[DraftNight, ...]
PAIR = 2
FIRST, QUICK, THOROUGH = 0.25, 0.4, 1.0
"""Work limits of the solver (about seconds): for the first plan, for early steps, for later ones."""
MANY = 120
CENT = 0.005


@dataclass(frozen=True)
class Found:
    """A plan found, and how many joint problems were solved by then."""

    nights: Nights
    cost_usd: float
    steps: int
    note: str


def serve_all(problem: Problem, *, seed: int, stop: Callable[[], bool]) -> Iterator[Found]:
    """Yield a plan after each move served, promise after promise, in and then out; a fast first plan.

    Parameters
    ----------
    problem
        The operation in numbers.
    seed
        Seed of every random choice.
    stop
        Asked between steps; True ends the search.

    Yields
    ------
    Found
        The plan so far; moves not yet served count as promises not kept.
    """
    pieces = segments(problem)
    best: Nights = ()
    yield Found(best, bill(problem, best).total, 0, "nothing planned yet")
    first_in = {one.promise: one.first for one in reversed(events(problem)) if one.inward}
    fees = {one.name: one.usd_short for one in problem.promises.values()}
    ordered = sorted(events(problem), key=lambda one: (first_in.get(one.promise, 0), one.promise, not one.inward))
    due: frozenset[str] = frozenset()
    for done, event in enumerate(ordered, start=1):
        if stop():
            return
        due = due if event.inward else due | {event.promise}
        best = _serve(problem, pieces, best, event, due=due, seed=seed)
        if event.inward and promise_bill(problem, event.promise, best).fees_lost >= fees[event.promise]:
            best = _serve(problem, pieces, best, event, due=due, seed=seed, work=THOROUGH)
        yield Found(best, bill(problem, best).total, done, "first plan")


def improve(
    problem: Problem, start: Found, *, seed: int, stop: Callable[[], bool], steps: int | None = None
) -> Iterator[Found]:
    """Yield better and better plans from a plan on; one ``Found`` a step, cheaper or the same as before.

    Parameters
    ----------
    problem
        The operation in numbers.
    start
        The plan to begin with.
    seed
        Seed of every random choice.
    stop
        Asked between steps; True ends the search.
    steps
        Joint problems to solve, rounded up to a pair, or None for no limit.
    """
    pieces, best, cost, tries = segments(problem), start.nights, start.cost_usd, 0
    chance = random.Random(seed)
    with ThreadPoolExecutor(PAIR) as pool:
        while best and not stop() and (steps is None or tries < steps):
            tasks = _side_by_side(problem, pieces, best, chance)
            seeds = [seed + tries + number for number in range(len(tasks))]
            work = QUICK if tries < MANY else THOROUGH
            answers = list(pool.map(partial(_solve_one, work), tasks, seeds))
            tries += len(tasks)
            note = ""
            for task, answer in zip(tasks, answers, strict=True):
                new = _put_in(problem, task, answer, best)
                if new is not None and (usd := bill(problem, new).total) < cost - CENT:
                    best, cost, note = new, usd, "better plan"
            yield Found(best, cost, start.steps + tries, note)


def _solve_one(work: float, task: Task, seed: int) -> Nights | None:
    return solve_jointly(task, work=work, seed=seed)


def _side_by_side(
    problem: Problem, pieces: tuple[Segment, ...], nights: Nights, chance: random.Random
) -> list[Task]:
    """Return neighbourhoods that free no truck-night in common."""
    tasks: list[Task] = []
    taken: set[DraftNight] = set()
    for _ in range(PAIR):
        task = _neighbourhood(problem, pieces, nights, chance)
        if not taken & (freed := {slot.was for slot in task.slots if slot.was}):
            tasks.append(task)
            taken |= freed
    return tasks


def _put_in(problem: Problem, task: Task, answer: Nights | None, best: Nights) -> Nights | None:
    """Return the best plan with the task's truck-nights replaced by the answer, when that is sound."""
    if answer is None:
        return None
    freed = [slot.was for slot in task.slots if slot.was]
    return sound(problem, (*(one for one in best if one not in freed), *answer))


def sound(problem: Problem, nights: Nights) -> Nights | None:
    """Return the nights in order when each keeps its times, lots and drivers, else None."""
    ordered = tuple(sorted(nights, key=lambda one: (one.night, one.rig)))
    if len({(one.night, one.rig) for one in ordered}) < len(ordered):
        return None
    if any(clock(problem, one) is None or rides(problem, one) is None for one in ordered):
        return None
    return ordered if crew(problem, ordered) is not None else None


def _serve(
    problem: Problem, pieces: tuple[Segment, ...], nights: Nights, event: Event, *, due: frozenset[str], seed: int,
    work: float = FIRST,
) -> Nights:
    """Plan one move, in or out, on top of the truck-nights planned so far."""
    for number, piece in enumerate(pieces):
        if event not in piece.events:
            continue
        for turn in range(4):
            near = [one for one in nights if event.first <= one.night <= event.last and one.night in piece.nights]
            free = near[-2:]
            fixed = tuple(one for one in nights if one not in free)
            slots = _slots(problem, piece, number, free)
            task = Task(problem, pieces, fixed, slots, due, focus=(event.promise, event.inward))
            answer = _put_in(problem, task, solve_jointly(task, work=work, seed=seed + turn), nights)
            if answer is None or answer == nights:
                break
            more = len(answer) > len(nights)
            nights = answer
            if not more:
                break
    return nights


def _slots(problem: Problem, piece: Segment, number: int, free: list[DraftNight]) -> tuple[Slot, ...]:
    """Return a slot for each freed night (any night of its segment) and an empty one for each rig."""
    found = []
    for index in range(len(problem.rigs)):
        nights = _open_nights(problem, piece, index)
        if nights:
            found += [Slot(index, nights, number, one) for one in free if one.rig == index]
            found.append(Slot(index, nights, number))
    return tuple(found)


def _open_nights(problem: Problem, piece: Segment, rig: int) -> tuple[int, ...]:
    return tuple(night for night in piece.nights if night in problem.rigs[rig].nights)


def _neighbourhood(problem: Problem, pieces: tuple[Segment, ...], nights: Nights, chance: random.Random) -> Task:
    """Return a random neighbourhood: truck-nights close in time, or those of one promise from in to out.

    An empty slot for one rig beside them now and then, so that a truck-night may be split or change trucks.
    """
    seed_night = chance.choice(nights)
    if chance.random() < 0.6:
        near = sorted(nights, key=lambda one: (abs(one.night - seed_night.night), chance.random()))
        free = near[: chance.choice((2, 2, 3))]
    else:
        name = chance.choice(sorted({stop.place for stop in seed_night.stops if stop.place in problem.promises}))
        free = [one for one in nights if any(stop.place == name for stop in one.stops)]
        free = chance.sample(free, min(len(free), 4))
    fixed = tuple(one for one in nights if one not in free)
    every = frozenset(name for piece in pieces for name in piece.outward())
    slots = _kept_slots(problem, pieces, free)
    if chance.random() < 0.5:
        where = segment_of(pieces, seed_night.night)
        index = chance.randrange(len(problem.rigs))
        open_nights = _open_nights(problem, pieces[where], index)
        slots += (Slot(index, open_nights, where),) if open_nights else ()
    return Task(problem, pieces, fixed, slots, every, most_stops=6, most_yards=chance.choice((3, 4, 5)))


def _kept_slots(problem: Problem, pieces: tuple[Segment, ...], free: list[DraftNight]) -> tuple[Slot, ...]:
    """Return a slot for each freed night: the same rig, any night of its segment."""
    where = [segment_of(pieces, one.night) for one in free]
    return tuple(
        Slot(one.rig, _open_nights(problem, pieces[number], one.rig), number, one)
        for one, number in zip(free, where, strict=True)
    )
