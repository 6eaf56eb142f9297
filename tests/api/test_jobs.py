"""The runner of jobs: a few processes at once, each seen to its end, however it ends."""

import multiprocessing
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.jobs import JobRunner
from api.problems import ProblemError
from api.settings import Settings
from api.store.job import Job, JobAsked
from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation

LONG = JobAsked(operation_name="demo", operation=demo_beginning(contracts=2).model_dump_json(), seconds=500.0, seed=0, steps=None)
SHORT = JobAsked(operation_name="tiny", operation=tiny_operation().model_dump_json(), seconds=2.0, seed=0, steps=1)


@pytest.fixture
def runner(tmp_path: Path) -> Iterator[JobRunner]:
    """A runner of two processes."""
    two = JobRunner(Settings(store=tmp_path / "plans.sqlite", planning_processes=2, stop_grace_s=20.0))
    two.open()
    yield two
    two.close()
    assert not [child for child in multiprocessing.active_children() if child.name.startswith("plan ")]


def _wait(runner: JobRunner, job_id: str, *states: str) -> Job:
    end_by = time.monotonic() + 40.0
    while time.monotonic() < end_by:
        job = runner.store.get(job_id)
        if job is not None and job.state in states:
            return job
        time.sleep(0.05)
    raise AssertionError(f"not {states} in time: {job}")


def test_a_planning_process_that_is_killed_ends_its_job_as_failed_and_the_next_is_made(
    runner: JobRunner,
) -> None:
    job_id = runner.ask(LONG).id
    _wait(runner, job_id, "running")
    end_by = time.monotonic() + 10.0
    while not (mine := _process(job_id)) and time.monotonic() < end_by:
        time.sleep(0.05)
    mine[0].kill()
    assert _wait(runner, job_id, "failed").note == "The planning process ended with exit code -9."
    assert _wait(runner, runner.ask(SHORT).id, "done").has_plan


def _process(job_id: str) -> list[multiprocessing.process.BaseProcess]:
    return [child for child in multiprocessing.active_children() if child.name == f"plan {job_id[:8]}"]


def test_two_are_planned_at_once_and_the_third_waits(runner: JobRunner) -> None:
    ids = [runner.ask(LONG).id for _ in range(3)]
    for one in ids[:2]:
        _wait(runner, one, "running")
    assert runner.store.get(ids[2]).state == "waiting"  # type: ignore[union-attr]
    for one in reversed(ids):
        runner.store.remove(one)


def test_a_plan_cancelled_before_its_first_move_says_so(runner: JobRunner) -> None:
    job_id = runner.ask(LONG).id
    _wait(runner, job_id, "running")
    # The process has yet to begin: it finds that it must stop at its first question.
    runner.cancel(job_id)
    job = _wait(runner, job_id, "cancelled")
    assert job.has_plan
    assert job.progress.note == (
        "Stopped before the first move was planned: the plan is empty, and no promise is kept."
    )


def test_more_seconds_than_the_server_gives_are_refused(runner: JobRunner) -> None:
    with pytest.raises(ProblemError) as refused:
        runner.ask(LONG.model_copy(update={"seconds": 3600.5}))
    (fault,) = refused.value.faults
    assert (fault.path, fault.found, fault.allowed) == ("seconds", "3600.5", "at most 3600")


def test_a_closed_runner_can_be_opened_again(runner: JobRunner) -> None:
    runner.close()
    runner.open()
    assert _wait(runner, runner.ask(SHORT).id, "done").has_plan
