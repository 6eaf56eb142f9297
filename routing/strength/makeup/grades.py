"""Grades: hives of one group with the same frames of bees, as those opened tell of all."""

from collections import Counter
from dataclasses import dataclass

from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.hives import seen_of_all
from routing.strength.inspection import latest_inspection

COARSEST = 0.5
"""A group of which a mean and a spread are known is graded in half frames. [frames]"""


@dataclass(frozen=True)
class Grade:
    """Hives of one group of one strength."""

    group: str
    yard: str
    pallet: str | None
    hives: int
    frames: float
    """As counted at the last inspection. [frames]"""
    seen: bool
    """True when every hive of the group was opened; False: the number is what those opened tell."""


def grades(operation: Operation, group: HiveGroup) -> tuple[Grade, ...]:
    """Return the grades of a group at its last inspection, the weakest first; none when nothing was seen."""
    seen = latest_inspection(operation, group)
    if seen.mean_frames is None:
        return ()
    frames = seen_of_all(operation, seen)
    if not seen.counts:
        frames = tuple(round(one / COARSEST) * COARSEST for one in frames)
    told = bool(seen.counts) and seen.inspected >= seen.hives
    return tuple(
        Grade(group.name, group.yard, group.pallet, number, value, told)
        for value, number in sorted(Counter(frames).items())
    )  # fmt: skip
