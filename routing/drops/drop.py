"""What the siting of one orchard says: its drops in the order of the drive, how even they are, what else was possible."""

from routing.errors import BloomhaulError
from routing.finding import Finding
from routing.record import Record


class SitingError(BloomhaulError):
    """No siting can be made; the sentence says why and what would help."""


class SitedDrop(Record):
    """One drop, in the order in which the truck comes to it."""

    name: str
    latitude_deg: float
    longitude_deg: float
    hives: int
    track: str
    """Along which it stands; empty when no tracks are known."""
    way_ft: float
    """To drive from the drop before, or from the gate."""
    acres: float
    """That draw on it."""
    mean_ft: float
    """From its acres to it."""
    worst_ft: float
    morning_sun: bool


class Evenness(Record):
    """How near and how alike the acres are to their hives.

    Every acre draws the same number of hives, from the drops that serve it. The distance from an acre to those
    hives, weighted by hives, has a mean, a worst, a variance.
    """

    stops: int
    mean_ft: float
    worst_ft: float
    variance_ft2: float
    deviation_ft: float
    """Square root of the variance: 0 when every acre is equally far from its hives."""


class CurvePoint(Record):
    """What one number of stops brings."""

    evenness: Evenness
    gap: float
    """(mean distance found - proven bound) / found."""
    chosen: bool


class LeftOut(Record):
    """Places along the tracks where no drop may stand, and why."""

    reason: str
    points: int


class Share(Record):
    """Hives that one piece of ground draws from one drop."""

    block: str
    latitude_deg: float
    longitude_deg: float
    acres: float
    """Of the whole piece."""
    drop: str
    hives: float


class Siting(Record):
    """A proposal for the drops of one contract."""

    contract: str
    hives: int
    acres: float
    unit_hives: int
    """Lifted at once."""
    drops: tuple[SitedDrop, ...]
    evenness: Evenness
    today: Evenness | None
    """With the drops that the operation has now; None when it has none, or they cannot hold the hives."""
    curve: tuple[CurvePoint, ...]
    gap: float
    bound_mean_ft: float
    """No siting with as many stops brings the mean distance under this, reckoned as the model does."""
    candidates: int
    way_ft: float
    """From the gate past all drops and back to it."""
    way_is_shortest: bool
    """Proven."""
    left_out: tuple[LeftOut, ...]
    shares: tuple[Share, ...]
    notes: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
