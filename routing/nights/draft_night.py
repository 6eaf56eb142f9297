"""A draft night: one rig on one night as stops with units on and off, before times, drivers and decks are set."""

from dataclasses import dataclass

Units = tuple[tuple[int, int], ...]
"""(kind, units) pairs, by kind."""


@dataclass(frozen=True)
class DraftStop:
    """One stop: what is set down (first) and what is picked up."""

    place: str
    picked_up: Units = ()
    set_down: Units = ()


@dataclass(frozen=True)
class DraftNight:
    """One rig on one night."""

    rig: int
    night: int
    stops: tuple[DraftStop, ...]
