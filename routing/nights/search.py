"""The search for better plans: small neighbourhoods planned anew by the joint model.

A neighbourhood is a few truck-nights, with an empty slot beside them now and then, and the truck-nights around
them held: these keep their stops, but not what is lifted there. The joint model (``master``) decides yards,
strengths, splits, nights and routes of all of them at once; what comes back replaces them when the whole bill is
smaller. Promises left short get neighbourhoods of their own. Large-neighbourhood search as in P. Shaw, "Using
constraint programming and local search methods to solve vehicle routing problems", CP 1998,
doi 10.1007/3-540-49481-2_30 (from memory).
While the solver is at work on one core, ruin and recreate goes on from the best plan on the other. With steps to count,
it makes a fixed number of rounds meanwhile: the plan does not depend on which was faster.
"""

import random
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import count

from routing.nights.begin import holds, sound
from routing.nights.draft import DraftNight, bill, delivered, missing
from routing.nights.found import CENT, Found
from routing.nights.master import solve_jointly
from routing.nights.problem import Problem
from routing.nights.ruin import Ruin
from routing.nights.segments import Segment, events, segments
from routing.nights.slot import Slot, Task, segment_of

Nights = tuple[DraftNight, ...]
ROUNDS_BESIDE, LATE = 4, 0.7
"""Rounds of ruin and recreate beside each joint problem when steps are counted, and how little they then risk."""
MOST_STOPS = 8


@dataclass(frozen=True)
class Width:
    """How wide a neighbourhood reaches: truck-nights freed and held, and the work that it is worth."""

    freed: tuple[int, ...]
    held: int
    work: float
    share: float
    """Of the steps."""


WIDTHS = (
    Width(freed=(2, 2, 3, 4), held=0, work=0.4, share=0.6),
    Width(freed=(2, 2, 3), held=3, work=1.0, share=0.4),
)


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
        Joint problems to solve, or None for no limit.
    """
    pieces, best, cost, tries = segments(problem), start.nights, start.cost_usd, 0
    chance, beside = random.Random(seed), Ruin(problem, start.nights, seed=seed)
    with ThreadPoolExecutor(1) as pool:
        while ahead(problem, best) and not stop() and (steps is None or tries < steps):
            width = chance.choices(WIDTHS, [one.share for one in WIDTHS])[0]
            task = _neighbourhood(problem, pieces, best, (width, chance))
            answer = pool.submit(solve_jointly, task, work=width.work, seed=seed + tries)
            for turn in count():
                if turn >= ROUNDS_BESIDE if steps is not None else answer.done() or stop():
                    break
                beside.round(LATE)
            tries += 1
            note = ""
            for new in _put_together(problem, task, answer.result(), (best, beside.best)):
                if (usd := bill(problem, new).total) < cost - CENT:
                    best, cost, note = new, usd, "better plan"
            if cost < beside.best_usd - CENT:
                beside.begin_again(best)
            yield Found(best, cost, start.steps + tries, note)


def _put_together(problem: Problem, task: Task, answer: Nights | None, bests: tuple[Nights, Nights]) -> Iterator[Nights]:
    """Yield the better plan of those found beside, and what the answer makes of it and of the plan that it was asked for.

    Put into another plan than that, the yards must still have what it takes and room for what it brings.
    """
    before, beside = bests
    yield beside
    alone = _put_in(problem, task, answer, before)
    if alone is not None:
        yield alone
    freed = {slot.was for slot in task.slots if slot.was}
    if beside != before and freed <= set(beside):
        both = _put_in(problem, task, answer, beside)
        if both is not None and holds(problem, both):
            yield both


def ahead(problem: Problem, nights: Nights) -> Nights:
    """Return the truck-nights still to be planned."""
    return tuple(one for one in nights if one.night >= problem.next_night)


def _put_in(problem: Problem, task: Task, answer: Nights | None, best: Nights) -> Nights | None:
    """Return the best plan with the task's truck-nights replaced by the answer, when that is sound."""
    if answer is None:
        return None
    freed = [slot.was for slot in task.slots if slot.was]
    return sound(problem, (*(one for one in best if one not in freed), *answer))


def open_nights(problem: Problem, piece: Segment, rig: int) -> tuple[int, ...]:
    return tuple(night for night in piece.nights if night in problem.rigs[rig].nights)


