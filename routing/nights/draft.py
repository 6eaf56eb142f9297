"""A draft plan: truck-nights as stops with units on and off, before times, drivers and decks are set."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from routing.nights.change import change_usd
from routing.nights.draft_night import DraftNight, DraftStop, Units
from routing.nights.problem import Problem

__all__ = ["Bill", "Clock", "DraftNight", "DraftStop", "Units", "bill", "clock", "delivered", "done_usd", "hours_hold", "miles",
           "missing", "promise_bill", "service_min", "set_down_by_night", "taken"]

@dataclass(frozen=True)
class Clock:
    """Times of a draft night, in clock minutes of its night."""

    start: float
    begin: tuple[float, ...]
    """Start of service at each stop."""
    end: tuple[float, ...]
    """End of service at each stop."""
    finish: float

    @property
    def duty_min(self) -> float:
        """Minutes from leaving the base to being back."""
        return self.finish - self.start


@dataclass(frozen=True)
class Bill:
    """What a draft costs, line by line. [USD]"""

    miles: float = 0.0
    nights: float = 0.0
    wages: float = 0.0
    late: float = 0.0
    fees_lost: float = 0.0
    short: float = 0.0
    weak: float = 0.0
    left_in: float = 0.0
    bonus_missed: float = 0.0
    changes: float = 0.0

    @property
    def total(self) -> float:
        """Sum of the lines."""
        return (self.miles + self.nights + self.wages + self.late + self.fees_lost + self.short + self.weak
                + self.left_in + self.bonus_missed + self.changes)


def service_min(problem: Problem, night: DraftNight, stop: DraftStop) -> float:
    """Return the minutes of service at a stop. [min]"""
    rig = problem.rigs[night.rig]
    lifted = sum(units * problem.handling_min(rig, stop.place, kind) for kind, units in stop.picked_up + stop.set_down)
    return problem.setup_min + lifted + (problem.secure_min if stop.picked_up else 0.0)


def clock(problem: Problem, night: DraftNight) -> Clock | None:
    """Return the times with the shortest duty, or None when the stops do not fit the night.

    Service starts as early as darkness allows; then the start is pushed as late as that finish lets it.
    No later finish can shorten the duty, since every wait that can be avoided is gone.
    """
    rig = problem.rigs[night.rig]
    spans = [problem.dark.get((stop.place, night.night)) for stop in night.stops]
    services = [service_min(problem, night, stop) for stop in night.stops]
    legs = [problem.drive_min(rig, a.place, b.place) for a, b in zip(night.stops, night.stops[1:], strict=False)]
    begins: list[float] = []
    for index, span in enumerate(spans):
        if span is None:
            return None
        ready = begins[-1] + services[index - 1] + legs[index - 1] if begins else span[0]
        begins.append(max(ready, span[0]))
        if begins[-1] + services[index] > span[1] + 1e-6:
            return None
    for index in range(len(begins) - 2, -1, -1):
        latest = spans[index][1] - services[index]  # type: ignore[index]
        begins[index] = min(begins[index + 1] - legs[index] - services[index], latest)
    start = begins[0] - problem.drive_min(rig, rig.base, night.stops[0].place)
    ends = [begin + service for begin, service in zip(begins, services, strict=True)]
    return Clock(start, tuple(begins), tuple(ends), ends[-1] + problem.drive_min(rig, night.stops[-1].place, rig.base))


def hours_hold(problem: Problem, night: DraftNight) -> bool:
    """Tell whether a draft night fits the dark hours, and its rig's duty and driving."""
    rig, times = problem.rigs[night.rig], clock(problem, night)
    if times is None or times.duty_min > rig.duty_min + 1e-6:
        return False
    route = [rig.base, *(stop.place for stop in night.stops), rig.base]
    return sum(problem.drive_min(rig, a, b) for a, b in pairwise(route)) <= rig.driving_min + 1e-6


def miles(problem: Problem, night: DraftNight) -> float:
    """Return the road miles of a draft night. [mi]"""
    base = problem.rigs[night.rig].base
    route = [base, *(stop.place for stop in night.stops), base]
    return sum(problem.miles(a, b) for a, b in pairwise(route))


