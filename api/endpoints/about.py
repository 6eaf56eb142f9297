"""What a caller needs before the first plan: health, the schema, the template, what a problem means."""

from typing import Annotated, Any

from fastapi import APIRouter, Path
from starlette.responses import Response

from api.endpoints.views import Runner
from api.problems import KINDS, ProblemError, documented, title
from api.settings import program_version
from routing.record import Record, column

about = APIRouter(tags=["about"])

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class Health(Record):
    """Whether the server works, and how much it has to do."""

    status: str = column("always 'ok' when there is an answer", example="ok")
    version: str = column("version of the program", example="0.1.0")
    waiting: int = column("plans in line", example=0)
    running: int = column("plans being made", example=1)


class ProblemKind(Record):
    """What a kind of problem means."""

    type: str = column("its address", example="/problems/not-found")
    title: str = column("its short name", example="Not found")
    meaning: str = column("what it means", example="There is nothing at this address.")


@about.get("/health", summary="Is the server well?")
def health(runner: Runner) -> Health:
    """Answer when the server and its store work, with the number of plans in line and being made."""
    store = runner.store
    return Health(status="ok", version=program_version(), waiting=store.count("waiting"), running=store.count("running"))


@about.get(
    "/schema/operation",
    summary="JSON Schema of an operation",
    response_class=Response,
    responses={
        200: {
            "description": "JSON Schema, draft 2020-12",
            "content": {"application/schema+json": {"schema": {"type": "object"}}},
        },
    },
)
def operation_schema_document() -> Response:
    """Answer with the JSON Schema of an operation: every field with its meaning, unit and example."""
    import json

    from routing.inputs.schema import operation_schema

    return Response(json.dumps(operation_schema(), indent=1), media_type="application/schema+json")


@about.get(
    "/template.xlsx",
    summary="Workbook to fill in",
    response_class=Response,
    responses={
        200: {
            "description": "Workbook",
            "content": {XLSX: {"schema": {"type": "string", "format": "binary"}}},
        },
    },
)
def template() -> Response:
    """Answer with an empty workbook: a sheet a table, units in the headings, a worked example row in each."""
    from api.files.workbook import template_workbook

    return Response(template_workbook(), media_type=XLSX, headers=_as_file("bloomhaul-template.xlsx"))


@about.get("/problems", summary="List the kinds of problem")
def list_problems() -> tuple[ProblemKind, ...]:
    """List every kind of problem that this server answers with, and what it means."""
    return tuple(_kind(kind) for kind in KINDS)


@about.get("/problems/{kind}", summary="What a kind of problem means", responses=documented(404, 422))
def explain_problem(
    kind: Annotated[str, Path(description="last part of a problem's type", examples=["not-found"])],
) -> ProblemKind:
    """Tell what a problem's type means."""
    if kind not in KINDS:
        raise ProblemError(404, "not-found", "There is no kind of problem of that name.")
    return _kind(kind)


def _kind(kind: str) -> ProblemKind:
    return ProblemKind(type=f"/problems/{kind}", title=title(kind), meaning=KINDS[kind])


def _as_file(name: str) -> dict[str, Any]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}
