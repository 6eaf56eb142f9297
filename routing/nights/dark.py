"""The dark hours of every place and night, worked out when they are first asked for."""

import datetime as dt
from collections.abc import Mapping
from zoneinfo import ZoneInfo

from routing.inputs.operation import Operation
from routing.inputs.places import Place
from routing.nights.windows import window_at

Span = tuple[float, float]
"""First and last clock minute for hives on the move: minutes from noon of the night's day."""


class Dark:
    """Spans by (place, night); a night that nothing can happen on, or that is not dark, has none."""

    def __init__(self, operation: Operation, sites: Mapping[str, Place], nights: frozenset[int]) -> None:
        self._operation, self._sites = operation, sites
        self.nights = nights if sites else frozenset[int]()
        self._known: dict[tuple[str, int], Span | None] = {}

    def get(self, key: tuple[str, int]) -> Span | None:
        """Return the span of a place and night, or None when there is none."""
        if key not in self._known:
            known = key[0] in self._sites and key[1] in self.nights
            self._known[key] = self._span(*key) if known else None
        return self._known[key]

    def __contains__(self, key: tuple[str, int]) -> bool:
        return self.get(key) is not None

    def __getitem__(self, key: tuple[str, int]) -> Span:
        span = self.get(key)
        if span is None:
            raise KeyError(key)
        return span

    def _span(self, name: str, night: int) -> Span | None:
        operation, site = self._operation, self._sites[name]
        date = operation.first_night + dt.timedelta(days=night)
        window = window_at(operation, site, date)
        if window is None:
            return None
        zone = ZoneInfo(site.time_zone)
        begin, end = clock_min(operation, night, window.loading_from), clock_min(operation, night, window.set_down_until)
        if site.open_from:
            begin = max(begin, clock_min(operation, night, dt.datetime.combine(date, site.open_from, tzinfo=zone)))
        if site.open_until:
            morning = date + dt.timedelta(days=1)
            end = min(end, clock_min(operation, night, dt.datetime.combine(morning, site.open_until, tzinfo=zone)))
        return (begin, end) if end > begin else None


def noon(operation: Operation, index: int) -> dt.datetime:
    """Return noon before a night: the moment from which its clock minutes run."""
    date = operation.first_night + dt.timedelta(days=index)
    return dt.datetime.combine(date, dt.time(12), tzinfo=ZoneInfo(operation.time_zone))


def clock_min(operation: Operation, index: int, moment: dt.datetime) -> float:
    """Return a moment as clock minutes of a night; exact across a change of clocks. [min]"""
    start = noon(operation, index)
    return (moment.timestamp() - start.timestamp()) / 60.0