def _neighbourhood(
    problem: Problem, pieces: tuple[Segment, ...], nights: Nights, how: tuple[Width, random.Random]
) -> Task:
    """Return a random neighbourhood of a width."""
    width, chance = how
    wanting = _wanting(problem, nights)
    if wanting and chance.random() < 0.3:
        free, slots = _for_promise(problem, pieces, nights, (chance.choice(wanting), chance))
    else:
        free, slots = _close_together(problem, pieces, nights, how)
    held = _around(ahead(problem, nights), free, chance)[: width.held]
    fixed = tuple(one for one in nights if one not in free and one not in held)
    return Task(
        problem, pieces, fixed, slots + tuple(_held(pieces, one) for one in held),
        outs_due=frozenset(name for piece in pieces for name in piece.outward()),
        most_stops=min(MOST_STOPS, 1 + max((len(one.stops) for one in free), default=MOST_STOPS)),
        most_yards=chance.choice((3, 4, 5)),
    )


def _close_together(
    problem: Problem, pieces: tuple[Segment, ...], nights: Nights, how: tuple[Width, random.Random]
) -> tuple[list[DraftNight], tuple[Slot, ...]]:
    """Free truck-nights close in time, or those of one promise from in to out.

    An empty slot for one rig beside them now and then, so that a truck-night may be split or change trucks.
    """
    width, chance = how
    nights = ahead(problem, nights)
    seed_night, many = chance.choice(nights), chance.choice(width.freed)
    if chance.random() < 0.6:
        near = sorted(nights, key=lambda one: (abs(one.night - seed_night.night), chance.random()))
        free = near[:many]
    else:
        name = chance.choice(sorted({stop.place for stop in seed_night.stops if stop.place in problem.promises}))
        free = [one for one in nights if any(stop.place == name for stop in one.stops)]
        free = chance.sample(free, min(len(free), many))
    slots = _kept_slots(problem, pieces, free)
    if chance.random() < 0.5:
        slots += _empty_slots(problem, pieces, segment_of(pieces, seed_night.night), [chance.randrange(len(problem.rigs))])
    return free, slots


def _wanting(problem: Problem, nights: Nights) -> list[str]:
    """Return the promises left short though hives for them are not all theirs already."""
    found = []
    for name, promise in problem.promises.items():
        had = sum(problem.kinds[kind].units for kind in promise.kinds)
        if missing(problem, name, nights) and sum(delivered(nights, name).values()) < had:
            found.append(name)
    return found


def _for_promise(
    problem: Problem, pieces: tuple[Segment, ...], nights: Nights, which: tuple[str, random.Random]
) -> tuple[list[DraftNight], tuple[Slot, ...]]:
    """Free a truck-night or two near a promise's own nights, and give empty slots for its moves in and out."""
    name, chance = which
    nights = ahead(problem, nights)
    own = [one for one in events(problem) if one.promise == name]
    near = sorted(nights, key=lambda one: (min(abs(one.night - move.first) for move in own), chance.random()))
    free = near[: chance.choice((1, 2))] if own else []
    slots = _kept_slots(problem, pieces, free)
    for move in own:
        where = chance.choice([number for number, piece in enumerate(pieces) if move in piece.events])
        slots += _empty_slots(problem, pieces, where, [chance.randrange(len(problem.rigs))])
    return free, slots


def _around(nights: Nights, free: list[DraftNight], chance: random.Random) -> list[DraftNight]:
    """Return the other truck-nights, those that share most places with the freed ones first, then the nearest."""
    places = {stop.place for one in free for stop in one.stops}
    when = [one.night for one in free]
    others = [one for one in nights if one not in free]
    shared = {one: len(places & {stop.place for stop in one.stops}) + 1.5 * chance.random() for one in others}
    return sorted(others, key=lambda one: (-shared[one], min(abs(one.night - night) for night in when)))


def _held(pieces: tuple[Segment, ...], one: DraftNight) -> Slot:
    return Slot(one.rig, (one.night,), segment_of(pieces, one.night), one, held=True)


def _empty_slots(problem: Problem, pieces: tuple[Segment, ...], where: int, rigs: list[int]) -> tuple[Slot, ...]:
    """Return an empty slot on a segment's nights for each rig that is there on any of them."""
    found = [(rig, open_nights(problem, pieces[where], rig)) for rig in rigs]
    return tuple(Slot(rig, nights, where) for rig, nights in found if nights)


def _kept_slots(problem: Problem, pieces: tuple[Segment, ...], free: list[DraftNight]) -> tuple[Slot, ...]:
    """Return a slot for each freed night: the same rig, any night of its segment."""
    where = [segment_of(pieces, one.night) for one in free]
    return tuple(
        Slot(one.rig, open_nights(problem, pieces[number], one.rig), number, one)
        for one, number in zip(free, where, strict=True)
    )
