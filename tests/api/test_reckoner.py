"""Reckonings in processes of their own: answered, failed, killed, and no more at once than the machine bears."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.problems import ProblemError
from api.reckoner import MOST_AT_ONCE, Reckoner
from api.reckoner_child import OddsAsked, reckon
from api.settings import Settings
from api.store.job import JobAsked
from api.store.jobs import JobStore
from api.store.reckonings import Reckoning
from api.store.schema import prepare
from fixtures.tiny import tiny_plan
from routing.risk.record import Risk

FEW = OddsAsked(seasons=20).model_dump_json()
FAR_TOO_MANY = OddsAsked(seasons=300_000).model_dump_json()
LONGEST_S = 60.0


@pytest.fixture
def reckoner(tmp_path: Path) -> Iterator[Reckoner]:
    """A reckoner on a store with nothing in it."""
    prepare(tmp_path / "plans.sqlite")
    made = Reckoner(Settings(store=tmp_path / "plans.sqlite"))
    yield made
    made.close()


def _planned(reckoner: Reckoner) -> str:
    plan, jobs = tiny_plan(), JobStore(reckoner.settings.store)
    asked = JobAsked(operation_name="Tiny Bees", operation=plan.operation.model_dump_json(), seconds=1.0, seed=0, steps=None)
    job = jobs.add(asked)
    jobs.keep_plan(job.id, plan.model_dump_json())
    return job.id


def _ended(reckoner: Reckoner, asked: str) -> Reckoning:
    end_by = time.monotonic() + LONGEST_S
    while time.monotonic() < end_by:
        found = reckoner.look(asked)
        assert found is not None
        if found.state != "running":
            return found
        time.sleep(0.05)
    raise AssertionError(f"still running after {LONGEST_S} s")


def test_the_odds_of_a_plan_are_reckoned_and_kept(reckoner: Reckoner) -> None:
    asked = reckoner.store.add("odds", _planned(reckoner), asked=FEW)
    reckon(str(reckoner.settings.store), asked)
    found = reckoner.look(asked)
    assert found is not None
    assert (found.state, Risk.model_validate_json(found.answer).seasons) == ("done", 20)


def test_a_reckoning_without_a_plan_fails_in_words(reckoner: Reckoner) -> None:
    found = _ended(reckoner, reckoner.ask("odds", "no plan", asked=FEW))
    assert found.state == "failed"
    assert found.note.startswith("ValidationError")


def test_no_more_run_at_once_than_the_machine_bears_and_a_killed_one_has_failed(reckoner: Reckoner) -> None:
    plan = _planned(reckoner)
    running = [reckoner.ask("odds", plan, asked=FAR_TOO_MANY) for _ in range(MOST_AT_ONCE)]
    with pytest.raises(ProblemError, match=f"{MOST_AT_ONCE} reckonings run already"):
        reckoner.ask("odds", plan, asked=FEW)
    reckoner.processes[running[0]].kill()
    assert _ended(reckoner, running[0]).note == "The process ended with exit code -9."
