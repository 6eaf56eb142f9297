"""Percent bloom over days, from the rows of one contract's bloom table."""

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from routing.inputs.contract import Bloom


class NoBloomDayError(ValueError):
    """The rows do not say on which day the bloom asked for is reached; the text is one clear sentence."""


@dataclass(frozen=True, slots=True)
class BloomDay:
    """The first day on which a percentage is reached, and how that was found."""

    day: dt.date
    forecast: bool
    """True when a row that it rests on is a forecast."""
    basis: str


def bloom_day(rows: Iterable[Bloom], percent: float) -> BloomDay:
    """Return the first day on which bloom is at least ``percent``.

    Parameters
    ----------
    rows
        The rows of one contract, in any order. A row that was seen replaces forecasts of the same percentage
        and of the same day.
    percent
        Share of flowers open, 0 to 100. [%]

    Returns
    -------
    BloomDay
        The day of the row with that percentage; between two rows, on the straight line between them, the
        first whole day on which the line is at or above ``percent``.

    Raises
    ------
    NoBloomDayError
        If there are no rows, ``percent`` lies outside them (nothing is extrapolated), two rows differ about
        one day, or bloom falls back before its peak.
    """
    rise = believed_rise(rows)
    if not rise[0].percent_bloom <= percent <= rise[-1].percent_bloom:
        raise NoBloomDayError(
            f"{percent:g} % bloom lies outside the rows of the bloom table, which go from "
            f"{rise[0].percent_bloom:g} % on {rise[0].on} to {rise[-1].percent_bloom:g} % on {rise[-1].on}; "
            "add a row on the other side of it"
        )
    for row in rise:
        if row.percent_bloom == percent:
            return BloomDay(row.on, not row.seen, f"{percent:g} % bloom {_how(row)} on {row.on}")
    lower, upper = next(
        (one, other) for one, other in pairwise(rise) if one.percent_bloom < percent < other.percent_bloom
    )
    return _between(lower, upper, percent)


def believed_rise(rows: Iterable[Bloom]) -> list[Bloom]:
    """Return the rows up to the peak in order of day, without the forecasts that a row seen replaces.

    Raises
    ------
    NoBloomDayError
        If there are no rows, two differ about one day, or bloom falls back before its peak.
    """
    return _rise(_believed(tuple(rows)))


def _believed(rows: tuple[Bloom, ...]) -> list[Bloom]:
    """Return the rows in order of day, without the forecasts that a row seen replaces."""
    seen = [row for row in rows if row.seen]
    replaced = {row.percent_bloom for row in seen}, {row.on for row in seen}
    kept = [
        row
        for row in rows
        if row.seen or (row.percent_bloom not in replaced[0] and row.on not in replaced[1])
    ]
    if not kept:
        raise NoBloomDayError("the bloom table has no row for this contract")
    return sorted(kept, key=lambda row: (row.on, row.percent_bloom))


def _rise(rows: list[Bloom]) -> list[Bloom]:
    """Return the rows up to the peak; the same flowers cannot close again before it."""
    for one, other in pairwise(rows):
        if one.on == other.on and one.percent_bloom != other.percent_bloom:
            raise NoBloomDayError(
                f"the bloom table has both {one.percent_bloom:g} % and {other.percent_bloom:g} % "
                f"on {one.on}; keep one of the two"
            )
    most = max(row.percent_bloom for row in rows)
    peak = next(index for index, row in enumerate(rows) if row.percent_bloom == most)
    rise = rows[: peak + 1]
    for one, other in pairwise(rise):
        if other.percent_bloom < one.percent_bloom:
            raise NoBloomDayError(
                f"the bloom table falls from {one.percent_bloom:g} % on {one.on} ({_kind(one)}) to "
                f"{other.percent_bloom:g} % on {other.on} ({_kind(other)}) before its peak; correct one"
            )
    return rise


def _between(lower: Bloom, upper: Bloom, percent: float) -> BloomDay:
    share = (percent - lower.percent_bloom) / (upper.percent_bloom - lower.percent_bloom)
    # A hair is taken off, so that a line that meets a whole day is not rounded up to the next.
    days = math.ceil((upper.on - lower.on).days * share - 1e-9)
    day = lower.on + dt.timedelta(days=days)
    basis = (
        f"{percent:g} % bloom by {day}, between {lower.percent_bloom:g} % {_how(lower)} on {lower.on} "
        f"and {upper.percent_bloom:g} % {_how(upper)} on {upper.on}"
    )
    return BloomDay(day, not (lower.seen and upper.seen), basis)


def _how(row: Bloom) -> str:
    return "seen" if row.seen else "forecast"


def _kind(row: Bloom) -> str:
    return "seen" if row.seen else "a forecast"
