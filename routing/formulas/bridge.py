"""The federal weight limits of axles and of every group of consecutive axles.

Rule of the law: "... the overall gross weight of a group of two or more consecutive axles" is held to
W = 500 [LN/(N-1) + 12N + 36], L in feet between the outer axles, N their number, W to the nearest 500 lb.
Federal limits of the Interstate System only: State and posted limits may be lower, and bind as well.
"""

import math
from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import Literal, NamedTuple

from routing.limits import limit

INCHES_PER_FOOT = 12.0
_SLIVER_FT = 1e-6
"""Less than any tape shows: keeps a sum of inches from falling short of its own foot."""

Rule = Literal["single axle", "tandem", "bridge formula", "two tandem sets"]


class AxleSet(NamedTuple):
    """A run of consecutive axles and what it may weigh."""

    first: int
    """First axle of the run, 1 is the steer axle."""
    last: int
    length_ft: float
    """Between its outer axles."""
    limit_lb: float
    rule: Rule


def bridge_table_lb(length_ft: float, axles: int) -> float:
    """Return the limit of the bridge table for ``axles`` axles over ``length_ft``, before the gross limit.

    Parameters
    ----------
    length_ft
        Between the centres of the outer axles. >= 0. A part of a foot is dropped. [ft]
    axles
        Axles in the group, axles not more than 40 in apart counted as one. >= 2.

    Returns
    -------
    float
        Not over 8 ft the tandem limit; else the formula to 500 lb, and at most 20,000 lb an axle. [lb]

    Raises
    ------
    ValueError
        If there are fewer than two axles or the length is not a number >= 0.

    Notes
    -----
    The formula and its rounding are the law's [1]_. Two things are read on the safe side. An exact tie
    goes down, as the printed table has it [2]_. A part of a foot is dropped: the law names no rounding of L,
    enforcement is said to take the nearest foot, and the printed row "over 8 and under 9 ft" is the formula
    at 8 ft; so the figure is never above either reading. At 39 ft with 5 axles the printed table is 500 lb
    below the formula and is followed [2]_.

    References
    ----------
    .. [1] 23 USC 127(a)(2).
    .. [2] FHWA, "Bridge Formula Weights", table, as walked by a reader; not seen at the source.

    Examples
    --------
    >>> bridge_table_lb(20.0, 3), bridge_table_lb(9.0, 3), bridge_table_lb(8.5, 3), bridge_table_lb(8.0, 2)
    (51000.0, 42500.0, 42000.0, 34000.0)
    """
    if axles < 2 or not 0.0 <= length_ft < math.inf:
        raise ValueError(f"A group of {axles} axles over {length_ft} ft: two axles or more, 0 ft or more.")
    if length_ft <= _feet("tandem_within_in") + _SLIVER_FT:
        return limit("tandem_axle_lb").value
    whole_ft = math.floor(length_ft + _SLIVER_FT)
    if (whole_ft, axles) == (39, 5):
        return limit("bridge_table_39_ft_5_axles_lb").value
    return min(_formula_lb(whole_ft, axles), axles * limit("single_axle_lb").value)


def axle_set_limits(positions_ft: Sequence[float]) -> tuple[AxleSet, ...]:
    """Return every run of two or more consecutive axles with its limit.

    Parameters
    ----------
    positions_ft
        Centre of each single axle, from the steer axle back, in order. [ft]

    Returns
    -------
    tuple of AxleSet
        N (N - 1) / 2 runs for N axles, by first then last axle; none is allowed more than the gross limit.
        A single axle on its own is held to `single_axle_lb` and is not in the list.

    Raises
    ------
    ValueError
        If the positions are not in order from front to back.

    Notes
    -----
    Runs not over 40 in are one single axle, runs over 40 in and not over 96 in a tandem [1]_, others go by
    the bridge table. Two consecutive tandem sets may weigh 34,000 lb each when their first and last axles
    are 36 ft or more apart [2]_.

    References
    ----------
    .. [1] FHWA, "Questions and answers about vehicle size and weight", 23 CFR 658.17.
    .. [2] 23 USC 127(a)(2).

    Examples
    --------
    A semi; the two tandem sets stand 35 ft apart, too short for 34,000 lb each:

    >>> [one.limit_lb for one in axle_set_limits([0.0, 16.0, 20.0, 47.0, 51.0]) if one.last - one.first == 3]
    [73500.0, 65500.0]
    """
    for earlier, later in pairwise(positions_ft):
        if not later > earlier:
            raise ValueError(f"An axle at {later} ft is given after {earlier} ft: give them front to back.")
    runs = combinations(range(len(positions_ft)), 2)
    return tuple(_axle_set(positions_ft, first, last) for first, last in runs)


def _axle_set(positions_ft: Sequence[float], first: int, last: int) -> AxleSet:
    run = positions_ft[first : last + 1]
    allowed, rule = _run_limit(run)
    return AxleSet(first + 1, last + 1, run[-1] - run[0], min(allowed, limit("gross_lb").value), rule)


def _run_limit(run_ft: Sequence[float]) -> tuple[float, Rule]:
    if _within(run_ft, "single_axle_within_in"):
        return limit("single_axle_lb").value, "single axle"
    if _within(run_ft, "tandem_within_in"):
        return limit("tandem_axle_lb").value, "tandem"
    by_table = bridge_table_lb(run_ft[-1] - run_ft[0], _axles_counted(run_ft))
    two_sets = 2.0 * limit("two_tandem_sets_each_lb").value
    if two_sets > by_table and _is_two_tandem_sets(run_ft):
        return two_sets, "two tandem sets"
    return by_table, "bridge formula"


def _is_two_tandem_sets(run_ft: Sequence[float]) -> bool:
    if run_ft[-1] - run_ft[0] < limit("two_tandem_sets_from_ft").value - _SLIVER_FT:
        return False
    return any(_is_tandem(run_ft[:cut]) and _is_tandem(run_ft[cut:]) for cut in range(2, len(run_ft) - 1))


def _is_tandem(run_ft: Sequence[float]) -> bool:
    return _within(run_ft, "tandem_within_in") and not _within(run_ft, "single_axle_within_in")


def _axles_counted(run_ft: Sequence[float]) -> int:
    """Return the number of axles, those not more than 40 in behind the first of their set counted with it."""
    counted, start = 1, run_ft[0]
    for position in run_ft:
        if not _within((start, position), "single_axle_within_in"):
            counted, start = counted + 1, position
    return counted


def _within(run_ft: Sequence[float], name: str) -> bool:
    return run_ft[-1] - run_ft[0] <= _feet(name) + _SLIVER_FT


def _feet(name: str) -> float:
    return limit(name).value / INCHES_PER_FOOT


def _formula_lb(whole_ft: int, axles: int) -> float:
    """Return W = 500 [LN/(N-1) + 12N + 36] to the nearest 500 lb, a tie down, in whole numbers."""
    gaps = axles - 1
    numerator = whole_ft * axles + (12 * axles + 36) * gaps
    steps = -((gaps - 2 * numerator) // (2 * gaps))  # the ceiling of numerator / gaps - 1/2
    return steps * limit("bridge_rounding_lb").value
