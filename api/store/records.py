"""Keep what drivers record. Every method is one transaction; what was answered for is on the disk."""

import datetime as dt
import json
import sqlite3
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from api.store.file import StoreFile
from api.store.record import Answer, DriverRecord, Event, Handed, Standing

_TURN = threading.Lock()
"""Writers of one process wait in line here: the file's own lock lets chance choose who is next."""


class RecordStore(StoreFile):
    """The drivers' records in the file at ``path``, which ``schema.prepare`` has made ready."""

    @contextmanager
    def _write(self, *first: str) -> Iterator[sqlite3.Connection]:
        # A telephone forgets what was answered for, so the answer waits for the disk.
        with _TURN, super()._write("PRAGMA synchronous = FULL", *first) as connection:
            yield connection

    def hand(self, handed: Handed) -> None:
        """Remember a state of a sheet that a driver has opened."""
        known = "SELECT 1 FROM handed WHERE job = ? AND sheet = ? AND version = ?"
        if self._do(known, handed.job, handed.sheet, handed.version):
            return
        with self._write() as connection:
            connection.execute(
                "INSERT OR IGNORE INTO handed (job, sheet, version, document, opened_at) VALUES (?, ?, ?, ?, ?)",
                (handed.job, handed.sheet, handed.version, handed.model_dump_json(), _now().isoformat()),
            )

    def handed(self, job: str, sheet: str) -> tuple[Handed, ...]:
        """Return the states of a sheet that drivers have opened, the first opened first."""
        rows = self._do("SELECT document FROM handed WHERE job = ? AND sheet = ? ORDER BY opened_at, rowid", job, sheet)
        return tuple(Handed.model_validate_json(row[0]) for row in rows)

    def keep(
        self, handed: tuple[str, str], events: Sequence[tuple[Event, Standing]], *, ahead_s: float | None = None
    ) -> tuple[Answer, ...]:
        """Keep events of one sheet, each once, and return what became of each, in their order.

        Parameters
        ----------
        handed
            Job and sheet.
        events
            What was sent, and how the sheet stands for it; one that is there already is answered as the first time.
        ahead_s
            How far the telephone's clock is ahead of this one; None when it did not say. [s]
        """
        with self._write() as connection:
            return tuple(_kept(connection, handed, _record(handed[1], event, standing, ahead_s)) for event, standing in events)

    def of(self, job: str, sheet: str = "") -> tuple[DriverRecord, ...]:
        """Return what was recorded on a plan's sheets, or on one of them, in the order of their times."""
        rows = self._do("SELECT document FROM record WHERE job = ? AND (? IN ('', sheet)) ORDER BY rowid", job, sheet)
        return in_order(DriverRecord.model_validate_json(row[0]) for row in rows)

    def put_in_force(self, operation: str, job: str) -> None:
        """Remember that drivers go by the plan of ``job``; sheets of the operation's other plans are replaced by it."""
        with self._write() as connection:
            connection.execute("INSERT OR REPLACE INTO in_force (operation, job) VALUES (?, ?)", (operation, job))

    def in_force(self, operation: str) -> str | None:
        """Return the job of the plan that drivers go by; None when nobody has said."""
        rows = self._do("SELECT job FROM in_force WHERE operation = ?", operation)
        return str(rows[0][0]) if rows else None

    def recorded_sheets(self) -> tuple[Handed, ...]:
        """Return every sheet with records as it was last opened, the last recorded first; their plans may be gone."""
        rows = self._do("SELECT job, sheet FROM record GROUP BY job, sheet ORDER BY max(got_at) DESC")
        return tuple(self.handed(row["job"], row["sheet"])[-1] for row in rows)


def in_order(records: Iterator[DriverRecord]) -> tuple[DriverRecord, ...]:
    """Return records by their times; of one telephone in the order in which it made them, whatever its clock said."""
    found = list(records)
    turns = sorted((one for one in found if one.event.turn is not None), key=lambda one: one.event.turn or 0)
    latest: dict[str, dt.datetime] = {}
    keys = {one.event.id: (one.at, 0) for one in found}
    for one in turns:
        at = max(one.at, latest.get(one.event.phone, one.at))
        latest[one.event.phone], keys[one.event.id] = at, (at, one.event.turn or 0)
    return tuple(sorted(found, key=lambda one: keys[one.event.id]))


def _record(sheet: str, event: Event, standing: Standing, ahead_s: float | None) -> DriverRecord:
    return DriverRecord(event=event, sheet=sheet, got_at=_now(), standing=standing, ahead_s=ahead_s)


def _kept(connection: sqlite3.Connection, handed: tuple[str, str], record: DriverRecord) -> Answer:
    event, (job, sheet) = record.event, handed
    connection.execute(
        "INSERT OR IGNORE INTO record (id, job, sheet, document, standing, got_at) VALUES (?, ?, ?, ?, ?, ?)",
        (event.id, job, sheet, record.model_dump_json(), record.standing, record.got_at.isoformat()),
    )
    row = connection.execute("SELECT job, sheet, document FROM record WHERE id = ?", (event.id,)).fetchone()
    first = DriverRecord.model_validate_json(row["document"])
    same = (row["job"], row["sheet"], _content(first.event)) == (job, sheet, _content(event))
    return Answer(id=event.id, state="kept" if same else "differs", got_at=first.got_at, standing=first.standing)


def _content(event: Event) -> str:
    return json.dumps(event.model_dump(mode="json"), sort_keys=True)


def _now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)