def set_down_by_night(nights: Iterable[DraftNight], place: str) -> Iterator[tuple[int, int, int]]:
    """Yield (night, kind, units) of everything set down at a place."""
    for one in nights:
        for stop in one.stops:
            if stop.place == place:
                yield from ((one.night, kind, units) for kind, units in stop.set_down)


def delivered(nights: Iterable[DraftNight], place: str) -> Counter[int]:
    """Return the units of each kind set down at a place."""
    total: Counter[int] = Counter()
    for _, kind, units in set_down_by_night(nights, place):
        total[kind] += units
    return total


def taken(nights: Iterable[DraftNight], place: str) -> Counter[int]:
    """Return the units of each kind picked up at a place."""
    total: Counter[int] = Counter()
    for one in nights:
        for stop in one.stops:
            if stop.place == place:
                total.update(dict(stop.picked_up))
    return total


def missing(problem: Problem, name: str, nights: tuple[DraftNight, ...]) -> int:
    """Return the colonies that a promise lacks."""
    hives = sum(problem.kinds[kind].hives * units for kind, units in delivered(nights, name).items())
    return max(0, problem.promises[name].colonies - hives)


def bill(problem: Problem, nights: tuple[DraftNight, ...]) -> Bill:
    """Return what the draft costs, each truck-night at the lowest able driver's wage. [USD]"""
    on_road = Bill(
        miles=sum(miles(problem, one) * problem.rigs[one.rig].usd_per_mile for one in nights),
        nights=sum(problem.rigs[one.rig].usd_per_night for one in nights),
        wages=sum(_duty(problem, one) * problem.rigs[one.rig].usd_per_min for one in nights),
    )
    owed = [promise_bill(problem, name, nights) for name in problem.promises]
    return Bill(
        on_road.miles, on_road.nights, on_road.wages, sum(one.late for one in owed),
        sum(one.fees_lost for one in owed), sum(one.short for one in owed), sum(one.weak for one in owed),
        sum(one.left_in for one in owed), sum(one.bonus_missed for one in owed), change_usd(problem, nights),
    )


def done_usd(problem: Problem) -> float:
    """Return what every plan pays for the truck-nights that are done. [USD]"""
    road = sum(
        miles(problem, one) * problem.rigs[one.rig].usd_per_mile + problem.rigs[one.rig].usd_per_night
        + _duty(problem, one) * problem.rigs[one.rig].usd_per_min for one in problem.done
    )
    owed = [promise_bill(problem, name, problem.done) for name in problem.promises]
    return road + sum(one.late + one.bonus_missed for one in owed)


def _duty(problem: Problem, night: DraftNight) -> float:
    times = clock(problem, night)
    if times is None:
        raise ValueError(f"the stops of night {night.night} do not fit the dark hours")
    return times.duty_min


def promise_bill(problem: Problem, name: str, nights: tuple[DraftNight, ...]) -> Bill:
    """Return what one promise costs where it is not kept. [USD]"""
    promise = problem.promises[name]
    contract = next(one for one in problem.operation.contracts if one.name == name)
    got = delivered(nights, name)
    short = missing(problem, name, nights)
    frames = sum(
        (promise.min_average - problem.kinds[kind].frames) * problem.kinds[kind].hives * units for kind, units in got.items()
    )
    left = got - taken(nights, name) if promise.out else Counter[int]()
    return Bill(
        late=sum(
            max(0, night - promise.in_last) * units * problem.kinds[kind].hives * promise.usd_late
            for night, kind, units in set_down_by_night(nights, name)
        ),
        fees_lost=short * contract.fee_usd_per_colony,
        short=short * contract.short_usd_per_colony,
        left_in=sum(units * problem.kinds[kind].hives for kind, units in left.items()) * problem.usd_left_in,
        weak=max(0.0, frames) * (promise.usd_weak or 0.0),
        bonus_missed=sum(promise.usd_bonus_missed[kind] * problem.kinds[kind].hives * units for kind, units in got.items()),
    )
