"""Pages of operations: bring one in, look at what it holds, put another file in its place, remove it."""

import tempfile
from collections.abc import Awaitable, Callable
from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Path, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.endpoints.body import operation_in_form
from api.endpoints.pages_frame import OwnForm
from api.endpoints.views import Runner
from api.pages.faults import by_sheet
from api.pages.render import go_to, page
from api.pages.stock import Stock
from api.problems import KINDS, ProblemError, faults_of
from api.store.operation import KeptOperation, VersionConflictError
from api.store.operations import OperationStore
from routing.errors import OperationError
from routing.inputs.operation import Operation
from routing.inputs.read import operation_from_json

pages_operations = APIRouter(include_in_schema=False)

OperationId = Annotated[str, Path(max_length=64)]
_MOST_PARTS = 12


def operation_store(runner: Runner) -> OperationStore:
    """Return the store of operations; it is the file of the plans."""
    return OperationStore(runner.settings.store)


Operations = Annotated[OperationStore, Depends(operation_store)]


def find_operation(store: OperationStore, operation_id: str) -> tuple[KeptOperation, Operation]:
    """Return an operation as kept and as read; raise ``ProblemError`` (404) when there is none."""
    kept, document = store.get(operation_id), store.document(operation_id)
    if kept is None or document is None:
        raise ProblemError(HTTPStatus.NOT_FOUND, "not-found", "There is no operation with this id.")
    return kept, operation_from_json(document, kept.source)


@pages_operations.get("/")
def first_page(request: Request, store: Operations, runner: Runner) -> Response:
    """Show the operations kept here, and how to bring one in."""
    kept = [(one, store.jobs_of(one.id, most=1)) for one in store.every()]
    others = runner.store.matching("job.id NOT IN (SELECT job FROM origin)", most=20)
    return page(request, "first.html.j2", kept=kept, others=others)


@pages_operations.post("/bring-in", dependencies=[OwnForm])
async def bring_in(request: Request, store: Operations) -> Response:
    """Take a workbook or JSON document with its maps and distances, and keep it; or show every mistake in it."""

    async def keep(operation: Operation, source: str) -> KeptOperation:
        document = operation.model_dump_json()
        return await run_in_threadpool(store.keep, operation.name, document, source=source)

    return await _taken(request, keep, to="/bring-in", version=None)


@pages_operations.get("/bring-in")
def begin_again() -> Response:
    """Lead back to the form: the address of a form that was refused is no page of its own."""
    return go_to("/")


@pages_operations.get("/o/{operation_id}/replace")
def begin_replace_again(operation_id: OperationId) -> Response:
    """Lead back to the operation and its form."""
    return go_to(f"/o/{operation_id}#file")


@pages_operations.post("/bring-in-demo", dependencies=[OwnForm])
def bring_in_demo(store: Operations) -> Response:
    """Keep the invented demo, to look around in."""
    from fixtures.demo import demo_operation

    demo = demo_operation()
    return go_to(f"/o/{store.keep(demo.name, demo.model_dump_json(), source='demo').id}")


@pages_operations.get("/o/{operation_id}")
def show_operation(request: Request, operation_id: OperationId, store: Operations) -> Response:
    """Show hive groups, contracts, trucks and the plans made of them."""
    kept, operation = find_operation(store, operation_id)
    jobs = [(job, store.origin(job.id)) for job in store.jobs_of(operation_id)]
    return page(request, "operation.html.j2", kept=kept, stock=Stock(operation), jobs=jobs)


@pages_operations.post("/o/{operation_id}/replace", dependencies=[OwnForm])
async def replace_operation(request: Request, operation_id: OperationId, store: Operations) -> Response:
    """Put another file in the operation's place, unless it was changed since this page was opened."""
    kept, _ = await run_in_threadpool(find_operation, store, operation_id)
    seen = kept.model_copy(update={"version": await _version_in(request)})

    async def replace(operation: Operation, source: str) -> KeptOperation:
        document = operation.model_dump_json()
        return await run_in_threadpool(store.replace, seen, name=operation.name, document=document, source=source)

    try:
        return await _taken(request, replace, to=f"/o/{operation_id}/replace", version=seen.version)
    except VersionConflictError as conflict:
        return page(request, "conflict.html.j2", status=HTTPStatus.CONFLICT, conflict=conflict)


@pages_operations.post("/o/{operation_id}/remove", dependencies=[OwnForm])
def remove_operation(operation_id: OperationId, store: Operations, sure: Annotated[str, Form()] = "") -> Response:
    """Remove the operation with its plans, when the box is ticked."""
    if sure != "yes":
        return go_to(f"/o/{operation_id}#remove")
    store.remove(operation_id)
    return go_to("/")


async def _version_in(request: Request) -> int:
    # Read here and closed where the files are taken: the request keeps its form.
    text = (await request.form(max_files=_MOST_PARTS, max_fields=_MOST_PARTS)).get("version")
    if not isinstance(text, str) or not text.isascii() or not text.isdigit() or len(text) > 9:
        raise ProblemError(HTTPStatus.BAD_REQUEST, "bad-request", KINDS["bad-request"])
    return int(text)


async def _taken(
    request: Request, keep: Callable[[Operation, str], Awaitable[KeptOperation]], *, to: str, version: int | None
) -> Response:
    """Read the files of a form and keep them; answer with the operation's page, or with every mistake."""
    async with request.form(max_files=_MOST_PARTS, max_fields=_MOST_PARTS) as form:
        with tempfile.TemporaryDirectory(prefix="bloomhaul-") as folder:
            try:
                operation, source = await operation_in_form(form, folder)
            except OperationError as error:
                sheets = by_sheet(faults_of(error))
                return page(request, "mistakes.html.j2", status=422, sheets=sheets, to=to, version=version)
    return go_to(f"/o/{(await keep(operation, source)).id}")
