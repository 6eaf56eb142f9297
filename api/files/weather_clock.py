"""The hours of a weather file on standard time: days of 24 hours, whatever the clocks did.

A file by the clock lacks an hour in spring and has one twice in autumn; a logger that keeps standard time has neither.
Which of the two a file is shows in the hour that the clocks skip: a temperature in it can only be of standard time.
"""

import datetime as dt
from collections.abc import Sequence
from zoneinfo import ZoneInfo

HOUR = dt.timedelta(hours=1)


class TwiceError(ValueError):
    """An hour stands twice where the clocks were not put back."""

    def __init__(self, index: int) -> None:
        super().__init__(str(index))
        self.index = index


def on_standard_time(moments: Sequence[dt.datetime], zone: ZoneInfo | None) -> list[dt.datetime]:
    """Return moments, in the order of the file, as plain times of the zone's standard time.

    Parameters
    ----------
    moments
        With their own offset from UTC, or plain times of the clock or of standard time. In order.
    zone
        Zone of the place; None: plain times are taken as they are.

    Raises
    ------
    TwiceError
        If a plain time stands twice and the clocks were not put back over it.
    """
    if zone is None:
        return [_plain(moment, dt.timedelta()) for moment in _told_apart(moments, None)]
    by_clock = not any(moment.tzinfo is None and _is_skipped(moment, zone) for moment in moments)
    found = []
    for moment in _told_apart(moments, zone if by_clock else None):
        if moment.tzinfo is not None:
            moment = moment.astimezone(zone)
        elif by_clock:
            moment = moment.replace(tzinfo=zone)
        found.append(_plain(moment, moment.dst() or dt.timedelta()))
    return found


def _plain(moment: dt.datetime, ahead: dt.timedelta) -> dt.datetime:
    return moment.replace(tzinfo=None, fold=0) - ahead


def _told_apart(moments: Sequence[dt.datetime], zone: ZoneInfo | None) -> list[dt.datetime]:
    """Return moments with the second of two equal ones marked as the one after the clocks were put back."""
    found: list[dt.datetime] = []
    seen: set[tuple[dt.datetime, int]] = set()
    for index, moment in enumerate(moments):
        fold = 0
        if moment.tzinfo is None and (moment, 0) in seen:
            if zone is None or not is_twice(moment, zone):
                raise TwiceError(index)
            fold = 1
        if (moment, fold) in seen:
            raise TwiceError(index)
        seen.add((moment, fold))
        found.append(moment.replace(fold=fold) if fold else moment)
    return found


def is_twice(moment: dt.datetime, zone: ZoneInfo) -> bool:
    """Return whether the clocks show a plain time twice, since they are put back over it."""
    first, second = (moment.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    return first is not None and second is not None and first > second


def _is_skipped(moment: dt.datetime, zone: ZoneInfo) -> bool:
    there = moment.replace(tzinfo=zone)
    return there.astimezone(dt.UTC).astimezone(zone).replace(tzinfo=None) != moment
