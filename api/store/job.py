"""One planning job, as the store keeps it."""

from typing import Literal

from pydantic import AwareDatetime

from routing.record import Record

State = Literal["waiting", "running", "done", "cancelled", "interrupted", "failed"]
StopWhy = Literal["cancel", "shutdown"]


class JobAsked(Record):
    """What a caller asked to have planned."""

    operation_name: str
    operation: str
    """The whole operation, as JSON."""
    seconds: float
    seed: int
    steps: int | None


class JobProgress(Record):
    """How far the planning is. None: not known yet."""

    elapsed_s: float | None
    cost_usd: float | None
    lower_bound_usd: float | None
    gap: float | None
    unkept_colonies: int | None
    note: str


class Job(Record):
    """One row of the store, without its operation and its plan."""

    id: str
    operation_name: str
    seconds: float
    seed: int
    steps: int | None
    state: State
    stop_why: StopWhy | None
    asked_at: AwareDatetime
    started_at: AwareDatetime | None
    ended_at: AwareDatetime | None
    progress: JobProgress
    note: str
    """Why it failed or was interrupted; else empty."""
    has_plan: bool
