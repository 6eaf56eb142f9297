"""Pages of reckonings: how sure a plan is, and what a new contract must pay."""

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.endpoints.pages_frame import OwnForm
from api.endpoints.pages_operations import OperationId, Operations, find_operation
from api.endpoints.pages_plans import Opened
from api.endpoints.views import JobId, Runner
from api.pages.offer_form import OfferForm
from api.pages.render import go_to, page
from api.plannable import plannable
from api.problems import ProblemError, faults_of
from api.reckoner import Reckoner
from api.reckoner_child import OddsAsked, QuoteAsked
from api.store.operations import OperationStore
from api.store.reckonings import Kind, Reckoning
from routing.errors import OperationError
from routing.quote.record import Quote
from routing.risk.record import Risk

pages_reckonings = APIRouter(include_in_schema=False)

SEASONS = 1000
_MOST_FIELDS = 40
_MOST_SECONDS = 600.0
ReckoningId = Annotated[str, Path(max_length=64)]


def reckoner_of(request: Request) -> Reckoner:
    """Return the server's reckoner."""
    reckoner: Reckoner = request.app.state.reckoner
    return reckoner


Reckonings = Annotated[Reckoner, Depends(reckoner_of)]


@pages_reckonings.get("/p/{job_id}/odds")
def show_odds(request: Request, job_id: JobId, runner: Runner, reckonings: Reckonings) -> Response:
    """Show how the plan fares in many seasons; or that it is being reckoned; or the button for it."""
    opened = Opened(runner, job_id)
    return page(request, "odds.html.j2", opened=opened, plan=opened.plan, **latest_odds(reckonings, job_id))


@pages_reckonings.post("/p/{job_id}/odds", dependencies=[OwnForm])
def ask_odds(job_id: JobId, runner: Runner, reckonings: Reckonings) -> Response:
    """Begin to try the plan in many seasons."""
    opened = Opened(runner, job_id)
    if opened.plan and not _going(reckonings, "odds", job_id):
        reckonings.ask("odds", job_id, asked=OddsAsked(seasons=SEASONS).model_dump_json())
    return go_to(f"/p/{job_id}/odds")


@pages_reckonings.get("/p/{job_id}/odds/now")
def show_odds_now(request: Request, job_id: JobId, reckonings: Reckonings) -> Response:
    """Answer with the part of the page that changes while the odds are reckoned."""
    return page(request, "reckoning_now.html.j2", back=f"/p/{job_id}/odds", one=latest_odds(reckonings, job_id)["one"])


@pages_reckonings.get("/o/{operation_id}/quote")
def show_quote_form(request: Request, operation_id: OperationId, store: Operations, reckonings: Reckonings) -> Response:
    """Show the form of a contract to be priced, and the prices told so far."""
    return _quote_form(request, store, operation_id, form=OfferForm(), status=200, faults=())


@pages_reckonings.post("/o/{operation_id}/quote", dependencies=[OwnForm])
async def ask_quote(request: Request, operation_id: OperationId, store: Operations, reckonings: Reckonings) -> Response:
    """Begin to price a contract, or show what of the form cannot be used."""
    async with request.form(max_files=0, max_fields=_MOST_FIELDS) as fields:
        form = OfferForm(dict(fields))
    try:
        begun = await run_in_threadpool(_begin_quote, store, operation_id, form, reckonings)
    except OperationError as error:
        faults = faults_of(error)
        return await run_in_threadpool(_quote_form, request, store, operation_id, form=form, status=422, faults=faults)
    return go_to(f"/o/{operation_id}/quotes/{begun}")


@pages_reckonings.get("/o/{operation_id}/quotes/{reckoning_id}")
def show_quote(
    request: Request, operation_id: OperationId, reckoning_id: ReckoningId, store: Operations, reckonings: Reckonings
) -> Response:
    """Show what a contract must pay; or that it is being reckoned."""
    kept, _ = find_operation(store, operation_id)
    one = _found(reckonings, reckoning_id, operation_id)
    quote = Quote.model_validate_json(one.answer) if one.state == "done" else None
    back = f"/o/{operation_id}/quotes/{reckoning_id}"
    return page(request, "quote.html.j2", kept=kept, one=one, quote=quote, back=back, asked=_quote_asked(one))


@pages_reckonings.get("/o/{operation_id}/quotes/{reckoning_id}/now")
def show_quote_now(request: Request, operation_id: OperationId, reckoning_id: ReckoningId, reckonings: Reckonings) -> Response:
    """Answer with the part of the page that changes while a price is reckoned."""
    one = _found(reckonings, reckoning_id, operation_id)
    return page(request, "reckoning_now.html.j2", back=f"/o/{operation_id}/quotes/{reckoning_id}", one=one)


def _quote_form(
    request: Request, store: OperationStore, operation_id: str, *, form: OfferForm, status: int, faults: tuple[Any, ...]
) -> Response:
    kept, operation = find_operation(store, operation_id)
    told = [(one, _quote_asked(one).contract) for one in reckoner_of(request).store.about("quote", operation_id)]
    return page(request, "quote_form.html.j2", status=status, kept=kept, operation=operation, form=form, faults=faults, told=told)


def _begin_quote(store: OperationStore, operation_id: str, form: OfferForm, reckonings: Reckoner) -> str:
    _, operation = find_operation(store, operation_id)
    priced = plannable(form.operation(operation), "form")
    asked = QuoteAsked(operation=priced.model_dump_json(), contract=form.contract, seconds=_seconds(form))
    return reckonings.ask("quote", operation_id, asked=asked.model_dump_json())


def _seconds(form: OfferForm) -> float:
    try:
        minutes = float(form["minutes"] or 1.0)
    except ValueError:
        minutes = 1.0
    return min(max(minutes * 60.0, 1.0), _MOST_SECONDS) if minutes == minutes else 60.0


def _quote_asked(one: Reckoning) -> QuoteAsked:
    return QuoteAsked.model_validate_json(one.asked)


def latest_odds(reckonings: Reckoner, job_id: str) -> dict[str, Any]:
    """Return the last reckoning of a plan's odds as ``one``, what came of it as ``risk``, its page as ``back``."""
    newest = reckonings.store.about("odds", job_id, most=1)
    one = reckonings.look(newest[0].id) if newest else None
    risk = Risk.model_validate_json(one.answer) if one and one.state == "done" else None
    return {"one": one, "risk": risk, "back": f"/p/{job_id}/odds"}


def _going(reckonings: Reckoner, kind: Kind, subject: str) -> bool:
    newest = reckonings.store.about(kind, subject, most=1)
    found = reckonings.look(newest[0].id) if newest else None
    return found is not None and found.state == "running"


def _found(reckonings: Reckoner, reckoning_id: str, subject: str) -> Reckoning:
    one = reckonings.look(reckoning_id)
    if one is None or one.kind != "quote" or one.subject != subject:
        raise ProblemError(404, "not-found", "There is no price with this id.")
    return one
