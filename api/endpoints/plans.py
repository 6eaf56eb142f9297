"""Ask for a plan, watch it being made, fetch it, stop it, remove it."""

from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.responses import Response

from api.endpoints.body import OperationGiven
from api.endpoints.documents import operation_body
from api.endpoints.views import JobId, PlanJob, PlanJobs, Runner, find_job, find_plan_text, job_view
from api.problems import documented
from api.store.job import JobAsked
from routing.plan_record import Plan

plans = APIRouter(prefix="/plans", tags=["plans"])

Seconds = Annotated[float, Query(gt=0, allow_inf_nan=False, description="planning time [s]", examples=[60.0])]
Seed = Annotated[int, Query(ge=0, le=2**31 - 1, description="same operation, seed and steps: same plan", examples=[0])]
Steps = Annotated[int | None, Query(ge=1, le=10**9, description="most search steps; left out: time decides", examples=[200])]

_BODY: dict[str, Any] = {"requestBody": operation_body()}


@plans.post(
    "",
    status_code=202,
    response_model=PlanJob,
    openapi_extra=_BODY,
    summary="Ask for a plan of an operation",
    responses=documented(400, 403, 413, 415, 422, 429),
)
def ask_for_plan(
    operation: OperationGiven,
    runner: Runner,
    response: Response,
    *,
    seconds: Seconds = 60.0,
    seed: Seed = 0,
    steps: Steps = None,
) -> PlanJob:
    """Check the operation and put it in line. The answer's Location is where to watch it being planned."""
    document = operation.model_dump_json()
    job = runner.ask(JobAsked(operation_name=operation.name, operation=document, seconds=seconds, seed=seed, steps=steps))
    response.headers["Location"] = f"/plans/{job.id}"
    return job_view(job)


@plans.get("", summary="List the plans, the last asked first", responses=documented(422))
def list_plans(
    runner: Runner,
    most: Annotated[int, Query(ge=1, le=200, description="most jobs listed")] = 50,
    skip: Annotated[int, Query(ge=0, le=10**6, description="jobs left out before the first")] = 0,
) -> PlanJobs:
    """List the jobs of this server's store, with their states."""
    jobs = tuple(job_view(job) for job in runner.store.newest(most, skip=skip))
    return PlanJobs(jobs=jobs, waiting=runner.store.count("waiting"), running=runner.store.count("running"))


@plans.get("/{job_id}", summary="Watch a plan being made", responses=documented(404, 422))
def watch_plan(job_id: JobId, runner: Runner) -> PlanJob:
    """Tell its state, cost, proven bound and gap so far, and where its plan is once there is one."""
    return job_view(find_job(runner.store, job_id))


@plans.get(
    "/{job_id}/plan",
    response_model=Plan,
    summary="Fetch the plan",
    responses=documented(404, 409, 422),
)
def fetch_plan(job_id: JobId, runner: Runner) -> Response:
    """Answer with the plan, the operation within it; the same document as the command line's plan.json."""
    return Response(find_plan_text(runner.store, job_id), media_type="application/json")


@plans.post(
    "/{job_id}/cancel",
    status_code=202,
    summary="Stop, and keep the best plan so far",
    responses=documented(403, 404, 422),
)
def cancel_plan(job_id: JobId, runner: Runner) -> PlanJob:
    """Ask a job to stop: it ends as 'cancelled' with the best plan found. An ended job stays as it is."""
    find_job(runner.store, job_id)
    runner.cancel(job_id)
    return job_view(find_job(runner.store, job_id))


@plans.delete(
    "/{job_id}",
    status_code=204,
    summary="Remove a plan",
    responses=documented(403, 404, 422),
)
def remove_plan(job_id: JobId, runner: Runner) -> None:
    """Remove a job with its operation and its plan. One that is being planned stops."""
    find_job(runner.store, job_id)
    runner.store.remove(job_id)
