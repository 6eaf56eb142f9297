"""Inspections: what was found when hives of a group were opened, one row for each group and day."""

import datetime as dt
from typing import Literal

from routing.record import Record, column

FrameCoverage = Literal["two thirds", "three quarters", "full"]
"""How much of a frame bees must cover for it to count as one: published sources differ, so it is a setting."""


class InspectionRow(Record):
    """One day on which hives of a group were opened; the first may stand in the table of hive groups."""

    group: str = column("hive group", example="H1")
    inspected_on: dt.date = column("day of the inspection", example=dt.date(2027, 2, 27))
    frames_seen: str | None = column(
        "frames of bees, one number for each hive opened (8, 9.5, 7) or counts (8x5, 9x3)", unit="frames", example="5x4, 6x4, 7x2", default=None, max_length=4000
    )
    frames_mean: float | None = column("mean frames of bees, when single counts were not kept", unit="frames", example=None, default=None, ge=0, le=30)
    frames_sd: float | None = column("spread (standard deviation) of frames of bees", unit="frames", example=None, default=None, ge=0, le=15)
    hives_inspected: int | None = column("hives opened, when single counts were not kept", unit="hives", example=None, default=None, ge=1, le=5000)
    hives_alive: int | None = column("hives of the group alive that day; empty: all", unit="hives", example=None, default=None, ge=1, le=5000)
    frame_coverage: FrameCoverage | None = column("how much of a frame bees cover for it to count as one; empty: counted as the contracts count", example=None, default=None)
