"""When crops bloom: stages with their spread, nights in and out, chances, chill and heat; and its figure."""

from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.responses import Response

from api.endpoints.body import OperationGiven
from api.endpoints.documents import operation_body
from api.endpoints.sheets import SHEET_POLICY
from api.endpoints.views import JobId, Runner, find_plan
from api.problems import ProblemError, documented
from routing.errors import OperationError
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.operation import Operation
from routing.record import Record, column
from routing.sheets.bloom_report import BloomReport

bloom = APIRouter(tags=["bloom"])

OneContract = Annotated[str | None, Query(description="one contract; left out, all", max_length=60, examples=["Early cherries"])]
Drawn = Annotated[str | None, Query(description="the one drawn; left out, the first", max_length=60, examples=["Early cherries"])]
_SVG: dict[int | str, dict[str, Any]] = {
    200: {"description": "The figure.", "content": {"image/svg+xml": {"schema": {"type": "string"}}}}
}


class BloomReports(Record):
    """Bloom of an operation's contracts."""

    reports: tuple[BloomReport, ...] = column("one for each contract whose bloom can be foretold")
    faults: tuple[Fault, ...] = column("why the bloom of another cannot be")


@bloom.post(
    "/operations/bloom",
    summary="Tell when crops bloom, and how sure that is",
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 404, 413, 415, 422),
)
def tell_bloom(operation: OperationGiven, contract: OneContract = None) -> BloomReports:
    """Answer with each contract's stages, their spread, nights in and out and why, chances by night, chill and heat.

    The operation's table of weather, or the files sent as 'weather', are counted into chill and heat; stages and
    percentages that were seen count before all else. Without weather, or without a heat sum, dates with a wide spread.
    """
    return _reports(operation, contract)


@bloom.post(
    "/operations/bloom.svg",
    summary="Draw a contract's chill, heat and stages",
    response_class=Response,
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 404, 413, 415, 422) | _SVG,
)
def draw_bloom(operation: OperationGiven, contract: Drawn = None) -> Response:
    """Answer with the curves of chill and heat, seen and to come, and a band for every stage."""
    return _figure(operation, contract)


@bloom.get("/plans/{job_id}/bloom", summary="Tell the bloom that a plan rests on", responses=documented(404, 409, 422))
def tell_bloom_of_plan(job_id: JobId, runner: Runner, contract: OneContract = None) -> BloomReports:
    """Answer as for an operation, from what the plan itself holds."""
    return _reports(find_plan(runner.store, job_id).operation, contract)


@bloom.get(
    "/plans/{job_id}/bloom.svg",
    summary="Draw the bloom that a plan rests on",
    response_class=Response,
    responses=documented(404, 409, 422) | _SVG,
)
def draw_bloom_of_plan(job_id: JobId, runner: Runner, contract: Drawn = None) -> Response:
    """Answer with the figure of one contract, from what the plan itself holds."""
    return _figure(find_plan(runner.store, job_id).operation, contract)


def _reports(operation: Operation, contract: str | None) -> BloomReports:
    from routing.sheets.bloom_report import bloom_report

    wanted = operation.contracts if contract is None else (_contract(operation, contract),)
    reports: list[BloomReport] = []
    faults: list[Fault] = []
    for one in wanted:
        try:
            reports.append(bloom_report(operation, one))
        except OperationError as error:
            faults += [fault for fault in error.faults if isinstance(fault, Fault)]
    return BloomReports(reports=tuple(reports), faults=tuple(faults))


def _figure(operation: Operation, contract: str | None) -> Response:
    from routing.sheets.bloom_figure import bloom_figure

    if contract is None and not operation.contracts:
        raise ProblemError(404, "not-found", "The operation has no contract whose bloom could be drawn.")
    name = operation.contracts[0].name if contract is None else _contract(operation, contract).name
    figure = bloom_figure(operation, name)
    return Response(figure, media_type="image/svg+xml", headers={"Content-Security-Policy": SHEET_POLICY})


def _contract(operation: Operation, name: str) -> Contract:
    """Return a contract by its name, whatever its capitals; raise ``ProblemError`` (404) when there is none."""
    folded = " ".join(name.split()).casefold()
    found = next((one for one in operation.contracts if one.name.casefold() == folded), None)
    if found is None:
        words = with_nearest("", name, [one.name for one in operation.contracts])
        raise ProblemError(404, "not-found", f"There is no contract called {shown(name)}{words}.")
    return found
