"""Reckonings in the store: asked, answered, failed, left behind by a server that stopped."""

from pathlib import Path

import pytest

from api.store.job import JobAsked
from api.store.jobs import JobStore
from api.store.operation import Origin
from api.store.operations import OperationStore
from api.store.reckonings import ReckoningStore
from api.store.schema import prepare


@pytest.fixture
def store(tmp_path: Path) -> ReckoningStore:
    """An empty store."""
    prepare(tmp_path / "plans.sqlite")
    return ReckoningStore(tmp_path / "plans.sqlite")


def test_an_answer_is_kept_once(store: ReckoningStore) -> None:
    asked = store.add("odds", "a plan", asked="{}")
    store.finish(asked, "first")
    store.finish(asked, "second")
    store.fail(asked, "too late")
    found = store.get(asked)
    assert found is not None
    assert (found.state, found.answer, found.note) == ("done", "first", "")


def test_what_a_server_left_running_is_marked_and_what_is_done_stays(store: ReckoningStore) -> None:
    done, left = store.add("quote", "an operation", asked="{}"), store.add("quote", "an operation", asked="{}")
    store.finish(done, "answer")
    store.mark_interrupted()
    assert [(one.id, one.state) for one in store.about("quote", "an operation")] == [(left, "interrupted"), (done, "done")]
    assert store.about("odds", "an operation") == ()


def test_reckonings_go_with_the_plan_or_the_operation_that_they_are_about(store: ReckoningStore) -> None:
    jobs, operations = JobStore(store.path), OperationStore(store.path)
    plans = [jobs.add(JobAsked(operation_name="Tiny Bees", operation="{}", seconds=1.0, seed=0, steps=None)).id for _ in range(3)]
    kept = operations.keep("Tiny Bees", "{}", source="mine.xlsx").id
    operations.link(Origin(job=plans[1], operation=kept, operation_version=1))
    asked = [store.add("odds", one, asked="{}") for one in plans] + [store.add("quote", kept, asked="{}")]
    jobs.remove(plans[0])
    operations.remove(kept)
    assert [store.get(one) is None for one in asked] == [True, True, False, True]
