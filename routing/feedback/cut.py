"""Truck-nights taken out of a draft, and what hangs on them: no truck lifts what is not there, no yard overflows."""

from collections import Counter, defaultdict
from collections.abc import Collection

from routing.nights.begin import sound
from routing.nights.draft import DraftNight, DraftStop, delivered
from routing.nights.lots import Ride, rides
from routing.nights.problem import Problem
from routing.nights.segments import segments
from routing.nights.slot import segment_of
from routing.nights.stock import stock_holds

Nights = tuple[DraftNight, ...]
SLIVER = 1e-6


def without(problem: Problem, nights: Nights, out: Collection[DraftNight]) -> Nights:
    """Return the draft without some truck-nights; the others carry only what is still where they look for it.

    A truck-night that is done is never touched. Should the rest not hold (a yard without room, a promise whose average is
    then too low), more truck-nights are taken out, one after the other: what is returned holds.
    """
    return _settled(problem, tuple(one for one in nights if one not in out))


def with_fewer(problem: Problem, nights: Nights, where: DraftNight, *, kind: int, fewer: int) -> Nights:
    """Return the draft with so many fewer units of a kind on one truck-night; what hangs on them goes as in ``without``."""
    kept = dict(rides(problem, where) or {})
    for ride in sorted((ride for ride in kept if ride[0] == kind), reverse=True):
        gone = min(fewer, kept[ride])
        kept[ride] -= gone
        fewer -= gone
    less = _of_rides(where, {ride: units for ride, units in kept.items() if units})
    others = tuple(one for one in nights if one != where)
    return _settled(problem, others if less is None else (*others, less))


def _settled(problem: Problem, nights: Nights) -> Nights:
    while True:
        nights = _lifting_what_is_there(problem, nights)
        faulty = _faulty(problem, nights)
        if faulty is None:
            return nights
        nights = tuple(one for one in nights if one != faulty)


def _lifting_what_is_there(problem: Problem, nights: Nights) -> Nights:
    pieces = segments(problem)
    yards, orchards = Counter(problem.stock), Counter[tuple[str, int]]()
    back: dict[int, Counter[tuple[str, int]]] = defaultdict(Counter)
    found: list[DraftNight] = []
    for one in sorted(nights, key=lambda night: (night.night, night.rig)):
        where = segment_of(pieces, one.night)
        for segment in [earlier for earlier in back if earlier < where]:
            # What came back to a yard leaves it again in a later segment only.
            yards.update(back.pop(segment))
        clipped = one if one.night < problem.next_night else _clipped(problem, one, yards + orchards)
        if clipped is None:
            continue
        found.append(clipped)
        for stop in clipped.stops:
            to_yard = problem.sites[stop.place].kind == "yard"
            for kind, units in stop.picked_up:
                (yards if to_yard else orchards)[stop.place, kind] -= units
            for kind, units in stop.set_down:
                (back[where] if to_yard else orchards)[stop.place, kind] += units
    return tuple(found)


def _clipped(problem: Problem, night: DraftNight, there: Counter[tuple[str, int]]) -> DraftNight | None:
    """Return a truck-night that lifts no more than is there; None when nothing is left of it."""
    kept: dict[Ride, int] = {}
    left = Counter(there)
    for (kind, start, end), units in (rides(problem, night) or {}).items():
        place = night.stops[start].place
        units = min(units, left[place, kind])
        if units > 0:
            left[place, kind] -= units
            kept[kind, start, end] = units
    return night if kept == rides(problem, night) else _of_rides(night, kept)


def _of_rides(night: DraftNight, kept: dict[Ride, int]) -> DraftNight | None:
    """Return a truck-night with some of its rides only; None when none is left."""
    stops = [
        DraftStop(stop.place, _units(kept, number, end=1), _units(kept, number, end=2))
        for number, stop in enumerate(night.stops)
    ]
    working = tuple(stop for stop in stops if stop.picked_up or stop.set_down)
    return DraftNight(night.rig, night.night, working) if working else None


def _units(kept: dict[Ride, int], stop: int, *, end: int) -> tuple[tuple[int, int], ...]:
    total: Counter[int] = Counter()
    for ride, units in kept.items():
        if ride[end] == stop:
            total[ride[0]] += units
    return tuple(sorted(total.items()))


def _faulty(problem: Problem, nights: Nights) -> DraftNight | None:
    """Return a truck-night to take out next; None when all hold together."""
    ahead = [one for one in nights if one.night >= problem.next_night]
    if not ahead:
        return None
    for name, promise in problem.promises.items():
        bringing = [one for one in ahead if any(stop.place == name and stop.set_down for stop in one.stops)]
        if promise.usd_weak is None and bringing and _frames_over(problem, name, nights) < -SLIVER:
            return min(bringing, key=lambda one: _frames_over(problem, name, (one,)))
    if _holds(problem, nights):
        return None
    done = tuple(one for one in nights if one.night < problem.next_night)
    # The first with which the nights before it do not hold any more.
    return next((ahead[last] for last in range(len(ahead)) if not _holds(problem, (*done, *ahead[: last + 1]))), ahead[-1])


def _holds(problem: Problem, nights: Nights) -> bool:
    return sound(problem, nights) is not None and stock_holds(problem, nights)


def _frames_over(problem: Problem, name: str, nights: Nights) -> float:
    average, kinds = problem.promises[name].min_average, problem.kinds
    return sum((kinds[kind].frames - average) * kinds[kind].hives * units for kind, units in delivered(nights, name).items())
