"""Strength of an operation's hives: what to open, what passes, what to send; and its histogram."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import Response

from api.endpoints.body import OperationGiven
from api.endpoints.documents import operation_body
from api.endpoints.sheets import SHEET_POLICY
from api.problems import documented
from routing.sheets.strength_report import StrengthReport

strength = APIRouter(tags=["checks"])

Group = Annotated[str | None, Query(description="one hive group; left out, all", max_length=30, examples=["H1"])]
OneContract = Annotated[
    str | None,
    Query(description="one contract; left out, all (of a histogram: the first)", max_length=60, examples=["Early cherries"]),
]


@strength.post(
    "/operations/strength",
    summary="Tell how strong hives are, and which lots pass",
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 413, 415, 422),
)
def tell_strength(operation: OperationGiven, group: Group = None, contract: OneContract = None) -> StrengthReport:
    """Answer with hives to open, strength on each contract's first night, chances to pass, and what to send.

    With a group or a contract named, joining weak colonies and splitting strong ones is worked out as well. Chances are
    those of the grower's inspection as the contract samples it; frames of a plan count on growth only as far as the
    operation's constant growth_counted_share says.
    """
    from routing.sheets.strength_report import strength_report

    return strength_report(operation, group=group, contract=contract)


@strength.post(
    "/operations/strength.svg",
    summary="Draw strength against a contract's line",
    response_class=Response,
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 413, 415, 422)
    | {200: {"description": "The histogram.", "content": {"image/svg+xml": {"schema": {"type": "string"}}}}},
)
def draw_strength(operation: OperationGiven, contract: OneContract = None) -> Response:
    """Answer with a histogram of every group: the average asked, the floor, the mean and the frames counted on.

    With no contract named, the line is that of the first.
    """
    from routing.sheets.strength_figure import strength_figure

    first = operation.contracts[0].name if operation.contracts else ""
    headers = {"Content-Security-Policy": SHEET_POLICY}
    drawn = strength_figure(operation, first if contract is None else contract)
    return Response(drawn, media_type="image/svg+xml", headers=headers)
