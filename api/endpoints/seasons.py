"""Season, quote and risk: what to promise, at what fee, and how sure a plan is."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Query
from starlette.responses import Response

from api.endpoints.body import OperationGiven
from api.endpoints.documents import operation_body
from api.endpoints.sheets import SHEET_POLICY
from api.endpoints.views import JobId, Runner, find_plan
from api.problems import ProblemError, documented
from routing.errors import OperationError
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.quote.record import Quote
from routing.risk.record import Risk
from routing.season.assignment import SeasonAnswer

seasons = APIRouter(tags=["season"])

Seconds = Annotated[float, Query(ge=0.5, le=60.0, description="planning time", examples=[20.0])]
Seed = Annotated[int, Query(ge=0, le=2**31 - 1, description="same seed, same chances", examples=[0])]
_BODY: dict[str, Any] = {"requestBody": operation_body()}
_WORKING = threading.Semaphore(1)
"""One such answer is worked out at a time: each takes the machine's cores for its seconds."""


@contextmanager
def _alone() -> Iterator[None]:
    if not _WORKING.acquire(blocking=False):
        raise ProblemError(429, "line-full", "A season or a quote is being worked out; try again in a minute.")
    try:
        yield
    finally:
        _WORKING.release()


@seasons.post(
    "/seasons", summary="Choose chains of blooms and offers", openapi_extra=_BODY,
    responses=documented(400, 403, 413, 415, 422, 429),
)  # fmt: skip
def choose_season(operation: OperationGiven, *, seconds: Seconds = 20.0) -> SeasonAnswer:
    """Answer with the season that earns most: which offers to take, where every hive stands when, what it is worth."""
    from routing.season.choose import plan_season

    with _alone():
        season = plan_season(operation, seconds=seconds)
    return SeasonAnswer.model_validate({name: getattr(season, name) for name in SeasonAnswer.model_fields})


@seasons.post(
    "/seasons/calendar.{format}", summary="Draw the season's calendar", response_class=Response, openapi_extra=_BODY,
    responses=documented(400, 403, 404, 413, 415, 422, 429)
    | {200: {"description": "The calendar.", "content": {"image/svg+xml": {"schema": {"type": "string"}}}}},
)  # fmt: skip
def draw_season(
    operation: OperationGiven,
    format: Annotated[Literal["svg"], Path(description="format of the figure", examples=["svg"])],
    *,
    seconds: Seconds = 20.0,
) -> Response:
    """Answer with a row for each contract and yard: bloom as a band with its spread, windows, moves, hives in place."""
    from routing.season.choose import plan_season
    from routing.sheets.season_calendar import season_figure

    with _alone():
        figure = season_figure(plan_season(operation, seconds=seconds))
    return Response(figure, media_type="image/svg+xml", headers={"Content-Security-Policy": SHEET_POLICY})


@seasons.post(
    "/quotes", summary="Quote for a contract", openapi_extra=_BODY, responses=documented(400, 403, 413, 415, 422, 429)
)
def quote_contract(
    operation: OperationGiven,
    contract: Annotated[
        str | None,
        Query(
            description="contract or offer; left out: the first offer, else the last contract", max_length=60,
            examples=["Lower pears"],
        ),
    ] = None,
    *,
    seconds: Seconds = 10.0,
    seed: Seed = 0,
) -> Quote:
    """Answer with the least fee at which the contract leaves nobody worse off, its interval, and what it displaces."""
    from routing.quote.quote import quote

    with _alone():
        return quote(operation, contract or _asked(operation), seconds=seconds, seed=seed)


def _asked(operation: Operation) -> str:
    """Return the contract that is meant when none is named."""
    if not operation.contracts:
        fault = Fault(file="body", path="contracts", found="no contract", allowed="at least one, to quote for")
        raise OperationError((fault,))
    return next((one.name for one in operation.contracts if not one.signed), operation.contracts[-1].name)


@seasons.get("/plans/{job_id}/risk", summary="Run a plan through many seasons", responses=documented(404, 409, 422, 429))
def plan_risk(
    job_id: JobId,
    runner: Runner,
    count: Annotated[int, Query(alias="seasons", ge=1, le=5000, description="seasons simulated", examples=[1000])] = 1000,
    *,
    seed: Seed = 0,
) -> Risk:
    """Answer with the share of seasons in which each promise is kept, the spread of the cost, and what would help most."""
    from routing.risk.simulate import simulate

    plan = find_plan(runner.store, job_id)
    with _alone():
        return simulate(plan, seasons=count, seed=seed)
