"""The ways that hives may take from place to place, and what one unit's share of a truck costs on each."""

from collections.abc import Iterable

from routing.nights.problem import Problem, Promise

Way = tuple[str, str, int]
"""Origin, destination, kind."""
NEAR_WITH_STOCK, NEAR_YARDS, NEAR_NEXT = 12, 8, 6
STOP_MIN = 60.0


def ways_in(problem: Problem) -> set[Way]:
    """Return the ways from yards into orchards: from the nearest with stock, and the nearest that hives may come back to."""
    found: set[Way] = set()
    for name, promise in problem.promises.items():
        back = nearest(problem, name, yards(problem), NEAR_YARDS)
        for kind in promise.kinds if promise.in_first <= promise.late_last else ():
            stocked = nearest(problem, name, {yard for yard, k in problem.stock if k == kind}, NEAR_WITH_STOCK)
            found |= {(yard, name, kind) for yard in {*stocked, *back} if reachable(problem, yard, name, kind)}
    return found


def ways_on(problem: Problem) -> set[Way]:
    """Return the ways from one bloom to the next."""
    found: set[Way] = set()
    for name, promise in problem.promises.items():
        after = [other for other, one in problem.promises.items() if other != name and _follows(promise, one)]
        for other in nearest(problem, name, after, NEAR_NEXT):
            both = set(promise.kinds) & set(problem.promises[other].kinds)
            found |= {(name, other, kind) for kind in both if reachable(problem, name, other, kind)}
    return found


def ways_home(problem: Problem, into: Iterable[tuple[str, int]]) -> set[Way]:
    """Return the ways out of orchards to the nearest yards."""
    return {
        (name, yard, kind) for name, kind in into if problem.promises[name].out
        for yard in nearest(problem, name, yards(problem), NEAR_YARDS) if reachable(problem, name, yard, kind)
    }  # fmt: skip


def yards(problem: Problem) -> list[str]:
    """Return the names of all yards."""
    return [name for name, site in problem.sites.items() if site.kind == "yard"]


def nearest(problem: Problem, place: str, others: Iterable[str], many: int) -> list[str]:
    """Return the places nearest to one."""
    return sorted(others, key=lambda one: (problem.miles(one, place), one))[:many]


def _follows(one: Promise, other: Promise) -> bool:
    """Tell whether hives may go straight from one promise to another, and out of that one later."""
    if one.out is None or max(other.in_first, one.out[0]) > min(other.in_last, one.out[1]):
        return False
    return other.out is None or other.out[0] > one.out[0]


def reachable(problem: Problem, origin: str, destination: str, kind: int) -> bool:
    """Tell whether some rig with room for the kind gets into both places and back within its hours."""
    for rig in problem.rigs:
        if rig.fit[kind] and {origin, destination} <= rig.places:
            round_min = problem.drive_min(rig, rig.base, origin) + problem.drive_min(rig, origin, destination)
            round_min += problem.drive_min(rig, destination, rig.base)
            if round_min <= min(rig.driving_min, rig.duty_min - STOP_MIN):
                return True
    return False


def share(problem: Problem, rig: int, kind: int) -> float:
    """Return the share of a rig's deck that one unit takes; above 1 when it does not fit."""
    one, fit = problem.rigs[rig], problem.rigs[rig].fit[kind]
    return max(1.0 / fit, problem.kinds[kind].weight_lb / one.payload_lb) if fit else 2.0


def way_usd(problem: Problem, way: Way) -> float:
    """Return what one unit's share of the cheapest full deck costs, there and half the way back, and bonus missed. [USD]"""
    origin, destination, kind = way
    miles = 1.5 * problem.miles(origin, destination)
    usd = min(
        (miles * rig.usd_per_mile + rig.usd_per_night / 2.0
         + 1.5 * problem.drive_min(rig, origin, destination) * rig.usd_per_min) * share(problem, index, kind)
        + rig.usd_per_min * (problem.handling_min(rig, origin, kind) + problem.handling_min(rig, destination, kind))
        for index, rig in enumerate(problem.rigs) if rig.fit[kind] and {origin, destination} <= rig.places
    )  # fmt: skip
    promise = problem.promises.get(destination)
    return usd + (promise.usd_bonus_missed[kind] * problem.kinds[kind].hives if promise else 0.0)
