"""The driver's pages: sheets to hand out, one truck-night on a telephone, and what is recorded there."""

import datetime as dt
import json
from functools import partial
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request
from pydantic import ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import JSONResponse, Response

from api.endpoints.body import JsonGiven
from api.endpoints.drive_sheets import Found, Records, find_sheet, is_there, plan_in_force, state_of
from api.endpoints.pages_frame import OwnForm
from api.endpoints.pages_plans import Opened
from api.endpoints.views import JobId, Runner
from api.files.qr import qr_svg
from api.pages.drive import new_id, on_clock, script_words, sheet_links, tel, this_night
from api.pages.drive_look import worker_script
from api.pages.reading import reader_of
from api.pages.recorded import NightRecorded
from api.pages.render import go_to, page, page_headers
from api.problems import KINDS, ProblemError
from api.store.record import Answer, Event, Standing
from routing.record import Record
from routing.sheets.drop_sheet import geo_uri

pages_drive = APIRouter(include_in_schema=False)

SheetName = Annotated[str, Path(max_length=120, pattern=r"^[a-z0-9-]+$")]
_MOST_EVENTS = 200
_MOST_FIELDS = 120
_MOST_PLANS = 20
_COUNT = "count."
LOOPBACK = ("127.0.0.1", "localhost", "::1")


class Sent(Record):
    """What a telephone sends."""

    sent_at: dt.datetime | None = None
    events: tuple[Any, ...]


@pages_drive.get("/drive")
def list_plans(request: Request, runner: Runner, records: Records) -> Response:
    """List the plans whose sheets can be handed out, and what was recorded on sheets that are gone."""
    opened = [Opened(runner, job.id) for job in runner.store.newest(_MOST_PLANS) if job.has_plan]
    left = [one for one in records.recorded_sheets() if not is_there(runner, one)]
    gone = [NightRecorded(one, records.of(one.job, one.sheet)) for one in left]
    in_force = {one.job.id: plan_in_force(one, records) for one in opened}
    return page(request, "drive_plans.html.j2", plans=opened, gone=gone, in_force=in_force, reach=_reach(request))


@pages_drive.get("/drive/worker.js")
def send_worker() -> Response:
    """Answer with the script that keeps sheets on the telephone; it governs the addresses under ``/drive/`` only."""
    headers = page_headers() | {"Cache-Control": "no-cache"}
    return Response(worker_script(), media_type="text/javascript", headers=headers)


@pages_drive.get("/drive/{job_id}")
def list_sheets(request: Request, job_id: JobId, runner: Runner, records: Records) -> Response:
    """List the truck-nights of a plan, each with a link and a code to hand to its driver."""
    opened = Opened(runner, job_id)
    links, tonight, reach = sheet_links(opened.plan), this_night(dt.datetime.now()), _reach(request)
    shown = [one for one in links if one.truck_night.night >= tonight and reach != "machine"]
    codes = {one.name: qr_svg(f"{_site(request)}/drive/{job_id}/{one.name}") for one in shown}
    return page(
        request, "drive_list.html.j2", opened=opened, tonight=tonight, codes=codes, reach=reach,
        coming=[one for one in links if one.truck_night.night >= tonight],
        past=[one for one in links if one.truck_night.night < tonight],
        in_force=plan_in_force(opened, records), site=_site(request),
    )  # fmt: skip


@pages_drive.post("/drive/{job_id}/in-force", dependencies=[OwnForm])
def put_in_force(job_id: JobId, runner: Runner, records: Records) -> Response:
    """Have drivers go by this plan: sheets of the operation's other plans say that they were replaced."""
    opened = Opened(runner, job_id)
    if opened.kept is not None and opened.job.has_plan:
        records.put_in_force(opened.kept.id, job_id)
    return go_to(f"/drive/{job_id}")


@pages_drive.get("/drive/{job_id}/{name}")
def show_sheet(request: Request, job_id: JobId, name: SheetName, runner: Runner, records: Records) -> Response:
    """Show one truck-night on a telephone; one that is gone says so, and shows what was recorded on it."""
    found = find_sheet(job_id, name, runner=runner, records=records)
    if found.sheet is None:
        gone = NightRecorded(found.handed, records.of(job_id, name))
        return page(request, "drive_gone.html.j2", status=HTTPStatus.GONE, found=found, gone=gone, **_said(request))
    records.hand(found.handed)
    return page(request, "drive.html.j2", drive=found.page(records.of(job_id, name)), **_said(request))


@pages_drive.get("/drive/{job_id}/{name}/state")
def send_state(job_id: JobId, name: SheetName, runner: Runner, records: Records) -> Response:
    """Answer with how the sheet stands by now."""
    return JSONResponse(state_of(find_sheet(job_id, name, runner=runner, records=records)))


