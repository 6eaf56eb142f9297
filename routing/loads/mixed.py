"""Decks that carry units of several sizes at once: a row holds units of one size, and what a mix is at most worth.

Lengths are counted in quarter inches: units rounded down and decks up where a bound is meant, so that no mix that
stands on a real deck is left out of it.
"""

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from routing.loads.capacity import TINY_IN

QUARTERS = 4


class Row(NamedTuple):
    """One row across the deck of units of one size."""

    length_in: float
    units: int
    """Units side by side. >= 1."""


class Sized(NamedTuple):
    """Units of one size, and what one place on the deck is worth when they stand on it."""

    length_in: float
    width_in: float
    worth: float


@lru_cache(maxsize=4096)
def densest_row(deck_width_in: float, *, length_in: float, width_in: float) -> Row | None:
    """Return the row that takes the least of the deck's length for each unit; None when not one fits across."""
    rows = [
        Row(along_in, math.floor((deck_width_in + TINY_IN) / across_in))
        for along_in, across_in in ((length_in, width_in), (width_in, length_in))
    ]
    return min((row for row in rows if row.units), key=lambda row: (row.length_in / row.units, row.length_in), default=None)


@lru_cache(maxsize=4096)
def most_worth(deck_length_in: float, deck_width_in: float, sizes: tuple[Sized, ...]) -> float:
    """Return an upper bound on what units of several sizes on one deck, one layer, are worth together.

    Parameters
    ----------
    deck_length_in, deck_width_in
        The deck. > 0. [in]
    sizes
        What may stand on it. Worth >= 0.

    Returns
    -------
    float
        At least the worth of every deck filled in rows across or in lanes along, sizes mixed within a row or not,
        each unit turned either way. An unbounded knapsack of rows, each an unbounded knapsack of units.
    """
    length, width = (math.ceil(side_in * QUARTERS - TINY_IN) for side_in in (deck_length_in, deck_width_in))
    whole = tuple(
        (max(1, math.floor(one.length_in * QUARTERS + TINY_IN)), max(1, math.floor(one.width_in * QUARTERS + TINY_IN)),
         one.worth)
        for one in sizes
    )
    return max(_rows(length, width, whole), _rows(width, length, whole))


def _rows(along: int, across: int, sizes: tuple[tuple[int, int, float], ...]) -> float:
    depths = sorted({side for length, width, _ in sizes for side in (length, width)})
    rows = []
    for depth in depths:
        units = [
            (min(other for side, other in ((length, width), (width, length)) if side <= depth), worth)
            for length, width, worth in sizes if min(length, width) <= depth
        ]
        rows.append((depth, _fullest(across, units)))
    return _fullest(along, rows)


def _fullest(room: int, items: Iterable[tuple[int, float]]) -> float:
    """Return the largest worth of items, as many of each as wanted, whose sizes fit the room."""
    usable = [(size, worth) for size, worth in items if size <= room and worth > 0.0]
    step = math.gcd(*(size for size, _ in usable)) or 1
    room, usable = room // step, [(size // step, worth) for size, worth in usable]
    best = [0.0] * (room + 1)
    for filled in range(1, room + 1):
        best[filled] = max(
            (best[filled - size] + worth for size, worth in usable if size <= filled), default=0.0
        )
        best[filled] = max(best[filled], best[filled - 1])
    return best[room]
