"""What drivers recorded on a plan's sheets."""

from fastapi import APIRouter

from api.endpoints.drive_sheets import Records
from api.endpoints.views import JobId, Runner, find_job
from api.problems import documented
from api.store.record import DriverRecord
from routing.record import Record, column

records = APIRouter(prefix="/plans", tags=["plans"])


class PlanRecords(Record):
    """What was recorded on all sheets of a plan, in the order of their times."""

    plan: bool = column("false when the plan was removed since", example=True)
    records: tuple[DriverRecord, ...]


@records.get("/{job_id}/records", summary="What drivers recorded", responses=documented(404, 422))
def list_records(job_id: JobId, runner: Runner, records: Records) -> PlanRecords:
    """List what drivers recorded on the plan's sheets; records outlive a plan that is removed."""
    found = records.of(job_id)
    if not found:
        find_job(runner.store, job_id)
    return PlanRecords(plan=runner.store.get(job_id) is not None, records=found)
