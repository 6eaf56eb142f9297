"""Every hive of a group on a day, one by one, as far as those opened tell of the others."""

import datetime as dt
from statistics import NormalDist

from routing.inputs.build import measure
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.forecast import spread_frames
from routing.strength.inspection import Inspection, latest_inspection
from routing.strength.on_date import strength_on


def hives_expected(operation: Operation, group: HiveGroup, day: dt.date, *, growth_share: float) -> tuple[float, ...]:
    """Return the frames of every hive of a group on a day, the weakest first.

    Parameters
    ----------
    operation, group, day
        As for ``strength_on``.
    growth_share
        Share of a growth that comes about; a decline comes about whole.

    Returns
    -------
    tuple of float
        As many as the group has hives: those opened stand for the others, each for as many as another; with a
        mean and a spread only, the evenly spaced quantiles of a normal. Each between 0 and the frames that
        the boxes hold as they travel. Empty when nothing was seen. [frames]
    """
    seen = latest_inspection(operation, group, day)
    if seen.mean_frames is None:
        return ()
    room = float(measure(operation, group.build, travelling=True).frames_for_bees)
    growth = strength_on(operation, group, day).growth_frames
    grown = growth if growth < 0.0 else growth_share * growth
    return tuple(min(max(one + grown, 0.0), room) for one in seen_of_all(operation, seen))


def seen_of_all(operation: Operation, seen: Inspection) -> tuple[float, ...]:
    """Return the frames of every hive as those opened tell, the weakest first. [frames]

    Notes
    -----
    Of n counts, hive i of N is the count at rank ``floor((i + 1/2) n / N)``: 7 of 51 stand for 46 or 47 of 340, as
    in the worked example at blog.strombotne.com/pollination-contract (7/51 x 340 = 46.67).
    """
    hives = seen.hives
    if seen.counts:
        counts = sorted(seen.counts)
        return tuple(counts[int((2 * i + 1) * len(counts) // (2 * hives))] for i in range(hives))
    mean, spread = seen.mean_frames or 0.0, spread_frames(operation, seen)
    if spread <= 0.0:
        return (mean,) * hives
    normal = NormalDist(mean, spread)
    return tuple(max(0.0, normal.inv_cdf((i + 0.5) / hives)) for i in range(hives))
