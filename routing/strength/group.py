"""The frames of bees that a plan may count on, and the share of hives under a floor."""

import math
from statistics import NormalDist

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.inspection import Inspection, inspection
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


def group_strength(operation: Operation, group: HiveGroup) -> Strength:
    """Return the strength of a group, and what a plan may count on.

    Parameters
    ----------
    operation
        Gives the build, ``strength_confidence`` and ``frames_sd_when_unknown``.
    group
        A group of the operation.

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
    seen = inspection(group)
    if seen.mean_frames is None:
        return Strength(
            mean_frames=0.0, sd_frames=0.0, inspected=0, counted_frames=0.0,
            basis="no frames of bees were written down: nothing is counted on",
        )  # fmt: skip
    below, basis = _margin_below(operation, group, seen)
    room = measure(operation, group.build, travelling=True).frames_for_bees
    bound = seen.mean_frames - below
    if bound > room:
        basis += f"; no more than the {room} frames that its boxes hold"
    return Strength(
        mean_frames=seen.mean_frames,
        sd_frames=_spread(operation, seen),
        inspected=seen.inspected,
        counted_frames=min(max(bound, 0.0), float(room)),
        basis=basis,
    )


def share_below(operation: Operation, group: HiveGroup, floor_frames: float) -> float:
    """Return the share of a group's hives that are weaker than a floor.

    Parameters
    ----------
    operation
        Gives ``frames_sd_when_unknown``.
    group
        A group of the operation.
    floor_frames
        A contract's least strength of a single colony. [frames]

    Returns
    -------
    float
        Between 0 and 1: the share of the hives opened, when each was written down; else the share of a
        normal distribution with the mean and spread given; 1 when nothing was written down and the floor
        is above 0.
    """
    seen = inspection(group)
    if floor_frames <= 0.0:
        return 0.0
    if seen.counts:
        return sum(frames < floor_frames for frames in seen.counts) / len(seen.counts)
    if seen.mean_frames is None:
        return 1.0
    spread = _spread(operation, seen)
    if spread == 0.0:
        return 1.0 if seen.mean_frames < floor_frames else 0.0
    return NormalDist(seen.mean_frames, spread).cdf(floor_frames)


def _spread(operation: Operation, seen: Inspection) -> float:
    return constant(operation, "frames_sd_when_unknown") if seen.sd_frames is None else seen.sd_frames


def _margin_below(operation: Operation, group: HiveGroup, seen: Inspection) -> tuple[float, str]:
    """Return how far under the sample's mean the bound lies, and why. [frames]"""
    if seen.inspected >= group.hives:
        return 0.0, "every hive was opened: the mean itself"
    confidence = constant(operation, "strength_confidence")
    if not 0.5 <= confidence < 1.0:
        raise ValueError(
            f"The constant strength_confidence is {confidence}; it must be at least 0.5 and below 1."
        )
    spread = _spread(operation, seen)
    known = seen.sd_frames is not None and seen.inspected > 1
    quantile = t_quantile(confidence, seen.inspected - 1) if known else NormalDist().inv_cdf(confidence)
    unseen_share = 1.0 - seen.inspected / group.hives
    basis = f"{seen.inspected} of {group.hives} hives opened: at least this with {confidence:.0%} confidence"
    if seen.sd_frames is None:
        basis += f"; the spread is not known and taken as {spread:g} frames"
    return quantile * spread * math.sqrt(unseen_share / seen.inspected), basis
