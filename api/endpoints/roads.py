"""The ways of an operation or a plan: miles, minutes, where they come from, and what was found about them."""

from typing import Annotated

from fastapi import APIRouter, Query

from api.endpoints.body import OperationGiven
from api.endpoints.documents import operation_body
from api.endpoints.views import JobId, Runner, find_plan
from api.problems import ProblemError, documented
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.operation import Operation
from routing.roads.listing import Ways, ways_of

roads = APIRouter(tags=["roads"])

ForTruck = Annotated[
    str, Query(description="truck that the ways are for; empty: those that hold for every truck", max_length=40, examples=[""])
]


@roads.post(
    "/operations/roads",
    summary="List the ways between all places of an operation",
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 413, 415, 422),
)
def list_ways(operation: OperationGiven, truck: ForTruck = "") -> Ways:
    """Answer with every way, its basis, closed places, signs to look at, and every check made on the ways.

    The server has no map: ways that were measured (``bloomhaul roads measure``) come in the operation's own tables.
    """
    return _ways(operation, truck)


@roads.get("/plans/{job_id}/roads", summary="List the ways that a plan was made with", responses=documented(404, 409, 422))
def list_ways_of_plan(job_id: JobId, runner: Runner, truck: ForTruck = "") -> Ways:
    """Answer with every way between the places of the plan's operation."""
    return _ways(find_plan(runner.store, job_id).operation, truck)


def _ways(operation: Operation, truck: str) -> Ways:
    names = [one.name for one in operation.trucks]
    if truck and truck not in names:
        allowed = with_nearest("a truck of the operation", truck, names)
        fault = Fault(file="query", path="truck", found=shown(truck), allowed=allowed)
        raise ProblemError(422, "bad-parameter", "1 value cannot be used.", faults=(fault,))
    return ways_of(operation, truck=truck)