@pages_drive.post("/drive/{job_id}/{name}/events", dependencies=[OwnForm])
def take_events(job_id: JobId, name: SheetName, text: JsonGiven, runner: Runner, records: Records) -> Response:
    """Keep what a telephone sends, each event once, and answer what became of each; the disk has it by then."""
    sent, got_at = _sent(text), dt.datetime.now(dt.UTC)
    found = find_sheet(job_id, name, runner=runner, records=records)
    records.hand(found.handed)
    read = [_event(one) for one in sent.events]
    events = [(one, _standing(found, one)) for one in read if isinstance(one, Event)]
    ahead_s = (sent.sent_at - got_at).total_seconds() if sent.sent_at and sent.sent_at.tzinfo else None
    kept = iter(records.keep((job_id, name), events, ahead_s=ahead_s))
    answers = [next(kept) if isinstance(one, Event) else one for one in read]
    return JSONResponse({"answers": [one.model_dump(mode="json") for one in answers], "sheet": state_of(found)})


@pages_drive.post("/drive/{job_id}/{name}/record", dependencies=[OwnForm])
async def take_form(request: Request, job_id: JobId, name: SheetName, runner: Runner, records: Records) -> Response:
    """Keep one record from a page without scripts and go back to its stop."""
    async with request.form(max_files=0, max_fields=_MOST_FIELDS) as form:
        event = _form_event(form)
    found = await run_in_threadpool(find_sheet, job_id, name, runner=runner, records=records)
    await run_in_threadpool(records.hand, found.handed)
    (answer,) = await run_in_threadpool(records.keep, (job_id, name), [(event, _standing(found, event))])
    if answer.state == "differs":
        raise ProblemError(HTTPStatus.CONFLICT, "recorded-already", KINDS["recorded-already"])
    return go_to(f"/drive/{job_id}/{name}#stop-{event.stop}")


@pages_drive.get("/drive/{job_id}/{name}/record")
def begin_again(job_id: JobId, name: SheetName) -> Response:
    """Lead back to the sheet: the address of a record that was refused is no page of its own."""
    return go_to(f"/drive/{job_id}/{name}")


def _said(request: Request) -> dict[str, Any]:
    read = reader_of(request)
    return {"words": script_words(), "tel": tel, "geo": geo_uri, "new_id": new_id, "clocked": partial(on_clock, read)}


def _sent(text: str) -> Sent:
    try:
        sent = Sent.model_validate_json(text)
    except ValidationError as error:
        raise ProblemError(HTTPStatus.UNPROCESSABLE_ENTITY, "bad-record", KINDS["bad-record"]) from error
    if len(sent.events) > _MOST_EVENTS:
        raise ProblemError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "body-too-large", f"More than {_MOST_EVENTS} records at once.")
    return sent


def _event(given: Any) -> Event | Answer:
    """Return the event, or the answer that it cannot be read: one bad record never holds up the others."""
    try:
        return Event.model_validate_json(json.dumps(given))
    except ValidationError as error:
        first = error.errors()[0]
        told = f"{'.'.join(str(part) for part in first['loc'])}: {first['msg']}"[:300]
        named = given.get("id") if isinstance(given, dict) else None
        return Answer(id=named[:64] if isinstance(named, str) else "", state="refused", why=told)


def _form_event(form: FormData) -> Event:
    fields = {name: value for name, value in form.items() if isinstance(value, str)}
    counts = {name.removeprefix(_COUNT): _whole(value) for name, value in fields.items() if name.startswith(_COUNT)}
    same = {name: fields[name] for name in ("id", "kind", "note", "about", "version") if name in fields}
    event = _event(same | {"stop": _whole(fields.get("stop", "")), "counts": counts})
    if isinstance(event, Answer):
        raise ProblemError(HTTPStatus.UNPROCESSABLE_ENTITY, "bad-record", f"{KINDS['bad-record']} {event.why}")
    return event


def _whole(text: str) -> int | str:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else text


def _standing(found: Found, event: Event) -> Standing:
    changed = found.state.standing == "stands" and event.version not in ("", found.state.version)
    return "changed" if changed else found.state.standing


def _site(request: Request) -> str:
    return f"{request.url.scheme}://{request.url.netloc}"


def _reach(request: Request) -> str:
    """Return how a telephone reaches this server: ``machine`` (not at all), ``plain`` (no offline), ``safe``."""
    if request.url.hostname in LOOPBACK:
        return "machine"
    return "safe" if request.url.scheme == "https" else "plain"
