"""Who drives: the cheapest drivers of a draft, night after night, rested and within their own limits."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import permutations

from routing.inputs.constants import constant
from routing.limits import limit
from routing.nights.draft import Clock, DraftNight, clock
from routing.nights.problem import Problem

HIRED = "hauler's driver"
NIGHT_MIN = 24 * 60.0


def crew(problem: Problem, nights: tuple[DraftNight, ...]) -> tuple[str, ...] | None:
    """Return the driver of each draft night, or None when no assignment keeps every rule.

    Night by night the cheapest assignment is taken; a driver rests ten hours between two nights
    (49 CFR 395.3(a)(1)) and works no longer than their own limit.
    """
    names: dict[int, str] = {}
    off_since: dict[str, float] = {}
    by_night: dict[int, list[int]] = defaultdict(list)
    for index, one in enumerate(nights):
        by_night[one.night].append(index)
    for night in sorted(by_night):
        times = {index: clock(problem, nights[index]) for index in by_night[night]}
        chosen = _cheapest(problem, nights, times, off_since)
        if chosen is None:
            return None
        names |= chosen
        for index, name in chosen.items():
            finish = times[index]
            if finish is not None and name != HIRED:
                off_since[name] = night * NIGHT_MIN + finish.finish
    return tuple(names[index] for index in range(len(nights)))


def wage_usd_per_min(problem: Problem, rig: int, driver: str) -> float:
    """Return wages of driver and helpers. [USD/min]"""
    truck = next(one for one in problem.operation.trucks if one.name == problem.rigs[rig].name)
    own = next((one.wage_usd_per_hour for one in problem.operation.drivers if one.name == driver), 0.0)
    helpers = truck.helpers * constant(problem.operation, "helper_wage_usd_per_hour")
    return (helpers if truck.hired else own + helpers) / 60.0


def _cheapest(
    problem: Problem, nights: tuple[DraftNight, ...], times: Mapping[int, Clock | None], off_since: Mapping[str, float]
) -> dict[int, str] | None:
    best: tuple[float, dict[int, str]] | None = None
    owned = [index for index in times if not problem.rigs[nights[index].rig].hired]
    for chosen in _assignments(problem, nights, owned):
        if all(_may(problem, nights[i], times[i], name, off_since) for i, name in chosen.items()):
            usd = sum(
                wage_usd_per_min(problem, nights[i].rig, name) * one.duty_min
                for i, name in chosen.items() if (one := times[i]) is not None
            )
            if best is None or usd < best[0] - 1e-9:
                best = (usd, chosen)
    if best is None or any(one is None for one in times.values()):
        return None
    return best[1] | {index: HIRED for index in times if index not in owned}


def _assignments(problem: Problem, nights: tuple[DraftNight, ...], owned: list[int]) -> Iterator[dict[int, str]]:
    able = [set(problem.able(nights[index].rig, nights[index].night)) for index in owned]
    drivers = sorted(set().union(*able)) if able else []
    for order in permutations(drivers, len(owned)):
        if all(name in there for name, there in zip(order, able, strict=True)):
            yield dict(zip(owned, order, strict=True))


def _may(
    problem: Problem, night: DraftNight, times: Clock | None, name: str, off_since: Mapping[str, float]
) -> bool:
    if times is None:
        return False
    own = next(one.most_duty_hours for one in problem.operation.drivers if one.name == name)
    rested = night.night * NIGHT_MIN + times.start - off_since.get(name, -1e9)
    return times.duty_min <= 60.0 * (own or 24.0) + 1e-6 and rested >= 60.0 * limit("hours_off_duty_h").value
