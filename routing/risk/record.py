"""What a thousand seasons tell of a plan."""

from typing import Literal

from routing.record import Record


class Share(Record):
    """A share of the seasons simulated, with the 95 % interval that so many seasons leave open."""

    value: float
    low: float
    high: float


class PromiseRisk(Record):
    """How one contract fares."""

    contract: str
    kept: Share
    """Every colony in on time, strong enough, and out in time."""
    late: Share
    """Seasons in which some hives come late, and are taken."""
    short: Share
    """Seasons in which colonies are missing: not brought, or left at home so that the average holds."""
    weak: Share
    """Seasons in which the lot is weaker than agreed (hives left at home count as short, too)."""
    left_in: Share
    """Seasons in which hives are not out in time."""
    colonies_missing: float
    """On average over the seasons."""
    usd: float
    """Lost fees, penalties, late and left-in hives, on average over the seasons."""
    planned_short: int
    """Colonies that the plan itself does not bring."""


class Lever(Record):
    """One thing that would help, held against the plan as it is in the very same seasons."""

    what: Literal["one more night on either end", "ten more colonies", "a spare truck-night"]
    contract: str
    kept_more: float
    """By how much the share of seasons with this promise kept rises."""
    kept_low: float
    kept_high: float
    saves_usd: float
    """A season, on average, before what it costs itself."""
    saves_low_usd: float
    saves_high_usd: float


class Risk(Record):
    """The plan in so many seasons."""

    seasons: int
    seed: int
    all_kept: Share
    kept_colonies: float
    """Share of the promised colonies that are in on time, strong and out in time, over all seasons."""
    promises: tuple[PromiseRisk, ...]
    cost_usd: float
    """Mean over the seasons."""
    cost_low_usd: float
    """Of 100 seasons 5 are cheaper."""
    cost_median_usd: float
    cost_high_usd: float
    """Of 100 seasons 5 are dearer."""
    cost_error_usd: float
    """Half of the mean's 95 % interval."""
    planned_usd: float
    """What the plan costs when all goes as planned."""
    moved_truck_nights: float
    """Truck-nights that go on another night or truck, a season."""
    lost_truck_nights: float
    """Truck-nights for which none is found, a season."""
    levers: tuple[Lever, ...]
    """Best first."""
    rules: tuple[str, ...]
    """What is taken for granted, in words."""
    seconds: float
