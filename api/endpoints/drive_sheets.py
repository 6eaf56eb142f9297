"""Find a driver's sheet, and tell how it stands: in force, replaced by a newer plan, or gone."""

from dataclasses import dataclass
from functools import lru_cache
from http import HTTPStatus
from typing import Annotated

from fastapi import Depends

from api.endpoints.pages_plans import Opened, read_plan
from api.endpoints.views import Runner, find_plan_text
from api.jobs import JobRunner
from api.pages.drive import DrivePage, SheetState, handed, truck_night_called, zones_of
from api.problems import ProblemError
from api.store.operations import OperationStore
from api.store.record import DriverRecord, Handed
from api.store.records import RecordStore
from routing.nights.tour import TruckNight
from routing.sheets.drop_sheet import drop_sheet
from routing.sheets.sheet_record import DropSheet


def record_store(runner: Runner) -> RecordStore:
    """Return the store of what drivers record."""
    return RecordStore(runner.settings.store)


Records = Annotated[RecordStore, Depends(record_store)]


@dataclass(frozen=True)
class Found:
    """A sheet that was asked for."""

    handed: Handed
    """As it is now, or as it was last opened when it is gone."""
    state: SheetState
    sheet: DropSheet | None
    """None when it is gone."""
    truck_night: TruckNight | None
    zones: dict[str, str]

    def page(self, records: tuple[DriverRecord, ...]) -> DrivePage:
        """Return the page of a sheet that is there."""
        assert self.sheet is not None
        assert self.truck_night is not None
        return DrivePage(
            job=self.handed.job, name=self.handed.sheet, sheet=self.sheet, records=records, state=self.state, zones=self.zones,
            truck_night=self.truck_night,
        )  # fmt: skip


def find_sheet(job_id: str, name: str, *, runner: JobRunner, records: RecordStore) -> Found:
    """Return the sheet; one that is gone is found when a driver has opened it before.

    Raises
    ------
    ProblemError
        If there is none, and none was ever opened (404).
    """
    job = runner.store.get(job_id)
    if job is not None and job.has_plan:
        read = _read_sheet(find_plan_text(runner.store, job_id), job_id, name)
        if read is not None:
            state = _state(Opened(runner, job_id), name, version=read.handed.version, runner=runner, records=records)
            return Found(read.handed, state, read.sheet, read.truck_night, read.zones)
    before = records.handed(job_id, name)
    if not before:
        raise ProblemError(HTTPStatus.NOT_FOUND, "not-found", "There is no sheet at this address.")
    return Found(before[-1], SheetState("gone"), None, None, {})


@dataclass(frozen=True)
class _Read:
    handed: Handed
    sheet: DropSheet
    truck_night: TruckNight
    zones: dict[str, str]


@lru_cache(maxsize=16)
def _read_sheet(text: str, job_id: str, name: str) -> _Read | None:
    # All telephones of a night ask for the same few sheets, of which each takes a while to write.
    plan = read_plan(text)
    truck_night = truck_night_called(plan, name)
    if truck_night is None:
        return None
    sheet = drop_sheet(plan, truck_night.id)
    return _Read(handed(job_id, name, plan=plan, sheet=sheet), sheet, truck_night, zones_of(plan))


def is_there(runner: JobRunner, handed: Handed) -> bool:
    """Tell whether a sheet that was handed out is still one of its plan's."""
    text = runner.store.plan(handed.job)
    return text is not None and truck_night_called(read_plan(text), handed.sheet) is not None


def state_of(found: Found) -> dict[str, str]:
    """Return how a sheet stands, as a telephone reads it."""
    return {"standing": found.state.standing, "version": found.state.version, "newer": found.state.newer}


def plan_in_force(opened: Opened, records: RecordStore) -> bool:
    """Tell whether somebody said that drivers go by this plan."""
    return opened.kept is not None and records.in_force(opened.kept.id) == opened.job.id


def _state(opened: Opened, name: str, *, version: str, runner: JobRunner, records: RecordStore) -> SheetState:
    if opened.kept is None or opened.origin is None:
        return SheetState("stands", version)
    chosen = records.in_force(opened.kept.id)
    if chosen == opened.job.id:
        return SheetState("stands", version)
    if chosen is not None:
        return SheetState("replaced", version, _newer(runner, chosen, name))
    store = OperationStore(runner.settings.store)
    current = opened.origin.operation_version == opened.kept.version
    # A change that was taken on was planned from the version before: its own document tells.
    if current or runner.store.operation(opened.job.id) == store.document(opened.kept.id):
        return SheetState("stands", version)
    return SheetState("replaced", version)


def _newer(runner: JobRunner, job_id: str, name: str) -> str:
    if not (job := runner.store.get(job_id)) or not job.has_plan:
        return ""
    found = truck_night_called(Opened(runner, job_id).plan, name)
    return f"/drive/{job_id}/{name}" if found else f"/drive/{job_id}"
