"""Plan anew after a change, and see two plans side by side."""

from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.endpoints.body import JsonGiven
from api.endpoints.documents import document_body
from api.endpoints.plans import Seconds, Seed, Steps
from api.endpoints.views import JobId, PlanJob, Runner, find_plan, job_view
from api.jobs import JobRunner
from api.plannable import plannable
from api.problems import documented
from api.store.job import Job, JobAsked
from routing.changes.after import after
from routing.changes.changed import changed_operation
from routing.changes.compare import Comparison, compare
from routing.changes.replan import Replan, replan_from_json

changes = APIRouter(prefix="/plans", tags=["changes"])

_BODY: dict[str, Any] = {"requestBody": document_body("Replan")}


@changes.post(
    "/{job_id}/changes",
    status_code=202,
    summary="Ask for the plan anew, with something changed",
    openapi_extra=_BODY,
    responses=documented(400, 403, 404, 409, 413, 415, 422, 429),
)
async def plan_anew(
    job_id: JobId, document: JsonGiven, runner: Runner, response: Response, *, seconds: Seconds = 60.0, seed: Seed = 0,
    steps: Steps = None,
) -> PlanJob:
    """Put a new plan in line: what the old one did before the night given is done, the rest is told, changes are made."""
    asked = replan_from_json(document, "body")
    job = await run_in_threadpool(put_in_line, runner, job_id, asked, (seconds, seed, steps))
    response.headers["Location"] = f"/plans/{job.id}"
    return job_view(job)


def put_in_line(runner: JobRunner, job_id: str, asked: Replan, effort: tuple[float, int, int | None]) -> Job:
    """Put the plan of a job in line once more, with its changes; return the new job."""
    told = after(find_plan(runner.store, job_id), asked.next_night)
    operation = plannable(changed_operation(told, asked.changes), "body")
    seconds, seed, steps = effort
    return runner.ask(JobAsked(
        operation_name=operation.name, operation=operation.model_dump_json(), seconds=seconds, seed=seed, steps=steps,
    ))  # fmt: skip


@changes.get(
    "/{job_id}/changes",
    summary="See what a plan does otherwise than an earlier one",
    responses=documented(404, 409, 422),
)
def compare_plans(
    job_id: JobId,
    runner: Runner,
    since: Annotated[str, Query(description="id of the earlier plan", max_length=64, examples=["0f8e"])],
) -> Comparison:
    """Tell truck-nights, deliveries and lines of the bill that are not as they were."""
    return compare(find_plan(runner.store, since), find_plan(runner.store, job_id))
