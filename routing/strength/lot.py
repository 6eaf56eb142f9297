"""The average of a lot made of hives of several groups, and the bound that a plan may count on."""

import datetime as dt
import math
from collections.abc import Mapping

from routing.inputs.build import measure
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.forecast import LEAST_VARIANCE, Forecast, forecast, freedom_of_sum, spread_frames
from routing.strength.group import quantile_below
from routing.strength.inspection import inspections
from routing.strength.on_date import counted_share


class LotStrength(Record):
    """Strength of one lot on a day."""

    hives: int
    mean_frames: float
    """Expected, with all growth. [frames]"""
    counted_frames: float
    """Lower bound of the lot's average at ``strength_confidence``, with the growth that a plan counts on. [frames]"""
    mean_sd_frames: float
    """How sure the average is, with the growth that a plan counts on. [frames]"""
    degrees_of_freedom: int | None
    """Of Student's t; None where a spread was assumed, or nothing is unsure."""


def lot_strength(operation: Operation, lot: Mapping[str, int], day: dt.date) -> LotStrength:
    """Return the average of a lot of hives taken at random from their groups, and its lower bound.

    Parameters
    ----------
    operation
        As for ``strength_on``.
    lot
        Hives of each group; a group of which nothing was seen counts for 0 frames.
    day
        Any day.

    Returns
    -------
    LotStrength
        For one whole group the same as ``strength_on``.

    Raises
    ------
    ValueError
        If the lot has no hives, or names a group that is not there or has fewer.

    Notes
    -----
    With w the share of a group in the lot, h its hives there and N in all: the variance is
    ``sum w^2 (v + s^2 (1/h - 1/N)) + (sum w g)^2``; v is that of the group's average, g the spread of the growth
    counted on, taken to go the same way in all groups: one spring makes all of them late or early.
    """
    parts = [_Part(operation, group, lot[group.name], day) for group in _groups(operation, lot)]
    hives = sum(part.taken for part in parts)
    shares = [part.taken / hives for part in parts]
    sampled = [w * w * part.variance for w, part in zip(shares, parts, strict=True)]
    grown = math.fsum(w * part.growth_sd for w, part in zip(shares, parts, strict=True))
    variance = math.fsum(sampled) + grown * grown
    known = [part.freedom for part in parts]
    freedom = freedom_of_sum(sampled, known)
    below = quantile_below(operation, freedom) * math.sqrt(variance) if variance > 2.0 * LEAST_VARIANCE else 0.0
    counted = math.fsum(w * part.counted for w, part in zip(shares, parts, strict=True)) - below
    room = math.fsum(w * part.room for w, part in zip(shares, parts, strict=True))
    return LotStrength(
        hives=hives, mean_frames=math.fsum(w * part.mean for w, part in zip(shares, parts, strict=True)),
        counted_frames=min(max(counted, 0.0), room), mean_sd_frames=math.sqrt(variance), degrees_of_freedom=freedom,
    )  # fmt: skip


def _groups(operation: Operation, lot: Mapping[str, int]) -> list[HiveGroup]:
    groups = {group.name: group for group in operation.hive_groups}
    for name, hives in lot.items():
        there = groups[name].hives if name in groups else 0
        if not 0 < hives <= there:
            raise ValueError(f"The lot takes {hives} hives of {name!r}; there are {there}.")
    if not lot:
        raise ValueError("The lot has no hives.")
    return [groups[name] for name in lot]


class _Part:
    """One group's share of the lot, in numbers."""

    def __init__(self, operation: Operation, group: HiveGroup, taken: int, day: dt.date) -> None:
        self.taken = taken
        self.room = float(measure(operation, group.build, travelling=True).frames_for_bees)
        self.mean = self.counted = self.variance = self.growth_sd = 0.0
        self.freedom: int | None = None
        found = [one for one in inspections(operation, group) if one.mean_frames is not None]
        if found:
            self._count(operation, forecast(operation, found, day), day)

    def _count(self, operation: Operation, ahead: Forecast, day: dt.date) -> None:
        share, base = counted_share(operation, ahead, day), ahead.base
        self.mean = min(max(ahead.mean_frames + ahead.growth_frames, 0.0), self.room)
        self.counted = min(ahead.mean_frames + share * ahead.growth_frames, self.room)
        left_out = 1.0 / min(self.taken, base.hives) - 1.0 / base.hives
        own = ahead.mean_variance + 2.0 * share * ahead.covariance
        self.variance = max(0.0, own) + spread_frames(operation, base) ** 2 * left_out
        self.growth_sd = share * math.sqrt(ahead.growth_variance)
        self.freedom = ahead.degrees_of_freedom
