"""Check what was typed in, without planning: an operation, or one load."""

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Request
from starlette.responses import Response

from api.endpoints.body import JsonGiven, operation_given
from api.endpoints.documents import document_body, operation_body
from api.endpoints.sheets import SHEET_POLICY
from api.problems import ProblemError, documented, faults_of
from routing.errors import OperationError
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.loads.load import Load
from routing.record import Record, column
from routing.sheets.words import counted

checks = APIRouter(tags=["checks"])


class OperationCheck(Record):
    """What an operation holds, or all that is wrong with it."""

    usable: bool = column("true when it can be planned", example=True)
    name: str = column("name of the operation; empty when it has faults", example="Tiny Bees")
    yards: int = column("yards", example=2)
    hives: int = column("hives in all groups", unit="hives", example=30)
    contracts: int = column("contracts", example=2)
    colonies: int = column("colonies promised in all contracts", unit="colonies", example=40)
    trucks: int = column("trucks", example=1)
    faults: tuple[Fault, ...] = column("every fault, in the order of the tables")


@checks.post(
    "/operations/check",
    summary="Check an operation, without planning it",
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 413, 415),
)
async def check_operation(request: Request) -> OperationCheck:
    """Tell what the operation holds, or every fault that it has: where, what was found, what is allowed."""
    try:
        return _well(await operation_given(request))
    except OperationError as error:
        return OperationCheck(
            usable=False,
            name="",
            yards=0,
            hives=0,
            contracts=0,
            colonies=0,
            trucks=0,
            faults=faults_of(error),
        )


@checks.post(
    "/loads/check",
    response_model=Load,
    summary="Check one load typed in by hand",
    openapi_extra={"requestBody": document_body("LoadDocument")},
    responses=documented(400, 403, 413, 415, 422),
)
def check_load(text: JsonGiven) -> Load:
    """Answer with the load and every check made on it; one that could not be made is 'unknown'."""
    from routing.loads.typed import load_from_json

    try:
        return load_from_json(text, "body")
    except OperationError as error:
        faults = faults_of(error)
        detail = f"The load has {counted(len(faults), 'fault')}."
        raise ProblemError(422, "load-faults", detail, faults=faults) from error


@checks.post(
    "/loads/sheet.{format}",
    summary="Print the load sheet of one load typed in by hand",
    response_class=Response,
    openapi_extra={"requestBody": document_body("LoadDocument")},
    responses=documented(400, 403, 404, 413, 415, 422)
    | {
        200: {
            "description": "One page as PDF, or the same as HTML.",
            "content": {
                "application/pdf": {"schema": {"type": "string", "format": "binary"}},
                "text/html": {"schema": {"type": "string"}},
            },
        }
    },
)
def print_load(
    text: JsonGiven, format: Annotated[Literal["pdf", "html"], Path(description="pdf or html", examples=["pdf"])]
) -> Response:
    """Answer with the load sheet: deck from above and from the side, axle groups, straps, drops and every check."""
    from api.files.load_sheets import MEDIA_TYPES, typed_load_sheet
    from routing.loads.typed import document_from_json

    try:
        document = document_from_json(text, "body")
    except OperationError as error:
        faults = faults_of(error)
        raise ProblemError(422, "load-faults", f"The load has {counted(len(faults), 'fault')}.", faults=faults) from error
    headers = {"Content-Security-Policy": SHEET_POLICY}
    return Response(typed_load_sheet(document, format), media_type=MEDIA_TYPES[format], headers=headers)


def _well(operation: Operation) -> OperationCheck:
    return OperationCheck(
        usable=True,
        name=operation.name,
        yards=len(operation.yards),
        hives=sum(group.hives for group in operation.hive_groups),
        contracts=len(operation.contracts),
        colonies=sum(contract.colonies for contract in operation.contracts),
        trucks=len(operation.trucks),
        faults=(),
    )
