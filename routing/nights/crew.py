"""Who drives: the cheapest drivers of a draft, night after night, rested and within their own limits."""

from collections import defaultdict
from collections.abc import Mapping

import numpy as np
from scipy.optimize import linear_sum_assignment

from routing.inputs.constants import constant
from routing.limits import limit
from routing.nights.draft import Clock, DraftNight, clock
from routing.nights.problem import Problem

HIRED = "hauler's driver"
NIGHT_MIN = 24 * 60.0
NEVER_USD = 1e9
"""In the place of a wage: this driver may not drive this truck-night."""


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
    if any(one is None for one in times.values()):
        return None
    owned = [index for index in times if not problem.rigs[nights[index].rig].hired]
    able = {index: set(problem.able(nights[index].rig, nights[index].night)) for index in owned}
    drivers = sorted(set().union(*able.values()))
    usd = np.full((len(owned), len(drivers)), NEVER_USD)
    for row, index in enumerate(owned):
        for column, name in enumerate(drivers):
            one = times[index]
            if one is not None and name in able[index] and _may(problem, nights[index], one, name, off_since):
                usd[row, column] = wage_usd_per_min(problem, nights[index].rig, name) * one.duty_min
    if len(owned) > len(drivers):
        return None
    rows, columns = linear_sum_assignment(usd)
    if usd[rows, columns].sum() >= NEVER_USD:
        return None
    chosen = {owned[row]: drivers[column] for row, column in zip(rows, columns, strict=True)}
    return chosen | {index: HIRED for index in times if index not in owned}


def _may(
    problem: Problem, night: DraftNight, times: Clock, name: str, off_since: Mapping[str, float]
) -> bool:
    own = next(one.most_duty_hours for one in problem.operation.drivers if one.name == name)
    rested = night.night * NIGHT_MIN + times.start - off_since.get(name, -1e9)
    return times.duty_min <= 60.0 * (own or 24.0) + 1e-6 and rested >= 60.0 * limit("hours_off_duty_h").value
