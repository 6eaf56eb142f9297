"""The store's file: made, refused, held by one server."""

import sqlite3
from pathlib import Path

import pytest

from api.store.schema import VERSION, StoreError, connect, hold, prepare


def test_a_new_store_knows_its_version_and_writes_ahead(tmp_path: Path) -> None:
    prepare(tmp_path / "new" / "plans.sqlite")
    connection = connect(tmp_path / "new" / "plans.sqlite")
    assert connection.execute("PRAGMA user_version").fetchone()[0] == VERSION
    assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    connection.close()


def test_preparing_twice_keeps_what_is_there(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite"
    prepare(path)
    with sqlite3.connect(path) as connection:
        connection.execute(
            "INSERT INTO job (id, operation_name, operation, seconds, seed, state, asked_at)"
            " VALUES ('a', 'n', '{}', 1.0, 0, 'waiting', '2027-04-01T00:00:00+00:00')"
        )
    connection.close()
    prepare(path)
    assert connect(path).execute("SELECT count(*) FROM job").fetchone()[0] == 1


def test_a_store_of_a_later_version_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite"
    with sqlite3.connect(path) as connection:
        connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    connection.close()
    with pytest.raises(StoreError, match=f"version is {VERSION + 1}, this program knows {VERSION}"):
        prepare(path)
    assert connect(path).execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE theirs (x)")
    connection.close()
    with pytest.raises(StoreError):
        prepare(path)


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite"
    path.write_bytes(b"not a database, " * 100)
    with pytest.raises(StoreError, match="not a store of plans"):
        prepare(path)


def test_one_server_at_a_time_works_on_a_store(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite"
    held = hold(path)
    with pytest.raises(StoreError, match="another server works on it"):
        hold(path)
    held.close()
    hold(path).close()


def test_a_state_that_is_none_of_ours_cannot_be_written(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite"
    prepare(path)
    with sqlite3.connect(path) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute(
            "INSERT INTO job (id, operation_name, operation, seconds, seed, state, asked_at)"
            " VALUES ('a', 'n', '{}', 1.0, 0, 'lost', '2027-04-01T00:00:00+00:00')"
        )
    connection.close()
