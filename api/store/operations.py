"""Read and write operations, where plans came from, and how far planning was. Each method is one transaction."""

import datetime as dt
import secrets
import sqlite3

from api.store.file import StoreFile
from api.store.job import Job
from api.store.jobs import JobStore
from api.store.operation import KeptOperation, Origin, ProgressPoint, VersionConflictError

_KEPT = "id, name, source, version, kept_at, changed_at"


class OperationStore(StoreFile):
    """The operations in the file at ``path``, which ``schema.prepare`` has made ready."""

    def keep(self, name: str, document: str, *, source: str) -> KeptOperation:
        """Keep a new operation and return it; nobody can guess its id."""
        operation_id, now = secrets.token_hex(8), _now()
        with self._write() as connection:
            connection.execute(
                "INSERT INTO operation (id, name, source, version, document, kept_at, changed_at) VALUES (?, ?, ?, 1, ?, ?, ?)",
                (operation_id, name, source, document, now, now),
            )
        return self._one(operation_id)

    def _one(self, operation_id: str) -> KeptOperation:
        kept = self.get(operation_id)
        if kept is None:
            raise KeyError(operation_id)
        return kept

    def get(self, operation_id: str) -> KeptOperation | None:
        """Return the operation, or None when there is none of that id."""
        rows = self._do(f"SELECT {_KEPT} FROM operation WHERE id = ?", operation_id)
        return _kept(rows[0]) if rows else None

    def document(self, operation_id: str) -> str | None:
        """Return the operation as JSON, or None when there is none of that id."""
        rows = self._do("SELECT document FROM operation WHERE id = ?", operation_id)
        return str(rows[0][0]) if rows else None

    def every(self) -> tuple[KeptOperation, ...]:
        """Return all operations, the last changed first."""
        return tuple(_kept(row) for row in self._do(f"SELECT {_KEPT} FROM operation ORDER BY changed_at DESC, rowid DESC"))

    def replace(self, seen: KeptOperation, *, name: str, document: str, source: str) -> KeptOperation:
        """Put another document in the place of the one at version ``seen.version``, and return it as kept.

        Raises
        ------
        VersionConflictError
            If the operation was changed since; nothing is written.
        KeyError
            If it is gone.
        """
        with self._write() as connection:
            changed = connection.execute(
                "UPDATE operation SET name = ?, document = ?, source = ?, version = version + 1, changed_at = ?"
                " WHERE id = ? AND version = ?",
                (name, document, source, _now(), seen.id, seen.version),
            ).rowcount
        now = self._one(seen.id)
        if not changed:
            raise VersionConflictError(now, seen.version)
        return now

    def remove(self, operation_id: str) -> bool:
        """Remove an operation with its plans; return False when there was none."""
        with self._write() as connection:
            own = "(SELECT job FROM origin WHERE operation = ?)"
            connection.execute(f"DELETE FROM reckoning WHERE subject = ? OR subject IN {own}", (operation_id, operation_id))
            connection.execute(f"DELETE FROM job WHERE id IN {own}", (operation_id,))
            return connection.execute("DELETE FROM operation WHERE id = ?", (operation_id,)).rowcount > 0

    def link(self, origin: Origin) -> None:
        """Write down where a job came from."""
        with self._write() as connection:
            connection.execute(
                "INSERT INTO origin (job, operation, operation_version, earlier, change) VALUES (?, ?, ?, ?, ?)",
                (origin.job, origin.operation, origin.operation_version, origin.earlier, origin.change),
            )

    def origin(self, job_id: str) -> Origin | None:
        """Return where a job came from; None for one that was asked for by the API alone."""
        rows = self._do("SELECT job, operation, operation_version, earlier, change FROM origin WHERE job = ?", job_id)
        return Origin.model_validate(dict(rows[0])) if rows else None

    def jobs_of(self, operation_id: str, *, most: int = 50) -> tuple[Job, ...]:
        """Return the jobs of an operation, the last asked first."""
        query = "job.id IN (SELECT job FROM origin WHERE operation = ?)"
        return JobStore(self.path).matching(query, operation_id, most=most)

    def curve(self, job_id: str) -> tuple[ProgressPoint, ...]:
        """Return how far a job was, moment by moment."""
        columns = "elapsed_s, cost_usd, lower_bound_usd, unkept_colonies"
        rows = self._do(f"SELECT {columns} FROM progress WHERE job = ? ORDER BY elapsed_s, rowid", job_id)
        return tuple(ProgressPoint.model_validate(dict(row)) for row in rows)


def _kept(row: sqlite3.Row) -> KeptOperation:
    times = {name: dt.datetime.fromisoformat(row[name]) for name in ("kept_at", "changed_at")}
    return KeptOperation.model_validate(dict(row) | times)


def _now() -> str:
    return dt.datetime.now(dt.UTC).isoformat()

