"""Figures in a beekeeper's words."""

import datetime as dt
from collections.abc import Iterable

from routing.nights.problem import Problem, night_date

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip

NOT_PROVEN = "and costs less in all; that there is none is not proven"
MAY_HELP = "not certain, but may help"


def day(date: dt.date) -> str:
    """Return a date such as ``23 April 2027``."""
    return f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def span(first: dt.date, last: dt.date) -> str:
    """Return a span of nights such as ``23 to 26 April 2027``."""
    if first == last:
        return day(first)
    if first.year != last.year:
        return f"{day(first)} to {day(last)}"
    if first.month != last.month:
        return f"{first.day} {MONTHS[first.month - 1]} to {day(last)}"
    return f"{first.day} to {day(last)}"


def nights_span(problem: Problem, first: int, last: int) -> str:
    """Return numbered nights as a span of dates."""
    return span(night_date(problem.operation, first), night_date(problem.operation, last))


def counted(count: int, one: str, many: str | None = None) -> str:
    """Return a count with its noun, such as ``1 colony`` or ``12 colonies``."""
    return f"{count} {one}" if count == 1 else f"{count} {many or one + 's'}"


def colonies(count: int) -> str:
    """Return ``1 colony`` or ``12 colonies``."""
    return counted(count, "colony", "colonies")


def more_than(most: int) -> str:
    """Return what is beyond a most: ``more than 12``, or ``any``."""
    return f"more than {most}" if most else "any"


def frames(value: float) -> str:
    """Return frames of bees to a tenth, such as ``9.5 frames`` or ``10 frames``."""
    return f"{round(value, 1):g} frames"


def hours(minutes: float) -> str:
    """Return minutes as hours, such as ``7 h 05 min``."""
    whole = round(minutes)
    return f"{whole // 60} h {whole % 60:02d} min" if whole >= 60 else f"{whole} min"


def listed(names: Iterable[str]) -> str:
    """Return names as ``A, B and C``."""
    every = list(names)
    return every[0] if len(every) == 1 else f"{', '.join(every[:-1])} and {every[-1]}" if every else "none"
