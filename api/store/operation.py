"""An operation as the store keeps it, and where a plan came from."""

from pydantic import AwareDatetime

from routing.errors import BloomhaulError
from routing.record import Record


class KeptOperation(Record):
    """One operation of the store, without its document."""

    id: str
    name: str
    source: str
    """Name of the file that it was read from."""
    version: int
    """1 when first kept; one more with every change."""
    kept_at: AwareDatetime
    changed_at: AwareDatetime


class Origin(Record):
    """Where a plan came from: which operation, in which version, and the plan that it stands beside."""

    job: str
    operation: str
    operation_version: int
    earlier: str | None = None
    """The job of the plan that was changed."""
    change: str = ""
    """The change as JSON; empty when the operation was planned as it is."""


class ProgressPoint(Record):
    """How far a job was at one moment."""

    elapsed_s: float
    cost_usd: float | None
    lower_bound_usd: float | None
    unkept_colonies: int | None


class VersionConflictError(BloomhaulError):
    """Somebody changed the operation since it was looked at; ``kept`` is how it stands now."""

    def __init__(self, kept: KeptOperation, seen: int) -> None:
        super().__init__(f"The operation is at version {kept.version} by now; version {seen} was to be changed.")
        self.kept, self.seen = kept, seen
