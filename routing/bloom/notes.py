"""What is known of one contract's bloom by its dates: notes, forecasts typed in, dates agreed, earlier years."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, stdev

from routing.bloom.curve import NoBloomDayError, believed_rise
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.limits.crop_rows import Crop, Mark

LEAST_PAST = 2
"""Earlier years before their dates have a spread of their own."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """A stage or percentage with its day."""

    offset: float
    """Usual days after 10 % bloom. [d]"""
    percent: float | None
    fallen: float
    middle: float
    """Day number. [d]"""
    seen: bool
    sd_days: float
    """Standard error where it was not seen; 0 where it was. [d]"""
    basis: str


def offset_of(crop: Crop, percent: float) -> float:
    """Return the usual days from 10 % bloom to ``percent`` on the way up. [%] -> [d]"""
    rising = [mark for mark in crop.marks if mark.percent is not None and mark.fallen == 0.0]
    first, last = rising[0], rising[-1]
    if percent <= (first.percent or 0.0):
        return first.days
    for one, other in pairwise(rising):
        low, high = one.percent or 0.0, other.percent or 0.0
        if low <= percent <= high:
            return one.days + (percent - low) / (high - low) * (other.days - one.days)
    return last.days


def mark_of(crop: Crop, stage: str) -> Mark | None:
    """Return the stage of a crop by its name, whatever its capitals."""
    folded = " ".join(stage.split()).casefold()
    return next((mark for mark in crop.marks if mark.stage == folded), None)


def seen_anchors(operation: Operation, contract: Contract, crop: Crop) -> list[Anchor]:
    """Return what was seen, in order; raise ``NoBloomDayError`` when it contradicts itself."""
    found = [one for one in _percent_anchors(operation, contract, crop, error_days=0.0) if one.seen]
    return in_order([*found, *_stage_anchors(operation, contract, crop)])


def known_anchors(operation: Operation, contract: Contract, crop: Crop, *, error_days: float) -> list[Anchor]:
    """Return all that is known by dates, in order: what was seen and the forecasts typed in; failing both, past
    years; failing those, the dates agreed. Empty when there is nothing.

    Raises
    ------
    NoBloomDayError
        If the notes contradict each other.
    """
    noted = [*_percent_anchors(operation, contract, crop, error_days=error_days), *_stage_anchors(operation, contract, crop)]
    known = noted or _from_past(operation, contract, crop, error_days) or _from_agreed(contract, crop, error_days)
    return in_order([*known, *_petal_fall_told(contract, crop, known, error_days)])


def in_order(anchors: Sequence[Anchor]) -> list[Anchor]:
    """Return anchors in the order of the stages, one for each; raise when their days are in another order."""
    by_stage: dict[float, Anchor] = {}
    for one in sorted(anchors, key=lambda one: (one.offset, not one.seen)):
        by_stage.setdefault(one.offset, one)
    found = list(by_stage.values())
    for one, other in pairwise(found):
        if other.middle < one.middle:
            raise NoBloomDayError(f"bloom ends before it begins: {other.basis}, but {one.basis}; correct one")
    return found


def _percent_anchors(operation: Operation, contract: Contract, crop: Crop, *, error_days: float) -> list[Anchor]:
    rows = [row for row in operation.blooms if row.contract == contract.name]
    if not rows:
        return []
    return [
        Anchor(
            offset=offset_of(crop, row.percent_bloom), percent=row.percent_bloom, fallen=0.0, middle=float(row.on.toordinal()),
            seen=row.seen, sd_days=0.0 if row.seen else error_days,
            basis=f"{row.percent_bloom:g} % bloom {'seen' if row.seen else 'forecast'} on {row.on}",
        )
        for row in believed_rise(rows)
    ]  # fmt: skip


def _stage_anchors(operation: Operation, contract: Contract, crop: Crop) -> list[Anchor]:
    found = []
    for note in operation.stage_notes:
        mark = mark_of(crop, note.stage) if note.contract == contract.name else None
        if mark is not None:
            basis = f"{mark.stage} seen on {note.on}"
            found.append(Anchor(mark.days, mark.percent, mark.fallen, float(note.on.toordinal()), True, 0.0, basis))
    return found


def _from_past(operation: Operation, contract: Contract, crop: Crop, error_days: float) -> list[Anchor]:
    """Return the mean day of earlier years, every percentage moved to 10 % by the usual days between them."""
    rows = [row for row in operation.past_blooms if row.contract == contract.name]
    if not rows:
        return []
    year = operation.first_night.year
    days = [_in_year(row.on, year).toordinal() - offset_of(crop, row.percent_bloom) for row in rows]
    spread = max(stdev(days), error_days) if len(days) >= LEAST_PAST else 2.0 * error_days
    years = sorted({row.on.year for row in rows})
    basis = f"the mean date of {len(rows)} earlier notes ({years[0]} to {years[-1]})"
    return [Anchor(0.0, 10.0, 0.0, fmean(days), False, spread, basis)]


def _in_year(day: dt.date, year: int) -> dt.date:
    return day.replace(year=year, day=28) if (day.month, day.day) == (2, 29) else day.replace(year=year)


def _from_agreed(contract: Contract, crop: Crop, error_days: float) -> list[Anchor]:
    """Return bloom as the dates agreed tell it: hives are wanted in when the crop's usual rule says so."""
    if contract.in_from is None:
        return []
    basis = f"the date agreed, {contract.in_from}, taken for the day of {crop.in_percent:g} % bloom"
    middle = float(contract.in_from.toordinal())
    return [Anchor(offset_of(crop, crop.in_percent), crop.in_percent, 0.0, middle, False, error_days, basis)]


def _petal_fall_told(contract: Contract, crop: Crop, known: Sequence[Anchor], error_days: float) -> list[Anchor]:
    """Return the contract's day of petal fall, where it fits what else is known and no petal fall was seen."""
    fall = next(mark for mark in crop.marks if mark.fallen > 0.0)
    if contract.petal_fall_on is None or not known or any(one.fallen > 0.0 for one in known):
        return []
    middle = float(contract.petal_fall_on.toordinal())
    if middle <= max(one.middle for one in known):
        return []
    basis = f"petal fall expected on {contract.petal_fall_on}"
    return [Anchor(fall.days, fall.percent, fall.fallen, middle, False, error_days, basis)]
