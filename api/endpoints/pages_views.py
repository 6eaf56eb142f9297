"""Pages that look into a plan: season, nights, loads, orchards, checks, sheets; and the lie of the land."""

import datetime as dt
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request
from starlette.responses import JSONResponse, Response

from api.endpoints.about import XLSX
from api.endpoints.drive_sheets import Records
from api.endpoints.pages_operations import OperationId, Operations, find_operation
from api.endpoints.pages_plans import Opened
from api.endpoints.pages_reckonings import Reckonings, latest_odds
from api.endpoints.views import JobId, Runner
from api.pages.land import land_geojson, land_of, orchard_geojson
from api.pages.load import LoadPage
from api.pages.night import NightPage
from api.pages.orchard import Orchard
from api.pages.recorded import nights_recorded
from api.pages.render import page
from api.pages.season import Season
from api.pages.sheet_list import sheet_list
from api.pages.verdict import Verdict, nights_of
from api.problems import ProblemError
from routing.plan_record import Plan
from routing.sheets.checks import check_rows
from routing.sheets.words import slug

pages_views = APIRouter(include_in_schema=False)

Number = Annotated[int, Path(ge=0, le=100_000)]


@pages_views.get("/p/{job_id}/season")
def show_season(request: Request, job_id: JobId, runner: Runner) -> Response:
    """Show each contract's nights, what the plan does in them, and where all hives stand after each night."""
    opened = Opened(runner, job_id)
    return page(request, "season.html.j2", opened=opened, season=Season(opened.plan))


@pages_views.get("/p/{job_id}/nights")
def show_nights(request: Request, job_id: JobId, runner: Runner) -> Response:
    """List the nights of a plan."""
    opened = Opened(runner, job_id)
    return page(request, "nights.html.j2", opened=opened, nights=nights_of(opened.plan))


@pages_views.get("/p/{job_id}/nights/{night}")
def show_night(request: Request, job_id: JobId, night: dt.date, runner: Runner, records: Records) -> Response:
    """Show one night: each truck's stops, times and hours on duty, and what its driver recorded."""
    opened = Opened(runner, job_id)
    shown = NightPage(opened.plan, night)
    if not shown.trucks:
        raise _nothing("No truck goes out on that night.")
    recorded = nights_recorded(job_id, opened.plan, records.of(job_id))
    return page(request, "night.html.j2", opened=opened, night=shown, recorded_by=recorded)


@pages_views.get("/p/{job_id}/loads/{number}")
def show_load(request: Request, job_id: JobId, number: Number, runner: Runner) -> Response:
    """Show one load: its deck, its weights, every check made on it."""
    opened = Opened(runner, job_id)
    if number >= len(opened.plan.loads):
        raise _nothing("The plan has no load of that number.")
    return page(request, "load.html.j2", opened=opened, load=LoadPage(opened.plan, number))


@pages_views.get("/p/{job_id}/orchards")
def show_orchards(request: Request, job_id: JobId, runner: Runner) -> Response:
    """List the contracts with what each gets."""
    opened = Opened(runner, job_id)
    return page(request, "orchards.html.j2", opened=opened, verdict=Verdict(opened.plan))


@pages_views.get("/p/{job_id}/orchards/{number}")
def show_orchard(request: Request, job_id: JobId, number: Number, runner: Runner, reckonings: Reckonings) -> Response:
    """Show one contract: hives, strength, fee, nights, and the stakes in its orchard."""
    opened = Opened(runner, job_id)
    orchard, risk = _orchard(opened.plan, number), latest_odds(reckonings, job_id)["risk"]
    rows = risk.promises if risk else ()
    odds = next((row for row in rows if row.contract == orchard.contract.name), None)
    return page(request, "orchard.html.j2", opened=opened, orchard=orchard, odds=odds, risk=risk)


@pages_views.get("/p/{job_id}/orchards/{number}/bees")
def show_bees(request: Request, job_id: JobId, number: Number, runner: Runner) -> Response:
    """Show one contract's bloom and how strong its hives are."""
    opened = Opened(runner, job_id)
    return page(request, "bees.html.j2", opened=opened, orchard=_orchard(opened.plan, number))


@pages_views.get("/p/{job_id}/orchards/{number}/land.geojson")
def send_orchard(job_id: JobId, number: Number, runner: Runner) -> Response:
    """Answer with one orchard for the map."""
    plan = Opened(runner, job_id).plan
    orchard = _orchard(plan, number)
    return _geojson(orchard_geojson(plan.operation, orchard.contract.name, hives=orchard.hives_at))


@pages_views.get("/p/{job_id}/checks")
def show_checks(request: Request, job_id: JobId, runner: Runner) -> Response:
    """Show every check of a plan, its figures and what it goes by."""
    opened = Opened(runner, job_id)
    return page(request, "checks.html.j2", opened=opened, rows=check_rows(opened.plan))


@pages_views.get("/p/{job_id}/sheets")
def show_sheets(request: Request, job_id: JobId, runner: Runner) -> Response:
    """List every sheet to print or take away."""
    opened = Opened(runner, job_id)
    return page(request, "sheets.html.j2", opened=opened, groups=sheet_list(opened.plan))


@pages_views.get("/o/{operation_id}/land")
def show_land(request: Request, operation_id: OperationId, store: Operations) -> Response:
    """Show where yards and orchards lie."""
    kept, operation = find_operation(store, operation_id)
    return page(request, "land.html.j2", kept=kept, operation=operation, places=land_of(operation))


@pages_views.get("/o/{operation_id}/land.geojson")
def send_land(operation_id: OperationId, store: Operations) -> Response:
    """Answer with yards and orchards for the map."""
    return _geojson(land_geojson(find_operation(store, operation_id)[1]))


@pages_views.get("/o/{operation_id}/operation.xlsx")
def send_workbook(operation_id: OperationId, store: Operations) -> Response:
    """Answer with the operation as a workbook to change and bring in again."""
    from api.files.workbook import operation_workbook

    kept, operation = find_operation(store, operation_id)
    name = f"{slug(kept.name) or 'operation'}.xlsx"
    return Response(operation_workbook(operation), media_type=XLSX, headers=_as_file(name))


@pages_views.get("/o/{operation_id}/operation.json")
def send_document(operation_id: OperationId, store: Operations) -> Response:
    """Answer with the operation as JSON."""
    kept, operation = find_operation(store, operation_id)
    name = f"{slug(kept.name) or 'operation'}.json"
    return Response(operation.model_dump_json(indent=1), media_type="application/json", headers=_as_file(name))


def _orchard(plan: Plan, number: int) -> Orchard:
    if number >= len(plan.operation.contracts):
        raise _nothing("The plan has no contract of that number.")
    return Orchard(plan, number)


def _nothing(detail: str) -> ProblemError:
    return ProblemError(HTTPStatus.NOT_FOUND, "not-found", detail)


def _geojson(features: dict[str, Any]) -> Response:
    return JSONResponse(features, media_type="application/geo+json")


def _as_file(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}
