"""A load: everything on a deck between two moments when the deck is empty."""

import datetime as dt

from routing.finding import Finding
from routing.record import Record


class Placement(Record):
    """One pallet, or one loose hive, on the deck."""

    label: str
    """What the driver reads, for instance ``A3``: third unit of lot A."""
    lot: str
    group: str
    hives: int
    origin: str
    destination: str
    drop_order: int
    """1 for what comes off first."""
    front_in: float
    """From the front end of the deck to the unit's front edge."""
    left_in: float
    """From the left edge of the deck (as the driver sits) to the unit's left edge."""
    tier: int
    """1 stands on the deck."""
    length_in: float
    """Along the deck."""
    width_in: float
    """Across the deck."""
    height_in: float
    weight_low_lb: float
    weight_high_lb: float
    loaded_at: int = 0
    """Number of the stop where it is loaded; 0: it rides from the start."""
    set_down_at: int = 0
    """Number of the stop where it is set down; 0: only ``drop_order`` is known."""


class AxleLoad(Record):
    """Weight on one axle group, from its lightest to its heaviest."""

    group: int
    """Order from the front, 1 is the steer axle."""
    name: str
    low_lb: float
    high_lb: float
    limit_lb: float
    """The least of the rating and the law's limit."""


class DeckState(Record):
    """Weights on the road after one stop (the first: after loading is done)."""

    after_stop: int
    place: str
    hives_on_deck: int
    gross_low_lb: float
    gross_high_lb: float
    axles: tuple[AxleLoad, ...]


class Load(Record):
    """One load with its deck plan and every check made on it."""

    truck_night: str
    number: int
    """Counted within the truck-night from 1."""
    truck: str
    night: dt.date
    hives: int
    placements: tuple[Placement, ...]
    top_of_load_in: float
    """Highest point above the road."""
    straps_needed: int
    straps_available: int
    states: tuple[DeckState, ...]
    rehandled: int
    """Units that must be lifted twice because they stand in the way; 0 when none."""
    findings: tuple[Finding, ...]
    to_do: tuple[str, ...] = ()
    """What the crew does beside the deck plan, in sentences: pins, what is lifted twice, stacks to strap again."""
