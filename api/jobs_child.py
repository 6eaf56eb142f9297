"""The planning process: reads one job from the store, plans it, writes what it found back to the store."""

import multiprocessing
import signal
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from api.store.job import Job, JobProgress
from api.store.jobs import JobStore
from routing.plan_record import Plan

if TYPE_CHECKING:
    from routing.plan import Progress

_ASK_EVERY_S = 0.2
"""The store is asked no more often than this whether to stop, and told no more often how far we are. [s]"""


def plan_job(store_path: str, job_id: str) -> None:
    """Plan the job ``job_id``; every way that it can end is written to the store."""
    # Ctrl-C in a terminal reaches this process too; the server decides, and tells us through the store.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    store = JobStore(Path(store_path))
    job, operation = store.get(job_id), store.operation(job_id)
    if job is None or operation is None:
        return
    try:
        document = _plan(store, job, operation=operation)
    except Exception as error:
        store.end(job_id, "failed", note=f"The planner stopped on an error: {type(error).__name__}: {error}")
        raise
    store.finish(job_id, document)


def _plan(store: JobStore, job: Job, *, operation: str) -> str:
    from routing.inputs.read import operation_from_json
    from routing.plan import make_plan

    plan = make_plan(
        operation_from_json(operation, "operation"),
        seed=job.seed,
        seconds=job.seconds,
        steps=job.steps,
        progress=_reporter(store, job.id),
        stop=_stopper(store, job.id),
    )
    # The last word on cost, bound and gap is the plan's own, not the last progress that was told.
    store.report(job.id, _figures(plan))
    return plan.model_dump_json()


def _figures(plan: Plan) -> JobProgress:
    from routing.sheets.summary import nothing_planned

    return JobProgress(
        elapsed_s=plan.seconds,
        cost_usd=plan.cost_usd,
        lower_bound_usd=plan.lower_bound_usd,
        gap=plan.gap,
        unkept_colonies=sum(one.colonies for one in plan.unkept),
        note=nothing_planned(plan),
    )


def _reporter(store: JobStore, job_id: str) -> "Callable[[Progress], None]":
    last = -_ASK_EVERY_S

    def report(now: "Progress") -> None:
        nonlocal last
        if time.monotonic() - last < _ASK_EVERY_S:
            return
        last = time.monotonic()
        store.report(
            job_id,
            JobProgress(
                elapsed_s=now.seconds,
                cost_usd=now.cost_usd,
                lower_bound_usd=now.lower_bound_usd,
                gap=now.gap,
                unkept_colonies=now.unkept_colonies,
                note=now.note,
            ),
        )

    return report


def _stopper(store: JobStore, job_id: str) -> Callable[[], bool]:
    last, answer = -_ASK_EVERY_S, False

    def must_stop() -> bool:
        nonlocal last, answer
        if not answer and time.monotonic() - last >= _ASK_EVERY_S:
            last = time.monotonic()
            gone = _server_is_gone()
            if gone:
                store.ask_to_stop(job_id, "shutdown")
            # A next server may have ended the job in the store already: then nobody asks it to stop.
            answer = gone or store.must_stop(job_id)
        return answer

    return must_stop


def _server_is_gone() -> bool:
    server = multiprocessing.parent_process()
    return server is not None and not server.is_alive()
