"""What an inspection found: mean, spread and how many hives were opened."""

import statistics

from routing.inputs.frames import frames_seen
from routing.inputs.yard import HiveGroup
from routing.record import Record


class Inspection(Record):
    """The sample of one group, before any confidence is asked of it."""

    mean_frames: float | None
    """None when nothing was written down. [frames]"""
    sd_frames: float | None
    """Standard deviation between hives; None when fewer than two hives tell it. [frames]"""
    inspected: int
    """Hives opened; 1 when a mean was given without the number, the least it can be."""
    counts: tuple[float, ...] = ()
    """Frames of each hive opened, when they were written down. [frames]"""


def inspection(group: HiveGroup) -> Inspection:
    """Return what was found in the hives of ``group`` that were opened.

    Raises
    ------
    ValueError
        If ``frames_seen`` cannot be read.
    """
    if group.frames_seen is not None:
        counts = frames_seen(group.frames_seen)
        spread = statistics.stdev(counts) if len(counts) > 1 else None
        return Inspection(
            mean_frames=statistics.fmean(counts), sd_frames=spread, inspected=len(counts), counts=counts
        )
    if group.frames_mean is None:
        return Inspection(mean_frames=None, sd_frames=None, inspected=0)
    return Inspection(
        mean_frames=group.frames_mean, sd_frames=group.frames_sd, inspected=group.hives_inspected or 1
    )
