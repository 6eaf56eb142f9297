"""The tables of the store, and how a store is opened.

Rule: a store of a version that this program does not know is refused, never guessed at.
"""

import sqlite3
from pathlib import Path

from routing.errors import BloomhaulError

VERSION = 4
"""Kept in the file's ``user_version``; a store of an earlier version is brought up to it, nothing in it lost."""

_BUSY_S = 10.0
"""How long a writer waits for another one. [s]"""

_JOBS = """
CREATE TABLE job (
    id TEXT PRIMARY KEY,
    operation_name TEXT NOT NULL,
    operation TEXT NOT NULL,
    seconds REAL NOT NULL,
    seed INTEGER NOT NULL,
    steps INTEGER,
    state TEXT NOT NULL CHECK (state IN ('waiting', 'running', 'done', 'cancelled', 'interrupted', 'failed')),
    stop_why TEXT CHECK (stop_why IN ('cancel', 'shutdown')),
    asked_at TEXT NOT NULL,
    started_at TEXT,
    ended_at TEXT,
    elapsed_s REAL,
    cost_usd REAL,
    lower_bound_usd REAL,
    gap REAL,
    unkept_colonies INTEGER,
    progress_note TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX job_by_state ON job (state, asked_at);
CREATE TABLE plan (
    job TEXT PRIMARY KEY REFERENCES job (id) ON DELETE CASCADE,
    document TEXT NOT NULL
) STRICT;
"""
_OPERATIONS = """
CREATE TABLE operation (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    source TEXT NOT NULL,
    version INTEGER NOT NULL,
    document TEXT NOT NULL,
    kept_at TEXT NOT NULL,
    changed_at TEXT NOT NULL
) STRICT;
CREATE TABLE origin (
    job TEXT PRIMARY KEY REFERENCES job (id) ON DELETE CASCADE,
    operation TEXT NOT NULL REFERENCES operation (id) ON DELETE CASCADE,
    operation_version INTEGER NOT NULL,
    earlier TEXT REFERENCES job (id) ON DELETE SET NULL,
    change TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX origin_by_operation ON origin (operation);
CREATE TABLE progress (
    job TEXT NOT NULL REFERENCES job (id) ON DELETE CASCADE,
    elapsed_s REAL NOT NULL,
    cost_usd REAL,
    lower_bound_usd REAL,
    unkept_colonies INTEGER
) STRICT;
CREATE INDEX progress_by_job ON progress (job, elapsed_s);
"""
_RECKONINGS = """
CREATE TABLE reckoning (
    id TEXT PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('odds', 'quote')),
    subject TEXT NOT NULL,
    asked TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('running', 'done', 'interrupted', 'failed')),
    answer TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT '',
    asked_at TEXT NOT NULL
) STRICT;
CREATE INDEX reckoning_by_subject ON reckoning (subject, kind, asked_at);
"""
_RECORDS = """
CREATE TABLE handed (
    job TEXT NOT NULL,
    sheet TEXT NOT NULL,
    version TEXT NOT NULL,
    document TEXT NOT NULL,
    opened_at TEXT NOT NULL,
    PRIMARY KEY (job, sheet, version)
) STRICT;
CREATE TABLE record (
    id TEXT PRIMARY KEY,
    job TEXT NOT NULL,
    sheet TEXT NOT NULL,
    document TEXT NOT NULL,
    standing TEXT NOT NULL,
    got_at TEXT NOT NULL
) STRICT;
CREATE INDEX record_by_job ON record (job, sheet);
CREATE TABLE in_force (
    operation TEXT PRIMARY KEY REFERENCES operation (id) ON DELETE CASCADE,
    job TEXT NOT NULL REFERENCES job (id) ON DELETE CASCADE
) STRICT;
"""
# Records and handed sheets do not hang on a job table hangs on a job: what a driver has done stays when the plan is removed.
_STEPS = (_JOBS, _OPERATIONS, _RECKONINGS, _RECORDS)
"""What brings a store from each version to the next: the first from nothing to 1, the second from 1 to 2, and so on."""


class StoreError(BloomhaulError):
    """The store's file cannot be used: it is another program's, of a later version, or in use by a server."""


def connect(path: Path) -> sqlite3.Connection:
    """Return a connection to the store at ``path``, its rows readable by column name."""
    connection = sqlite3.connect(path, timeout=_BUSY_S, isolation_level=None)
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = NORMAL")
    return connection


def prepare(path: Path) -> None:
    """Make the store at ``path`` if it is not there.

    Raises
    ------
    StoreError
        If the file is no store, or a store of another version.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        connection = connect(path)
        try:
            _migrate(connection, path)
        finally:
            connection.close()
    except sqlite3.DatabaseError as error:
        raise StoreError(f"{path}: not a store of plans ({error}). Name another file.") from error


def _migrate(connection: sqlite3.Connection, path: Path) -> None:
    connection.execute("PRAGMA journal_mode = WAL")
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    has_tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] > 0
    if version > VERSION or version < 0 or (version == 0 and has_tables):
        raise StoreError(f"{path}: the store's version is {version}, this program knows {VERSION}. Name another file.")
    for next_version, tables in enumerate(_STEPS[version:], version + 1):
        connection.executescript(f"BEGIN; {tables} PRAGMA user_version = {next_version}; COMMIT;")


def hold(path: Path) -> sqlite3.Connection:
    """Return a lock that says 'a server works on this store'; it ends with the connection or the process.

    Raises
    ------
    StoreError
        If another server holds it.
    """
    connection = sqlite3.connect(f"{path}.server", timeout=0.2, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("BEGIN EXCLUSIVE")
    except sqlite3.OperationalError as error:
        connection.close()
        raise StoreError(f"{path}: another server works on it. Stop that, or name another file.") from error
    return connection
