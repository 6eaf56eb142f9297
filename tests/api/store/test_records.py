"""What drivers recorded: each once, in order, and longer than the plan."""

import datetime as dt
import sqlite3
import threading
import uuid
from pathlib import Path

import pytest

from api.store.job import JobAsked
from api.store.jobs import JobStore
from api.store.record import DriverRecord, Event, Handed, HandedStop
from api.store.records import RecordStore, in_order
from api.store.schema import connect, prepare

AT = dt.datetime(2027, 4, 25, 2, 0, tzinfo=dt.UTC)
SHEET = ("job", "2027-04-24-old-blue")


@pytest.fixture
def store(tmp_path: Path) -> RecordStore:
    """An empty store."""
    prepare(tmp_path / "plans.sqlite")
    return RecordStore(tmp_path / "plans.sqlite")


def _event(turn: int = 1, *, phone: str = "one", minutes: float = 0.0, hives: int = 16) -> Event:
    return Event(
        id=str(uuid.uuid4()), kind="set down", stop=2, counts={"A": hives}, phone=phone, turn=turn,
        done_at=AT + dt.timedelta(minutes=minutes),
    )  # fmt: skip


def _handed(job: str, version: str = "v1") -> Handed:
    stop = HandedStop(
        number=2, place="Early cherries", zone="America/Detroit", arrive=AT, leave=AT, picked_up={}, set_down={"A": 16}
    )
    return Handed(
        job=job, sheet=SHEET[1], version=version, operation="Tiny Bees", truck="Old blue", night=dt.date(2027, 4, 24),
        driver="P. Nobody", call="555-0112", stops=(stop,),
    )  # fmt: skip


def test_an_event_sent_again_is_answered_the_same_and_kept_once(store: RecordStore) -> None:
    event = _event()
    first = store.keep(SHEET, [(event, "stands")], ahead_s=1.0)
    # By then the sheet was replaced, and the telephone's clock was set: neither changes what was answered.
    again = store.keep(SHEET, [(event, "replaced")], ahead_s=99.0)
    assert first == again
    assert first[0].state == "kept"
    (kept,) = store.of("job")
    assert (kept.event, kept.standing, kept.ahead_s) == (event, "stands", 1.0)


def test_an_id_that_was_used_for_something_else_is_told_and_the_first_stays(store: RecordStore) -> None:
    event = _event(hives=16)
    store.keep(SHEET, [(event, "stands")])
    other = event.model_copy(update={"counts": {"A": 12}})
    assert store.keep(SHEET, [(other, "stands")])[0].state == "differs"
    assert store.keep(("another job", SHEET[1]), [(event, "stands")])[0].state == "differs"
    assert [one.event.counts for one in store.of("job")] == [{"A": 16}]


def test_records_stand_by_their_times_but_never_against_the_order_of_their_telephone(store: RecordStore) -> None:
    # The first telephone's clock jumped back an hour between its first and its second record.
    one = [_event(1, minutes=30), _event(2, minutes=-30), _event(3, minutes=31)]
    two = [_event(1, phone="two", minutes=10), _event(2, phone="two", minutes=40)]
    store.keep(SHEET, [(event, "stands") for event in (two[1], one[2], one[0], two[0], one[1])])
    found = [(record.event.phone, record.event.turn) for record in store.of("job")]
    assert found == [("two", 1), ("one", 1), ("one", 2), ("one", 3), ("two", 2)]


def test_a_record_of_a_page_without_scripts_stands_where_it_came_in() -> None:
    form = Event(id=str(uuid.uuid4()), kind="arrived", stop=2)
    record = DriverRecord(event=form, sheet=SHEET[1], got_at=AT + dt.timedelta(minutes=5), standing="stands")
    phone = [_kept(_event(1, minutes=4)), _kept(_event(2, minutes=6))]
    assert in_order(iter([record, *phone])) == (phone[0], record, phone[1])


def _kept(event: Event) -> DriverRecord:
    return DriverRecord(event=event, sheet=SHEET[1], got_at=AT, standing="stands")


def test_records_outlive_their_plan_and_are_found_by_the_sheet_that_was_handed_out(store: RecordStore) -> None:
    jobs = JobStore(store.path)
    job = jobs.add(JobAsked(operation_name="Tiny Bees", operation="{}", seconds=1.0, seed=0, steps=None)).id
    for version in ("v1", "v2", "v1"):
        store.hand(_handed(job, version))
    store.keep((job, SHEET[1]), [(_event(), "stands")])
    jobs.remove(job)
    assert [(one.job, one.version) for one in store.recorded_sheets()] == [(job, "v2")]
    assert len(store.of(job)) == 1


def test_what_was_answered_for_is_on_the_disk(store: RecordStore) -> None:
    with store._write() as connection:
        # 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
        assert connection.execute("PRAGMA synchronous").fetchone()[0] == 2


def test_a_batch_that_breaks_off_keeps_nothing_of_itself(store: RecordStore) -> None:
    events = [(_event(1), "stands"), (_event(2), "stands")]
    with connect(store.path) as connection:
        connection.execute(
            f"CREATE TRIGGER full BEFORE INSERT ON record WHEN NEW.id = '{events[1][0].id}'"
            " BEGIN SELECT RAISE(FAIL, 'the disk is full'); END"
        )
    with pytest.raises(sqlite3.IntegrityError, match="the disk is full"):
        store.keep(SHEET, events)  # type: ignore[arg-type]
    assert store.of("job") == ()


def test_many_writers_lose_nothing_and_double_nothing(store: RecordStore) -> None:
    events = [[_event(turn, phone=f"{phone}") for turn in range(5)] for phone in range(8)]

    def send(own: list[Event]) -> None:
        for event in (*own, *own):
            store.keep(SHEET, [(event, "stands")])

    threads = [threading.Thread(target=send, args=(own,)) for own in events]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(one.event.id for one in store.of("job")) == sorted(event.id for own in events for event in own)


def test_a_plan_that_is_removed_is_in_force_no_longer(store: RecordStore) -> None:
    jobs = JobStore(store.path)
    with connect(store.path) as connection:
        connection.execute("INSERT INTO operation VALUES ('own', 'Tiny Bees', '', 1, '{}', '', '')")
    job = jobs.add(JobAsked(operation_name="Tiny Bees", operation="{}", seconds=1.0, seed=0, steps=None)).id
    assert store.in_force("own") is None
    store.put_in_force("own", job)
    assert store.in_force("own") == job
    jobs.remove(job)
    assert store.in_force("own") is None
