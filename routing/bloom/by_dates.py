"""A forecast from dates alone: the stages at their usual distance from what is known, the wider the further off."""

import math
from collections.abc import Sequence
from itertools import pairwise

from routing.bloom.forecast import BloomForecast, StageDay
from routing.bloom.notes import Anchor
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.limits.crop_rows import OTHER, ROUGH, Crop, Mark, kill_at


def forecast_by_dates(operation: Operation, contract: Contract, crop: Crop, anchors: Sequence[Anchor]) -> BloomForecast:
    """Return the forecast that rests on dates.

    Parameters
    ----------
    operation
        Gives ``bloom_note_error_days`` and ``bloom_pace_error_share``.
    contract, crop
        The contract and the row of its crop.
    anchors
        What is known, in order; at least one.

    Returns
    -------
    BloomForecast
        Between two percentages the straight line between them, as the windows take it; elsewhere the usual days
        from the nearest. A stage is as sure as a date (``bloom_error_days``) or as a note seen near it, whichever
        is surer.
    """
    stages = tuple(
        StageDay(
            stage=mark.stage, percent=mark.percent, fallen=mark.fallen, middle=middle,
            sd_days=spread_of(operation, crop, anchors, middle=middle), seen=_is_seen(anchors, mark),
            kill_10_f=kill.kill_10_f if kill else None, kill_90_f=kill.kill_90_f if kill else None,
        )
        for mark in crop.marks
        for middle, kill in [(_middle(anchors, mark), kill_at(crop.name, mark.stage))]
    )  # fmt: skip
    anchor = next(one for one in stages if one.percent == 10.0)
    told = "; ".join(one.basis for one in anchors)
    basis = f"dates: {told}; days between stages as they usually are ({crop.marks_source})"
    return BloomForecast(
        contract=contract.name, crop=crop.name, cultivar=contract.cultivar, kind="dates", calibrated=False, basis=basis,
        stages=stages, shared_sd_days=0.0, own_sd_days=anchor.sd_days,
    )  # fmt: skip


def spread_of(operation: Operation, crop: Crop, anchors: Sequence[Anchor], *, middle: float) -> float:
    """Return the standard error of a stage on day number ``middle``. [d]"""
    note, pace = constant(operation, "bloom_note_error_days"), constant(operation, "bloom_pace_error_share")
    pace *= ROUGH if crop.name == OTHER else 1.0
    return min(math.hypot(one.sd_days or note, pace * (middle - one.middle)) for one in anchors)


def _is_seen(anchors: Sequence[Anchor], mark: Mark) -> bool:
    return any(one.seen and one.offset == mark.days for one in anchors)


def _middle(anchors: Sequence[Anchor], mark: Mark) -> float:
    rising = [one for one in anchors if one.percent is not None and one.fallen == 0.0]
    if mark.percent is not None and mark.fallen == 0.0:
        for one, other in pairwise(rising):
            low, high = one.percent or 0.0, other.percent or 0.0
            if low <= mark.percent <= high and high > low:
                return one.middle + (mark.percent - low) / (high - low) * (other.middle - one.middle)
    return _beside(anchors, mark.days)


def _beside(anchors: Sequence[Anchor], offset: float) -> float:
    """Return the day by the usual days: between two anchors in proportion, outside them from the nearest."""
    for one, other in pairwise(anchors):
        if one.offset <= offset <= other.offset:
            share = (offset - one.offset) / (other.offset - one.offset)
            return one.middle + share * (other.middle - one.middle)
    nearest = anchors[0] if offset < anchors[0].offset else anchors[-1]
    return nearest.middle + offset - nearest.offset
