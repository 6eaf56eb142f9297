"""What an inspection found: mean, spread and how many hives were opened."""

import datetime as dt
import statistics

from routing.inputs.frames import frames_seen
from routing.inputs.inspections import FrameCoverage, InspectionRow
from routing.inputs.operation import Operation
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
    on: dt.date | None = None
    """Day of the inspection."""
    hives: int = 0
    """Hives of the group alive that day."""
    coverage: FrameCoverage | None = None
    """What counted as a frame; None: as the contracts count."""
    without_number: bool = False
    """True when a mean was given without the number of hives opened: it is then taken for one hive."""


def inspection(group: HiveGroup) -> Inspection:
    """Return what the row of ``group`` itself tells of the hives that were opened.

    Raises
    ------
    ValueError
        If ``frames_seen`` cannot be read.
    """
    return _told(group, hives=group.hives)


def inspections(operation: Operation, group: HiveGroup) -> tuple[Inspection, ...]:
    """Return every inspection of ``group``, the earliest first: its own row and the table of inspections.

    Raises
    ------
    ValueError
        If ``frames_seen`` of one cannot be read.
    """
    rows = (row for row in operation.inspections if row.group == group.name)
    found = [inspection(group), *(_told(row, hives=row.hives_alive or group.hives) for row in rows)]
    return tuple(sorted(found, key=lambda one: (one.on or group.inspected_on)))


def latest_inspection(operation: Operation, group: HiveGroup, on: dt.date | None = None) -> Inspection:
    """Return the last inspection on or before a day, or the last of all; the first when none is that early."""
    found = inspections(operation, group)
    early = [one for one in found if on is None or (one.on or on) <= on]
    return early[-1] if early else found[0]


def _told(row: HiveGroup | InspectionRow, *, hives: int) -> Inspection:
    if row.frames_seen is not None:
        counts = frames_seen(row.frames_seen)
        spread = statistics.stdev(counts) if len(counts) > 1 else None
        return Inspection(
            mean_frames=statistics.fmean(counts), sd_frames=spread, inspected=len(counts), counts=counts,
            on=row.inspected_on, hives=hives, coverage=row.frame_coverage,
        )  # fmt: skip
    if row.frames_mean is None:
        return Inspection(mean_frames=None, sd_frames=None, inspected=0, on=row.inspected_on, hives=hives)
    return Inspection(
        mean_frames=row.frames_mean, sd_frames=row.frames_sd, inspected=row.hives_inspected or 1,
        on=row.inspected_on, hives=hives, coverage=row.frame_coverage, without_number=row.hives_inspected is None,
    )  # fmt: skip
