"""The web application: a factory, so that every test and every server has one of its own."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi_offline import FastAPIOffline
from starlette.concurrency import run_in_threadpool

from api.endpoints.about import about
from api.endpoints.bloom import bloom
from api.endpoints.changes import changes
from api.endpoints.checks import checks
from api.endpoints.documents import add_documents
from api.endpoints.drops import drops
from api.endpoints.pages_changes import pages_changes
from api.endpoints.pages_drive import pages_drive
from api.endpoints.pages_frame import pages_frame
from api.endpoints.pages_operations import pages_operations
from api.endpoints.pages_plans import pages_plans
from api.endpoints.pages_reckonings import pages_reckonings
from api.endpoints.pages_views import pages_views
from api.endpoints.plans import plans
from api.endpoints.records import records
from api.endpoints.roads import roads
from api.endpoints.seasons import seasons
from api.endpoints.sheets import sheets
from api.endpoints.strength import strength
from api.guards import DOCS_PATH, Guards
from api.jobs import JobRunner
from api.problems import Problem, add_problem_handlers, documented
from api.reckoner import Reckoner
from api.settings import Settings, program_version

_DESCRIPTION = """
Plans pollination moves: contracts, hives and trucks in; which hives ride on which truck, which night, in
which order of stops out, with a proven bound on how much better any other plan could be.

Ask for a plan with `POST /plans`, watch it with `GET /plans/{job_id}`, fetch its sheets from
`GET /plans/{job_id}/sheets`. Every error is a problem after RFC 9457 that lists all faults at once.
All values are of one type: `false` is not 0.0, and `"3"` is not 3. Times carry their zone; a night has the
date of its evening. Weights are pounds, lengths inches, distances miles.
"""


def create_app(settings: Settings) -> FastAPI:
    """Return the application. It takes the store when it starts and lets go of it when it stops."""
    app = FastAPIOffline(
        title="Bloomhaul",
        version=program_version(),
        summary="Pollination moves, planned and proven.",
        description=_DESCRIPTION,
        docs_url=DOCS_PATH,
        redoc_url=None,
        lifespan=_lifespan,
        responses=documented(400, 500),
    )
    app.state.settings = settings
    app.state.runner = JobRunner(settings)
    app.state.reckoner = Reckoner(settings)
    app.add_middleware(Guards, settings=settings)
    add_problem_handlers(app)
    app.state.routers = (plans, changes, seasons, sheets, checks, strength, drops, about, pages_frame, pages_operations,
                         pages_plans, pages_views, pages_changes, pages_reckonings, pages_drive, records, bloom, roads)
    for router in app.state.routers:
        app.include_router(router)
    app.openapi = lambda: _openapi(app)  # type: ignore[method-assign]
    return app


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    runner: JobRunner = app.state.runner
    reckoner: Reckoner = app.state.reckoner
    await run_in_threadpool(runner.open)
    await run_in_threadpool(reckoner.open)
    try:
        yield
    finally:
        await run_in_threadpool(reckoner.close)
        await run_in_threadpool(runner.close)


def _openapi(app: FastAPI) -> dict[str, Any]:
    if app.openapi_schema is None:
        document = get_openapi(
            title=app.title,
            version=app.version,
            summary=app.summary,
            description=app.description,
            routes=app.routes,
        )
        add_documents(document, answered=(Problem,))
        app.openapi_schema = document
    return app.openapi_schema
