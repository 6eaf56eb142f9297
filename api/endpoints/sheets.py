"""The sheets of a plan: what there is, and each one in each format."""

from typing import Annotated

from fastapi import APIRouter, Path
from starlette.responses import Response

from api.endpoints.views import JobId, Runner, find_job, find_plan
from api.problems import ProblemError, documented
from routing.record import Record, column

sheets = APIRouter(prefix="/plans/{job_id}/sheets", tags=["sheets"])

_SHOWN_IN_PLACE = ("pdf", "html", "txt", "json", "svg")
SHEET_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
)
"""A sheet is one page with its style and figures in it; it never runs a script."""


class SheetFormat(Record):
    """One sheet in one format."""

    format: str = column("ending of the file's name", example="pdf")
    media_type: str = column("media type of the answer", example="application/pdf")
    href: str = column("where to get it", example="/plans/0f8e/sheets/2027-04-24-old-blue.pdf")


class Sheet(Record):
    """One sheet with its formats."""

    name: str = column(
        "plan, summary, season, checks, moves, NIGHT-loads, NIGHT-yards or NIGHT-TRUCK", example="2027-04-24-old-blue"
    )
    title: str = column("what it is, in words", example="Drop sheet, 2027-04-24 Old blue")
    formats: tuple[SheetFormat, ...] = column("formats that it can be had in")


class Sheets(Record):
    """Every sheet of a plan."""

    sheets: tuple[Sheet, ...]


@sheets.get("", summary="List the sheets of a plan", responses=documented(404, 409, 422))
def list_sheets(job_id: JobId, runner: Runner) -> Sheets:
    """List the drop sheet of every truck-night, the yard sheets of every night, the moves, with addresses."""
    from api.files.sheets import MEDIA_TYPES, sheet_names, truck_night_names

    plan = find_plan(runner.store, job_id)
    nights = {name: night for night, name in truck_night_names(plan).items()}
    return Sheets(
        sheets=tuple(
            Sheet(
                name=name,
                title=_title(name, nights.get(name)),
                formats=tuple(
                    SheetFormat(format=one, media_type=MEDIA_TYPES[one], href=f"/plans/{job_id}/sheets/{name}.{one}")
                    for one in formats
                ),
            )
            for name, formats in sheet_names(plan).items()
        )
    )


@sheets.get(
    "/{name}.{format}",
    summary="Fetch one sheet",
    response_class=Response,
    responses=documented(404, 409, 422)
    | {
        200: {
            "description": "The sheet; its media type follows its format.",
            "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
        }
    },
)
def fetch_sheet(
    job_id: JobId,
    runner: Runner,
    name: Annotated[str, Path(description="name of the sheet, as listed", max_length=120, examples=["moves"])],
    format: Annotated[str, Path(description="its format, as listed", max_length=10, examples=["csv"])],
) -> Response:
    """Answer with the sheet; pages are shown in place, tables and routes are handed out as files."""
    from api.files.sheets import MEDIA_TYPES, NoSuchSheetError, render

    plan, made_at = find_plan(runner.store, job_id), find_job(runner.store, job_id).ended_at
    try:
        content = render(plan, name, format, stamped=made_at)
    except NoSuchSheetError as error:
        raise ProblemError(404, "no-such-sheet", str(error)) from error
    place = "inline" if format in _SHOWN_IN_PLACE else "attachment"
    headers = {
        "Content-Disposition": f'{place}; filename="{name}.{format}"',
        "Content-Security-Policy": SHEET_POLICY,
    }
    return Response(content, media_type=MEDIA_TYPES[format], headers=headers)


def _title(name: str, truck_night: str | None) -> str:
    if truck_night is not None:
        return f"Drop sheet, {truck_night}"
    if name.endswith("-yards"):
        return f"Yard sheets, night of {name.removesuffix('-yards')}"
    if name.endswith("-loads"):
        return f"Load sheets, night of {name.removesuffix('-loads')}"
    whole = {"plan": "The whole plan", "summary": "Summary", "season": "Season calendar", "checks": "Every check"}
    return whole.get(name, "All moves")
