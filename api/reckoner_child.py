"""The process of one reckoning: reads what is asked from the store, writes the answer back."""

import signal
from pathlib import Path

from api.store.jobs import JobStore
from api.store.reckonings import Reckoning, ReckoningStore
from routing.record import Record


class QuoteAsked(Record):
    """One contract to be priced: the operation with it among its contracts, and its name."""

    operation: str
    contract: str
    seconds: float


class OddsAsked(Record):
    """In how many seasons a plan is tried."""

    seasons: int


def reckon(store_path: str, reckoning_id: str) -> None:
    """Work one reckoning out; every way that it can end is written to the store."""
    # Ctrl-C in a terminal reaches this process too; the server ends it.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    store = ReckoningStore(Path(store_path))
    asked = store.get(reckoning_id)
    if asked is None:
        return
    try:
        answer = _odds(asked, JobStore(Path(store_path))) if asked.kind == "odds" else _quote(asked)
    except Exception as error:
        store.fail(reckoning_id, f"{type(error).__name__}: {error}")
        raise
    store.finish(reckoning_id, answer)


def _odds(asked: Reckoning, jobs: JobStore) -> str:
    from routing.plan_record import Plan
    from routing.risk.simulate import simulate

    plan = Plan.model_validate_json(jobs.plan(asked.subject) or "")
    return simulate(plan, seasons=OddsAsked.model_validate_json(asked.asked).seasons, seed=0).model_dump_json()


def _quote(asked: Reckoning) -> str:
    from routing.inputs.read import operation_from_json
    from routing.quote.quote import quote

    terms = QuoteAsked.model_validate_json(asked.asked)
    operation = operation_from_json(terms.operation, "operation")
    return quote(operation, terms.contract, seconds=terms.seconds, seed=0).model_dump_json()
