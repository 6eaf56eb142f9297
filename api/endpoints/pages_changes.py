"""Pages of changes: try one, see the new plan beside the old, take it on."""

from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.endpoints.drive_sheets import Records
from api.endpoints.pages_frame import OwnForm
from api.endpoints.pages_operations import Operations
from api.endpoints.pages_plans import Opened
from api.endpoints.views import JobId, Runner
from api.jobs import JobRunner
from api.pages.beside import Beside
from api.pages.change_form import ChangeForm, form_of
from api.pages.recorded import differing
from api.pages.render import go_to, page
from api.plannable import plannable
from api.problems import ProblemError, faults_of
from api.store.job import JobAsked
from api.store.operation import KeptOperation, Origin, VersionConflictError
from api.store.operations import OperationStore
from routing.changes.after import after
from routing.changes.changed import changed_operation
from routing.changes.replan import Replan
from routing.errors import OperationError
from routing.inputs.read import operation_from_json

pages_changes = APIRouter(include_in_schema=False)

_MOST_FIELDS = 40
_TOLD = "yes"


@pages_changes.get("/p/{job_id}/change")
def show_form(request: Request, job_id: JobId, runner: Runner, records: Records) -> Response:
    """Show the form of changes."""
    opened = _of_an_operation(runner, job_id)
    beside, operation = differing(opened.plan, job_id, records.of(job_id)), opened.plan.operation
    return page(request, "change.html.j2", opened=opened, operation=operation, form=ChangeForm(), faults=(), differing=beside)


@pages_changes.post("/p/{job_id}/change", dependencies=[OwnForm])
async def try_change(request: Request, job_id: JobId, runner: Runner, records: Records) -> Response:
    """Put the plan of the changed operation in line, or show what of the form cannot be used."""
    async with request.form(max_files=0, max_fields=_MOST_FIELDS) as fields:
        form = form_of(fields)
    opened = await run_in_threadpool(_of_an_operation, runner, job_id)
    try:
        return go_to(await run_in_threadpool(_put_in_line, runner, opened, form))
    except OperationError as error:
        beside = differing(opened.plan, job_id, await run_in_threadpool(records.of, job_id))
        about: dict[str, Any] = {"opened": opened, "operation": opened.plan.operation, "form": form, "differing": beside}
        return page(request, "change.html.j2", status=HTTPStatus.UNPROCESSABLE_ENTITY, faults=faults_of(error), **about)


@pages_changes.get("/p/{job_id}/beside")
def show_beside(request: Request, job_id: JobId, runner: Runner) -> Response:
    """Show a plan beside the one that was changed."""
    opened = _of_an_operation(runner, job_id)
    if opened.origin is None or opened.origin.earlier is None:
        raise ProblemError(HTTPStatus.NOT_FOUND, "not-found", "There is no earlier plan to stand beside this one.")
    earlier = Opened(runner, opened.origin.earlier)
    asked = Replan.model_validate_json(opened.origin.change)
    return page(
        request, "beside.html.j2", opened=opened, earlier=earlier, beside=Beside(earlier.plan, opened.plan), changes=asked.changes
    )


@pages_changes.post("/p/{job_id}/take-on", dependencies=[OwnForm])
def take_on(
    request: Request, job_id: JobId, store: Operations, runner: Runner, records: Records, version: Annotated[int, Form(ge=1)]
) -> Response:
    """Put the changed operation in the place of the one kept, unless that was changed since this page was opened."""
    opened = _of_an_operation(runner, job_id)
    document = runner.store.operation(job_id) or ""
    operation = operation_from_json(document, "operation")
    seen = opened.kept.model_copy(update={"version": version})
    try:
        kept = store.replace(seen, name=operation.name, document=document, source=opened.kept.source)
    except VersionConflictError as conflict:
        return page(request, "conflict.html.j2", status=HTTPStatus.CONFLICT, conflict=conflict)
    if records.in_force(kept.id) is not None:
        # Drivers were told to go by a plan: what was taken on replaces it.
        records.put_in_force(kept.id, job_id)
    return go_to(f"/o/{kept.id}")


class _OfAnOperation(Opened):
    """A plan of an operation that is kept here."""

    kept: KeptOperation


def _of_an_operation(runner: JobRunner, job_id: str) -> _OfAnOperation:
    opened = _OfAnOperation(runner, job_id)
    if opened.kept is None:
        raise ProblemError(HTTPStatus.NOT_FOUND, "not-found", "This plan is of no operation that is kept here.")
    return opened


def _put_in_line(runner: JobRunner, opened: _OfAnOperation, form: ChangeForm) -> str:
    """Put the changed operation in line and return the address of its plan."""
    plan, name = opened.plan, "the change"
    asked = Replan(next_night=form.next_night(plan.operation), changes=form.changes())
    # What nobody was told of yet may be planned afresh; what was told is kept where that is worth it.
    base = after(plan, asked.next_night) if form["told"] == _TOLD else plan.operation
    operation = plannable(changed_operation(base, asked.changes), name)
    job = runner.ask(JobAsked(
        operation_name=operation.name, operation=operation.model_dump_json(), seconds=opened.job.seconds, seed=opened.job.seed,
        steps=None,
    ))  # fmt: skip
    origin = Origin(
        job=job.id, operation=opened.kept.id, operation_version=opened.kept.version, earlier=opened.job.id,
        change=asked.model_dump_json(),
    )  # fmt: skip
    OperationStore(runner.settings.store).link(origin)
    return f"/p/{job.id}"
