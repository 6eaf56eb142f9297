"""One way by road, and the protocol that every source of ways answers to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from routing.inputs.places import Place


@dataclass(frozen=True, slots=True)
class Leg:
    """Miles and minutes of one way between two places, for an ordinary vehicle."""

    miles: float
    minutes: float
    basis: str
    """Where the two figures come from, in words."""


class RoadProvider(Protocol):
    """Anything that knows ways: the user's table, the estimate, later a road graph.

    A provider is asked once, for all places together, so that a graph can search many ways at a time.
    """

    def legs(self, places: Sequence[Place]) -> Mapping[tuple[str, str], Leg]:
        """Return the ways it knows, by (origin, destination); a pair left out is not known to it."""
        ...
