"""What the endpoints show of a job, and how they find it."""

from typing import Annotated

from fastapi import Depends, Path, Request
from pydantic import AwareDatetime

from api.jobs import JobRunner
from api.problems import ProblemError
from api.store.job import Job, JobProgress, State
from api.store.jobs import JobStore
from routing.plan_record import Plan
from routing.record import Record, column


class PlanLinks(Record):
    """Addresses of what there is to this job now."""

    job: str = column("this job", example="/plans/0f8e")
    plan: str | None = column("the plan, when there is one", example="/plans/0f8e/plan")
    sheets: str | None = column("list of the plan's sheets, when there is one", example="/plans/0f8e/sheets")
    cancel: str | None = column("POST here to stop with the best plan so far; null when it has ended")


class PlanJob(Record):
    """A plan that waits, is being made, or has been made."""

    id: str = column("name of the job; nobody can guess it", example="0f8e")
    operation: str = column("name of the operation", example="Example Bees")
    state: State = column(
        "waiting, running, done, cancelled (asked to stop; the best plan so far is kept), interrupted (the"
        " server stopped), failed",
        example="done",
    )
    asked_at: AwareDatetime = column("when it was asked for, UTC")
    started_at: AwareDatetime | None = column("when planning began")
    ended_at: AwareDatetime | None = column("when planning ended")
    seconds: float = column("planning time that was asked for", unit="s", example=60.0)
    seed: int = column("seed that was asked for", example=0)
    steps: int | None = column("most search steps that were asked for", example=None)
    progress: JobProgress = column("how far it is; each value is null until it is known")
    note: str = column("why it failed or was interrupted; else empty", example="")
    links: PlanLinks = column("where to go from here")


class PlanJobs(Record):
    """Jobs, the last asked first."""

    jobs: tuple[PlanJob, ...]
    waiting: int = column("jobs in line", example=0)
    running: int = column("jobs being planned", example=1)


def job_runner(request: Request) -> JobRunner:
    """Return the server's job runner."""
    runner: JobRunner = request.app.state.runner
    return runner


Runner = Annotated[JobRunner, Depends(job_runner)]
JobId = Annotated[str, Path(description="the id that POST /plans gave", max_length=64, examples=["0f8e"])]


def job_view(job: Job) -> PlanJob:
    """Return what a caller sees of ``job``."""
    here = f"/plans/{job.id}"
    links = PlanLinks(
        job=here,
        plan=f"{here}/plan" if job.has_plan else None,
        sheets=f"{here}/sheets" if job.has_plan else None,
        cancel=f"{here}/cancel" if job.state in ("waiting", "running") else None,
    )
    same = {"id", "state", "asked_at", "started_at", "ended_at", "seconds", "seed", "steps", "note"}
    shown = job.model_dump(include=same)
    return PlanJob(operation=job.operation_name, progress=job.progress, links=links, **shown)


def find_job(store: JobStore, job_id: str) -> Job:
    """Return the job; raise ``ProblemError`` (404) when there is none."""
    job = store.get(job_id)
    if job is None:
        raise _unknown()
    return job


def find_plan_text(store: JobStore, job_id: str) -> str:
    """Return the plan of a job as JSON; raise ``ProblemError`` when job (404) or plan (409) is missing."""
    job = find_job(store, job_id)
    text = store.plan(job_id)
    if text is None:
        detail = f"There is no plan: the job is {job.state}. {job.note}".strip()
        raise ProblemError(409, "no-plan-yet", detail)
    return text


def find_plan(store: JobStore, job_id: str) -> Plan:
    """Return the plan of a job, or raise as ``find_plan_text`` does."""
    return Plan.model_validate_json(find_plan_text(store, job_id))


def _unknown() -> ProblemError:
    return ProblemError(404, "not-found", "There is no plan with this id.")
