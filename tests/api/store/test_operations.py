"""Operations in the store: kept, replaced by one hand at a time, removed with their plans; and how far planning was."""

from pathlib import Path

import pytest

from api.store.job import JobAsked, JobProgress
from api.store.jobs import JobStore
from api.store.operation import Origin, VersionConflictError
from api.store.operations import OperationStore
from api.store.schema import connect, prepare

ASKED = JobAsked(operation_name="Tiny Bees", operation="{}", seconds=1.0, seed=0, steps=None)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A store made ready."""
    prepare(tmp_path / "plans.sqlite")
    return tmp_path / "plans.sqlite"


def _at(elapsed_s: float, cost_usd: float) -> JobProgress:
    return JobProgress(elapsed_s=elapsed_s, cost_usd=cost_usd, lower_bound_usd=10.0, gap=0.5, unkept_colonies=0, note="")


def test_an_operation_is_kept_and_found_again(path: Path) -> None:
    store = OperationStore(path)
    kept = store.keep("Tiny Bees", '{"a": 1}', source="mine.xlsx")
    assert store.get(kept.id) == kept
    assert (kept.version, store.document(kept.id), store.every()) == (1, '{"a": 1}', (kept,))
    assert store.get("none") is store.document("none") is None


def test_the_second_of_two_who_change_the_same_version_is_refused(path: Path) -> None:
    store = OperationStore(path)
    seen = store.keep("Tiny Bees", "old", source="mine.xlsx")
    first = store.replace(seen, name="Tiny Bees", document="first", source="first.xlsx")
    with pytest.raises(VersionConflictError, match="at version 2 by now; version 1 was to be changed") as conflict:
        store.replace(seen, name="Tiny Bees", document="second", source="second.xlsx")
    assert (first.version, store.document(seen.id), conflict.value.kept) == (2, "first", first)


def test_an_operation_goes_with_its_plans_and_leaves_those_of_others(path: Path) -> None:
    store, jobs = OperationStore(path), JobStore(path)
    kept = store.keep("Tiny Bees", "{}", source="mine.xlsx")
    own, other = jobs.add(ASKED), jobs.add(ASKED)
    store.link(Origin(job=own.id, operation=kept.id, operation_version=1))
    assert store.jobs_of(kept.id) == (own,)
    assert store.remove(kept.id)
    assert (jobs.get(own.id), jobs.get(other.id), store.origin(own.id)) == (None, other, None)
    assert not store.remove(kept.id)


def test_a_plan_that_was_changed_may_go_and_the_changed_one_stays(path: Path) -> None:
    store, jobs = OperationStore(path), JobStore(path)
    kept = store.keep("Tiny Bees", "{}", source="mine.xlsx")
    earlier, later = jobs.add(ASKED), jobs.add(ASKED)
    store.link(Origin(job=earlier.id, operation=kept.id, operation_version=1))
    store.link(Origin(job=later.id, operation=kept.id, operation_version=1, earlier=earlier.id, change="{}"))
    jobs.remove(earlier.id)
    assert store.origin(later.id) == Origin(job=later.id, operation=kept.id, operation_version=1, change="{}")


def test_the_curve_has_a_point_for_every_figure_that_moved(path: Path) -> None:
    store, jobs = OperationStore(path), JobStore(path)
    job = jobs.add(ASKED)
    for point in (_at(0.5, 90.0), _at(0.8, 90.0), _at(1.1, 80.0)):
        jobs.report(job.id, point)
    assert [(one.elapsed_s, one.cost_usd) for one in store.curve(job.id)] == [(0.5, 90.0), (1.1, 80.0)]


def test_a_store_of_the_first_version_keeps_its_plans_and_learns_the_rest(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite"
    prepare(path)
    job = JobStore(path).add(ASKED)
    connection = connect(path)
    later = ("in_force", "record", "handed", "reckoning", "progress", "origin", "operation")
    connection.executescript("".join(f"DROP TABLE {name};" for name in later) + "PRAGMA user_version = 1;")
    connection.close()
    prepare(path)
    assert JobStore(path).get(job.id) == job
    assert OperationStore(path).keep("Tiny Bees", "{}", source="mine.xlsx").version == 1
