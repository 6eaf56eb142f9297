"""Reckonings in the store: asked, answered, failed, left behind by a server that stopped."""

from pathlib import Path

import pytest

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
