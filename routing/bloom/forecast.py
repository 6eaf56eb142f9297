"""The records of a bloom forecast: a day with its spread for every stage, and what it rests on."""

import datetime as dt
import math
from itertools import pairwise
from statistics import NormalDist
from typing import Literal

from routing.record import Record

Kind = Literal["fitted", "own sums", "published", "dates"]
"""Fitted to the orchard's own earlier years; the user's own heat sums; published ones; dates with a wide spread."""

KIND_WORDS: dict[Kind, str] = {
    "fitted": "sums fitted to your own earlier years",
    "own sums": "your own sums",
    "published": "published sums, not fitted to this orchard",
    "dates": "dates and notes, not weather",
}

QUANTILES = (0.05, 0.25, 0.5, 0.75, 0.95)


class StageDay(Record):
    """When one stage is reached."""

    stage: str
    percent: float | None
    """Share of flowers open; None for a bud. [%]"""
    fallen: float
    """Share of petals fallen. [%]"""
    middle: float
    """As likely before as after; day number as ``date.toordinal`` counts, with its fraction. [d]"""
    sd_days: float
    """Standard error. [d]"""
    seen: bool
    """True when it was seen in the orchard."""
    kill_10_f: float | None = None
    """Temperature of half an hour at which 10 of 100 buds die; None where no table says. [deg F]"""
    kill_90_f: float | None = None

    @property
    def day(self) -> dt.date:
        """The first whole day on which it is as likely reached as not."""
        return day_of(self.middle)

    def quantile(self, share: float) -> dt.date:
        """Return the first day by which the stage is reached with the chance ``share`` (0 to 1)."""
        return day_of(self.middle + self.sd_days * NormalDist().inv_cdf(share))

    @property
    def days(self) -> tuple[dt.date, ...]:
        """Days at the shares of ``QUANTILES``."""
        return tuple(self.quantile(share) for share in QUANTILES)


class Sums(Record):
    """Chill and heat so far, and what bloom takes."""

    as_of: dt.date
    """Last day seen."""
    chill_from: dt.date
    chilling_hours: float
    utah_units: float
    chill_portions: float
    portions_needed: float | None
    rest_ends: dt.date | None
    """Day on which the chill is, or will be, enough; None when heat counts from a date or the chill falls short."""
    heat_from: dt.date | None
    heat: float
    """Heat so far. [``heat_unit``]"""
    heat_needed: float | None
    """Heat at 10 % bloom. [``heat_unit``]"""
    heat_unit: str


class BloomForecast(Record):
    """When one contract's crop comes to each stage."""

    contract: str
    crop: str
    """Name of the row in the table of crops."""
    cultivar: str
    kind: Kind
    calibrated: bool
    """True when it is fitted to the orchard's own earlier bloom, or to the user's own sums."""
    basis: str
    """In words, what it rests on."""
    stages: tuple[StageDay, ...]
    """In the order in which they come."""
    shared_sd_days: float
    """The part of the spread that all orchards share: the weather to come. [d]"""
    own_sd_days: float
    """The part that each orchard has for itself: the error of model, note or date. [d]"""
    sums: Sums | None = None
    warnings: tuple[str, ...] = ()

    def stage(self, name: str) -> StageDay | None:
        """Return the stage called ``name``, whatever its capitals; None when the crop has no such stage."""
        return next((one for one in self.stages if one.stage.casefold() == name.casefold()), None)

    def reached(self, percent: float) -> tuple[float, float]:
        """Return when ``percent`` of the flowers are open on the way up: day number and standard error. [d, d]

        Between two stages on the straight line; under the first or over the last, the day of that one.
        """
        rising = [one for one in self.stages if one.percent is not None and one.fallen == 0.0]
        return _on_line([(one.percent or 0.0, one.middle, one.sd_days) for one in rising], percent)

    def fallen(self, percent: float) -> tuple[float, float]:
        """Return when ``percent`` of the petals have fallen: day number and standard error. [d, d]"""
        full = max((one for one in self.stages if one.fallen == 0.0), key=lambda one: one.middle)
        falling = [one for one in self.stages if one.fallen > 0.0]
        return _on_line([(one.fallen, one.middle, one.sd_days) for one in (full, *falling)], percent)

    def open_on(self, day: dt.date) -> float:
        """Return the share of flowers open on ``day`` if all comes as it is most likely. [%]"""
        number = float(day.toordinal())
        flowers = [one for one in self.stages if one.percent is not None]
        if not flowers or number <= flowers[0].middle - 3.0 or number >= flowers[-1].middle:
            return 0.0
        line = [(flowers[0].middle - 3.0, 0.0, 0.0), *((one.middle, one.percent or 0.0, 0.0) for one in flowers)]
        return _on_line(line, number)[0]


def day_of(middle: float) -> dt.date:
    """Return the first whole day at or after a day number with a fraction."""
    # A hair is taken off, so that a line that meets a whole day is not rounded up to the next.
    return dt.date.fromordinal(math.ceil(middle - 1e-9))


def _on_line(points: list[tuple[float, float, float]], at: float) -> tuple[float, float]:
    if at <= points[0][0]:
        return points[0][1], points[0][2]
    for (low, *one), (high, *other) in pairwise(points):
        if low <= at <= high and high > low:
            share = (at - low) / (high - low)
            return one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1])
    return points[-1][1], points[-1][2]
