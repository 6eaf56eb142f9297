"""What the user's tables of road limits and papers hold for one move: which rows touch its places on its night."""

import datetime as dt
from collections.abc import Collection

from routing.inputs.cross_check_rigging import named
from routing.inputs.operation import Operation
from routing.inputs.rigging import Paper, RoadLimit


def road_limits_on(operation: Operation, night: dt.date, places: Collection[str]) -> tuple[RoadLimit, ...]:
    """Return the road limits that count on a night for a move that touches ``places``.

    A row without places counts on every move, a row without dates on every night.
    """
    return tuple(row for row in operation.road_limits if _touches(row.places, places) and counts_on(row, night))


def papers_of(operation: Operation, places: Collection[str]) -> tuple[Paper, ...]:
    """Return the rows of papers that a move through ``places`` may call for, whatever their dates."""
    return tuple(row for row in operation.papers if _touches(row.places, places))


def counts_on(row: RoadLimit, night: dt.date) -> bool:
    """Tell whether a road limit counts on a night."""
    begun = row.counts_from is None or row.counts_from <= night
    return begun and (row.counts_until is None or night <= row.counts_until)


def _touches(text: str, places: Collection[str]) -> bool:
    rows = named(text)
    return not rows or any(place in places for place in rows)
