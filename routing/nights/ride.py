"""The variables of one rig and one set of events that share a night, in the relaxation."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from routing.nights.problem import Rig


@dataclass
class Ride:
    """The variables of one rig and one set of events that share a night."""

    segment: int
    rig: Rig
    share: Mapping[int, float]
    """Of the deck, for one unit of each kind."""
    nights: tuple[int, ...] = ()
    arcs: dict[tuple[str, str], int] = field(default_factory=dict)
    fill: dict[tuple[str, str], int] = field(default_factory=dict)
    on: dict[tuple[str, int], int] = field(default_factory=dict)
    off: dict[tuple[str, int], int] = field(default_factory=dict)
    straps: dict[str, int] = field(default_factory=dict)
    """Stops at which hives are picked up and the load is secured."""
