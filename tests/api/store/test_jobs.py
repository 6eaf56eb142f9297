"""Jobs in the store: in line, running, ended in each way, removed."""

import threading
from pathlib import Path

import pytest

from api.store.job import JobAsked, JobProgress
from api.store.jobs import JobStore
from api.store.schema import prepare

ASKED = JobAsked(operation_name="Tiny Bees", operation="{}", seconds=5.0, seed=7, steps=40)
PROGRESS = JobProgress(elapsed_s=2.0, cost_usd=1000.0, lower_bound_usd=900.0, gap=0.1, unkept_colonies=2, note="searching")


@pytest.fixture
def store(tmp_path: Path) -> JobStore:
    """An empty store."""
    prepare(tmp_path / "plans.sqlite")
    return JobStore(tmp_path / "plans.sqlite")


def test_a_job_is_kept_as_it_was_asked_for(store: JobStore) -> None:
    job = JobStore(store.path).get(store.add(ASKED).id)
    assert job is not None
    assert (job.operation_name, job.seconds, job.seed, job.steps) == ("Tiny Bees", 5.0, 7, 40)
    assert (job.state, job.has_plan, job.started_at, job.progress.cost_usd) == ("waiting", False, None, None)


def test_ids_are_long_and_never_the_same(store: JobStore) -> None:
    ids = {store.add(ASKED).id for _ in range(20)}
    assert len(ids) == 20
    assert {len(one) for one in ids} == {32}


def test_the_job_that_waited_longest_goes_first(store: JobStore) -> None:
    first, second = store.add(ASKED), store.add(ASKED)
    claimed = [store.claim_next() for _ in range(3)]
    assert [job and job.id for job in claimed] == [first.id, second.id, None]
    assert [job.id for job in store.newest(10)] == [second.id, first.id]
    assert [job.id for job in store.newest(10, skip=1)] == [first.id]


def test_two_claims_at_once_never_get_the_same_job(store: JobStore) -> None:
    for _ in range(12):
        store.add(ASKED)
    claimed: list[str] = []

    def claim() -> None:
        while (job := store.claim_next()) is not None:
            claimed.append(job.id)

    threads = [threading.Thread(target=claim) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(claimed) == len(set(claimed)) == 12


def test_progress_is_shown_and_an_endless_figure_is_not_known(store: JobStore) -> None:
    job_id = store.add(ASKED).id
    store.claim_next()
    store.report(job_id, PROGRESS)
    assert store.get(job_id).progress == PROGRESS  # type: ignore[union-attr]
    endless = PROGRESS.model_copy(update={"cost_usd": float("inf"), "gap": float("nan")})
    store.report(job_id, endless)
    progress = store.get(job_id).progress  # type: ignore[union-attr]
    assert (progress.cost_usd, progress.gap, progress.lower_bound_usd) == (None, None, 900.0)


@pytest.mark.parametrize(("why", "state"), [(None, "done"), ("cancel", "cancelled"), ("shutdown", "interrupted")])
def test_a_job_that_finishes_ends_as_it_was_asked_to(store: JobStore, why: str | None, state: str) -> None:
    job_id = store.add(ASKED).id
    store.claim_next()
    if why:
        store.ask_to_stop(job_id, why)  # type: ignore[arg-type]
        assert store.must_stop(job_id)
    store.finish(job_id, '{"cost_usd": 1}')
    job = store.get(job_id)
    assert job is not None
    assert (job.state, job.has_plan, job.ended_at is not None) == (state, True, True)
    assert store.plan(job_id) == '{"cost_usd": 1}'


def test_a_waiting_job_is_cancelled_at_once(store: JobStore) -> None:
    job_id = store.add(ASKED).id
    store.ask_to_stop(job_id, "cancel")
    assert store.get(job_id).state == "cancelled"  # type: ignore[union-attr]
    assert store.claim_next() is None


def test_an_ended_job_is_not_changed_by_a_late_cancel_or_end(store: JobStore) -> None:
    job_id = store.add(ASKED).id
    store.claim_next()
    store.finish(job_id, "{}")
    store.ask_to_stop(job_id, "cancel")
    store.end(job_id, "failed", note="late")
    job = store.get(job_id)
    assert job is not None
    assert (job.state, job.stop_why, job.note) == ("done", None, "")


def test_a_server_that_died_leaves_interrupted_jobs_and_the_plans_they_kept(store: JobStore) -> None:
    with_plan, without, waiting = (store.add(ASKED).id for _ in range(3))
    store.claim_next()
    store.claim_next()
    store.keep_plan(with_plan, '{"best": "so far"}')
    store.mark_interrupted()
    assert [store.get(one).state for one in (with_plan, without, waiting)] == [  # type: ignore[union-attr]
        "interrupted",
        "interrupted",
        "waiting",
    ]
    assert store.plan(with_plan) == '{"best": "so far"}'
    assert "server stopped" in store.get(without).note  # type: ignore[union-attr]


def test_a_plan_that_comes_after_the_server_died_is_kept(store: JobStore) -> None:
    job_id = store.add(ASKED).id
    store.claim_next()
    assert not store.must_stop(job_id)
    store.mark_interrupted()
    # The old server's process may look only now: it must not plan on for nobody.
    assert store.must_stop(job_id)
    store.finish(job_id, '{"late": true}')
    assert store.get(job_id).state == "interrupted"  # type: ignore[union-attr]
    assert store.plan(job_id) == '{"late": true}'


def test_a_removed_job_takes_its_plan_along_and_tells_its_process_to_stop(store: JobStore) -> None:
    job_id = store.add(ASKED).id
    store.claim_next()
    store.keep_plan(job_id, "{}")
    assert store.remove(job_id)
    assert not store.remove(job_id)
    assert store.must_stop(job_id)
    store.finish(job_id, "{}")
    assert store.get(job_id) is None
    assert store.plan(job_id) is None
