"""Chill and heat of a season as curves, with the spread of the heat to come: what a figure shows."""

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routing.bloom.by_weather import heat_sd
from routing.bloom.predict import model_courses, plain_courses
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation


@dataclass(frozen=True)
class BloomCurves:
    """One contract's season, at the end of each day."""

    start: dt.date
    seen_days: int
    portions: NDArray[np.float64]
    heat: NDArray[np.float64]
    heat_sd: NDArray[np.float64]
    """0 for days seen."""
    portions_needed: float | None
    heat_needed: float | None
    """Heat at ``percent`` bloom; None where no heat sum is known."""
    percent: float
    heat_unit: str


def bloom_curves(operation: Operation, contract: Contract) -> BloomCurves | None:
    """Return the curves of a contract; None where the operation holds no weather for it."""
    found = model_courses(operation, contract)
    if found is not None:
        courses, model = found
        rule, (percent, needed) = model.rule, model.sums[0]
        return BloomCurves(
            courses.season.start, courses.season.seen_days, courses.likely.portions, courses.likely.heat,
            heat_sd(operation, courses), rule.portions, needed, percent, rule.unit,
        )  # fmt: skip
    plain = plain_courses(operation, contract)
    if plain is None:
        return None
    courses, rule = plain
    return BloomCurves(
        courses.season.start, courses.season.seen_days, courses.likely.portions, courses.likely.heat,
        heat_sd(operation, courses), rule.portions, None, 10.0, rule.unit,
    )  # fmt: skip
