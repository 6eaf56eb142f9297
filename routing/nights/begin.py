"""What a search begins with: what is done, and of what was told all that can still be."""

from routing.nights.crew import crew
from routing.nights.draft import DraftNight, DraftStop, clock, delivered, hours_hold
from routing.nights.lots import rides
from routing.nights.mix_rows import decks_may_hold
from routing.nights.problem import Problem
from routing.nights.stock import stock_holds

Nights = tuple[DraftNight, ...]


def begin_with(problem: Problem) -> Nights:
    """Return the done truck-nights, and every one told that all before it and the operation as it is now still allow."""
    left_out: frozenset[DraftNight] = frozenset()
    while True:
        kept = _kept(problem, [one for one in problem.told.nights if one not in left_out])
        weak = next((name for name in problem.promises if _too_weak(problem, name, kept)), None)
        blamed = [
            one for one in kept if one not in problem.done and any(stop.place == weak and stop.set_down for stop in one.stops)
        ]
        if not blamed:
            return kept
        left_out |= {min(blamed, key=lambda one: _frames_over(problem, str(weak), (one,)))}


def _kept(problem: Problem, told: list[DraftNight]) -> Nights:
    kept = problem.done
    for one in sorted(told, key=lambda one: (one.night, one.rig)):
        with_it = sound(problem, (*kept, one)) if _may_still(problem, one) else None
        if with_it is not None and _no_more_than_taken(problem, with_it) and stock_holds(problem, with_it):
            kept = with_it
    return kept


def sound(problem: Problem, nights: Nights) -> Nights | None:
    """Return the nights in order when each keeps its times, lots and drivers, else None."""
    ordered = tuple(sorted(nights, key=lambda one: (one.night, one.rig)))
    if len({(one.night, one.rig) for one in ordered}) < len(ordered):
        return None
    if any(clock(problem, one) is None or rides(problem, one) is None for one in ordered):
        return None
    return ordered if crew(problem, ordered) is not None else None


def told_that_may_go(problem: Problem) -> Nights:
    """Return what is done and every told truck-night that may go by itself, though hives that it takes may not be there.

    What brings those hives may be planned otherwise before: then the rest of what was told need not change.
    """
    kept = problem.done
    for one in sorted(problem.told.nights, key=lambda told: (told.night, told.rig)):
        with_it = sound(problem, (*kept, one)) if _may_still(problem, one) else None
        if with_it is not None and _no_more_than_taken(problem, with_it):
            kept = with_it
    return kept


def holds(problem: Problem, nights: Nights) -> bool:
    """Tell whether no orchard gets more, or weaker hives, than it takes, and all hives are where a draft takes them."""
    weak = any(_too_weak(problem, name, nights) for name in problem.promises)
    return not weak and _no_more_than_taken(problem, nights) and stock_holds(problem, nights)


def _may_still(problem: Problem, night: DraftNight) -> bool:
    """Tell whether a told truck-night may go as told: truck, hours, places, windows, strengths and the deck."""
    if night.night not in problem.rigs[night.rig].nights or not hours_hold(problem, night):
        return False
    return all(_stop_holds(problem, night, stop) for stop in night.stops) and decks_may_hold(problem, night)


def _stop_holds(problem: Problem, night: DraftNight, stop: DraftStop) -> bool:
    promise = problem.promises.get(stop.place)
    if promise is None or stop.place not in problem.rigs[night.rig].places:
        return stop.place in problem.rigs[night.rig].places
    first, last = promise.out or (0, -1)
    if stop.set_down and not promise.in_first <= night.night <= promise.late_last:
        return False
    return (not stop.picked_up or first <= night.night <= last) and all(kind in promise.kinds for kind, _ in stop.set_down)


def _no_more_than_taken(problem: Problem, nights: Nights) -> bool:
    for name, promise in problem.promises.items():
        hives = sum(problem.kinds[kind].hives * units for kind, units in delivered(nights, name).items())
        if hives > promise.colonies + promise.over:
            return False
    return True


def _too_weak(problem: Problem, name: str, nights: Nights) -> bool:
    return problem.promises[name].usd_weak is None and _frames_over(problem, name, nights) < -1e-6


def _frames_over(problem: Problem, name: str, nights: Nights) -> float:
    """Return the frames above the average asked for, over all hives set down."""
    average, kinds = problem.promises[name].min_average, problem.kinds
    return sum((kinds[kind].frames - average) * kinds[kind].hives * units for kind, units in delivered(nights, name).items())
