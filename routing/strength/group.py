"""The frames of bees that a plan may count on, and the share of hives under a floor."""

import datetime as dt
import math
from statistics import NormalDist

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.forecast import sample_variance, spread_frames
from routing.strength.inspection import Inspection, latest_inspection
from routing.strength.student import t_quantile


class Strength(Record):
    """Strength of one group of hives."""

    mean_frames: float
    """Mean of the hives opened; 0 when none was. [frames]"""
    sd_frames: float
    """Spread between single hives: seen, or assumed as ``basis`` says. [frames]"""
    inspected: int
    """Hives opened."""
    counted_frames: float
    """What a plan counts on for the group's average hive; 0 to the frames that its boxes hold. [frames]"""
    basis: str = ""
    """In words, how ``counted_frames`` came about."""
    on: dt.date | None = None
    """Day that it holds for; None: as inspected."""
    mean_sd_frames: float = 0.0
    """How sure the mean is: of the sample and of the growth since, together. [frames]"""
    growth_frames: float = 0.0
    """In the mean, from the last inspection to the day. [frames]"""
    counted_growth_frames: float = 0.0
    """Of that, what a plan counts on: decline whole, growth by ``growth_counted_share``. [frames]"""
    room_frames: float = 0.0
    """Frames that the boxes hold as they travel."""
    degrees_of_freedom: int | None = None
    """Of Student's t for the mean; None: the spread was assumed, the normal holds."""


def group_strength(operation: Operation, group: HiveGroup) -> Strength:
    """Return the strength of a group, and what a plan may count on.

    Parameters
    ----------
    operation
        Gives the build, ``strength_confidence`` and ``frames_sd_when_unknown``.
    group
        A group of the operation. Its last inspection counts; ``strength_on`` leads it to a day.

    Returns
    -------
    Strength
        ``counted_frames`` is the one-sided lower confidence bound of the group's average at the constant
        ``strength_confidence``; the mean itself when every hive was opened; 0 when none was.

    Raises
    ------
    ValueError
        If ``frames_seen`` cannot be read, the build is not there, or the confidence is not in [0.5, 1).

    Notes
    -----
    ``mean - t sd / sqrt(n) sqrt(1 - n/N)``: Student's t with n - 1 degrees of freedom and the finite
    population correction for n of N hives opened at random without putting back [1]_. When only one hive
    was opened, or no spread was written down, the spread is the constant ``frames_sd_when_unknown`` and,
    being assumed rather than estimated, takes the normal quantile in place of t.

    References
    ----------
    .. [1] W. G. Cochran, "Sampling Techniques", 3rd edition, Wiley (1977), sections 2.6 to 2.8 (from memory).
    """
    seen = latest_inspection(operation, group)
    if seen.mean_frames is None:
        return nothing_seen()
    below, basis = _margin_below(operation, seen)
    room = measure(operation, group.build, travelling=True).frames_for_bees
    bound = seen.mean_frames - below
    if bound > room:
        basis += f"; no more than the {room} frames that its boxes hold"
    return Strength(
        mean_frames=seen.mean_frames,
        sd_frames=spread_frames(operation, seen),
        inspected=seen.inspected,
        counted_frames=min(max(bound, 0.0), float(room)),
        basis=basis,
        mean_sd_frames=math.sqrt(sample_variance(operation, seen)),
        room_frames=float(room),
        degrees_of_freedom=seen.inspected - 1 if _known(seen) else None,
    )


def nothing_seen() -> Strength:
    """Return the strength of a group of which nothing was written down."""
    return Strength(
        mean_frames=0.0, sd_frames=0.0, inspected=0, counted_frames=0.0,
        basis="no frames of bees were written down: nothing is counted on",
    )  # fmt: skip


def share_below(
    operation: Operation, group: HiveGroup, floor_frames: float, *, on: dt.date | None = None, grown_frames: float = 0.0
) -> float:
    """Return the share of a group's hives that are weaker than a floor.

    Parameters
    ----------
    operation
        Gives ``frames_sd_when_unknown``.
    group
        A group of the operation.
    floor_frames
        A contract's least strength of a single colony. [frames]
    on
        Day up to which inspections are looked at; left out: all.
    grown_frames
        What every hive is taken to have gained since the last inspection. [frames]

    Returns
    -------
    float
        Between 0 and 1: the share of the hives opened, when each was written down; else the share of a
        normal distribution with the mean and spread given; 1 when nothing was written down and the floor
        is above 0.
    """
    seen = latest_inspection(operation, group, on)
    if floor_frames <= 0.0:
        return 0.0
    floor_frames -= grown_frames
    if seen.counts:
        return sum(frames < floor_frames for frames in seen.counts) / len(seen.counts)
    if seen.mean_frames is None:
        return 1.0
    spread = spread_frames(operation, seen)
    if spread == 0.0:
        return 1.0 if seen.mean_frames < floor_frames else 0.0
    return NormalDist(seen.mean_frames, spread).cdf(floor_frames)


def quantile_below(operation: Operation, degrees_of_freedom: int | None) -> float:
    """Return how many standard errors the bound at ``strength_confidence`` lies under the mean.

    Raises
    ------
    ValueError
        If the confidence is not in [0.5, 1).
    """
    confidence = constant(operation, "strength_confidence")
    if not 0.5 <= confidence < 1.0:
        raise ValueError(
            f"The constant strength_confidence is {confidence}; it must be at least 0.5 and below 1."
        )
    if degrees_of_freedom is None:
        return NormalDist().inv_cdf(confidence)
    return t_quantile(confidence, degrees_of_freedom)


def _known(seen: Inspection) -> bool:
    return seen.sd_frames is not None and seen.inspected > 1


def _margin_below(operation: Operation, seen: Inspection) -> tuple[float, str]:
    """Return how far under the sample's mean the bound lies, and why. [frames]"""
    if seen.inspected >= seen.hives:
        return 0.0, "every hive was opened: the mean itself"
    confidence = constant(operation, "strength_confidence")
    quantile = quantile_below(operation, seen.inspected - 1 if _known(seen) else None)
    basis = f"{seen.inspected} of {seen.hives} hives opened: at least this with {confidence:.0%} confidence"
    if seen.sd_frames is None:
        basis += f"; the spread is not known and taken as {spread_frames(operation, seen):g} frames"
    unseen_share = 1.0 - seen.inspected / seen.hives
    return quantile * spread_frames(operation, seen) * math.sqrt(unseen_share / seen.inspected), basis
