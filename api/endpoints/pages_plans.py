"""Pages of one plan: ask for it, watch it get better, stop it, look at what it says."""

from functools import lru_cache
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from starlette.responses import Response

from api.endpoints.pages_frame import OwnForm
from api.endpoints.pages_operations import OperationId, Operations, find_operation
from api.endpoints.views import JobId, Runner, find_job, find_plan_text
from api.jobs import JobRunner
from api.pages.curve import curve_svg
from api.pages.render import go_to, page
from api.pages.verdict import Verdict
from api.problems import ProblemError
from api.store.job import Job, JobAsked
from api.store.operation import KeptOperation, Origin
from api.store.operations import OperationStore
from routing.plan_record import Plan

pages_plans = APIRouter(include_in_schema=False)

Minutes = Annotated[float, Form(gt=0, allow_inf_nan=False)]
GOING = ("waiting", "running")


class Opened:
    """A plan that a page shows: its job, where it came from, and the plan itself."""

    def __init__(self, runner: JobRunner, job_id: str) -> None:
        store = OperationStore(runner.settings.store)
        self.job: Job = find_job(runner.store, job_id)
        self.origin: Origin | None = store.origin(job_id)
        self.kept: KeptOperation | None = store.get(self.origin.operation) if self.origin else None
        self._runner = runner

    @property
    def plan(self) -> Plan:
        """The plan; ``ProblemError`` (409) when there is none."""
        return read_plan(find_plan_text(self._runner.store, self.job.id))

    @property
    def links(self) -> tuple[tuple[str, str], ...]:
        """Names and addresses of the plan's pages."""
        here = f"/p/{self.job.id}"
        own = (("change", f"{here}/change"),) if self.kept else ()
        pages = (("verdict", here), ("season", f"{here}/season"), ("nights", f"{here}/nights"), ("orchards", f"{here}/orchards"))
        drivers = ("drive", f"/drive/{self.job.id}")
        return (*pages, ("odds", f"{here}/odds"), *own, ("sheets", f"{here}/sheets"), drivers)


@lru_cache(maxsize=8)
def read_plan(text: str) -> Plan:
    """Return the plan of a document; the last few stay read, since a person looks at many pages of one plan."""
    return Plan.model_validate_json(text)


@pages_plans.post("/o/{operation_id}/plan", dependencies=[OwnForm])
def ask_for_plan(operation_id: OperationId, store: Operations, runner: Runner, minutes: Minutes) -> Response:
    """Put a plan of the operation in line and watch it."""
    kept, operation = find_operation(store, operation_id)
    asked = JobAsked(
        operation_name=operation.name, operation=operation.model_dump_json(), seconds=minutes * 60.0, seed=0, steps=None
    )
    job = runner.ask(asked)
    store.link(Origin(job=job.id, operation=kept.id, operation_version=kept.version))
    return go_to(f"/p/{job.id}")


@pages_plans.get("/p/{job_id}")
def show_plan(request: Request, job_id: JobId, runner: Runner) -> Response:
    """Show a plan being made, or what the plan says."""
    opened = Opened(runner, job_id)
    if opened.job.state in GOING or not opened.job.has_plan:
        return page(request, "making.html.j2", opened=opened, **_making(runner, opened.job))
    return page(request, "verdict.html.j2", opened=opened, verdict=Verdict(opened.plan), **_making(runner, opened.job))


@pages_plans.get("/p/{job_id}/now")
def show_progress(request: Request, job_id: JobId, runner: Runner) -> Response:
    """Answer with the part of the page that changes while a plan is made."""
    job = find_job(runner.store, job_id)
    return page(request, "making_now.html.j2", job=job, **_making(runner, job))


@pages_plans.post("/p/{job_id}/enough", dependencies=[OwnForm])
def stop_planning(job_id: JobId, runner: Runner) -> Response:
    """Stop with the best plan so far."""
    find_job(runner.store, job_id)
    runner.cancel(job_id)
    return go_to(f"/p/{job_id}")


@pages_plans.post("/p/{job_id}/again", dependencies=[OwnForm])
def plan_again(job_id: JobId, runner: Runner, store: Operations, minutes: Minutes) -> Response:
    """Plan the same operation once more, for as long as is asked for."""
    job, document = find_job(runner.store, job_id), runner.store.operation(job_id)
    if document is None:
        raise ProblemError(HTTPStatus.NOT_FOUND, "not-found", "There is no plan with this id.")
    asked = JobAsked(
        operation_name=job.operation_name, operation=document, seconds=minutes * 60.0, seed=job.seed, steps=None
    )
    new, origin = runner.ask(asked), store.origin(job_id)
    if origin is not None:
        store.link(origin.model_copy(update={"job": new.id}))
    return go_to(f"/p/{new.id}")


@pages_plans.post("/p/{job_id}/remove", dependencies=[OwnForm])
def remove_plan(job_id: JobId, runner: Runner, store: Operations) -> Response:
    """Remove one plan."""
    origin = store.origin(job_id)
    runner.store.remove(job_id)
    return go_to(f"/o/{origin.operation}" if origin else "/")


def _making(runner: JobRunner, job: Job) -> dict[str, Any]:
    points = OperationStore(runner.settings.store).curve(job.id)
    until_s = job.seconds if job.state in GOING else job.progress.elapsed_s or 0.0
    ahead = len(runner.store.matching("state = 'waiting' AND asked_at < ?", job.asked_at.isoformat(), most=100))
    return {"curve": curve_svg(points, until_s=until_s), "going": job.state in GOING, "ahead": ahead}
