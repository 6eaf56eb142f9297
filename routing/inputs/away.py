"""Nights on which a truck or a driver is not to be had."""

import datetime as dt
import re
from functools import cache

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


@cache
def dates_away(text: str) -> frozenset[dt.date]:
    """Return the dates written with commas between them.

    Parameters
    ----------
    text
        For instance ``2027-04-14, 2027-04-16``; empty text is no date.

    Returns
    -------
    frozenset[dt.date]
        Dates of the evenings.

    Raises
    ------
    ValueError
        If a part is not a date; the text is one clear sentence.

    Examples
    --------
    >>> sorted(dates_away("2027-04-14, 2027-04-16"))
    [datetime.date(2027, 4, 14), datetime.date(2027, 4, 16)]
    """
    return frozenset(_date(part.strip()) for part in text.split(",")) if text.strip() else frozenset()


def _date(part: str) -> dt.date:
    if _DATE.fullmatch(part):
        try:
            return dt.date.fromisoformat(part)
        except ValueError:
            pass
    raise ValueError(f"'{part[:40]}' is not a date such as 2027-04-14.")
