"""Read and write planning jobs. Every method is one transaction on a connection of its own."""

import datetime as dt
import math
import secrets
import sqlite3

from api.store.file import StoreFile
from api.store.job import Job, JobAsked, JobProgress, StopWhy

_COLUMNS = """id, operation_name, seconds, seed, steps, state, stop_why, asked_at, started_at, ended_at,
    elapsed_s, cost_usd, lower_bound_usd, gap, unkept_colonies, progress_note, note,
    EXISTS (SELECT 1 FROM plan WHERE plan.job = job.id) AS has_plan"""
_END_STATE = """CASE WHEN state = 'interrupted' OR stop_why = 'shutdown' THEN 'interrupted'
    WHEN stop_why = 'cancel' THEN 'cancelled' ELSE 'done' END"""

_SERVER_STOPPED = "The server stopped while this plan was being made."


class JobStore(StoreFile):
    """The planning jobs in the file at ``path``, which ``schema.prepare`` has made ready."""

    def add(self, asked: JobAsked) -> Job:
        """Put a job at the end of the line and return it; nobody can guess its id."""
        job_id = secrets.token_hex(16)
        with self._write() as connection:
            connection.execute(
                "INSERT INTO job (id, operation_name, operation, seconds, seed, steps, state, asked_at)"
                " VALUES (?, ?, ?, ?, ?, ?, 'waiting', ?)",
                (
                    job_id,
                    asked.operation_name,
                    asked.operation,
                    asked.seconds,
                    asked.seed,
                    asked.steps,
                    _now(),
                ),
            )
        return self._one(job_id)

    def _one(self, job_id: str) -> Job:
        job = self.get(job_id)
        if job is None:
            raise KeyError(job_id)
        return job

    def get(self, job_id: str) -> Job | None:
        """Return the job, or None when there is none of that id."""
        rows = self._do(f"SELECT {_COLUMNS} FROM job WHERE id = ?", job_id)
        return _job(rows[0]) if rows else None

    def newest(self, most: int, *, skip: int = 0) -> tuple[Job, ...]:
        """Return up to ``most`` jobs, the last asked first, after leaving out ``skip``."""
        order = "ORDER BY asked_at DESC, rowid DESC LIMIT ? OFFSET ?"
        rows = self._do(f"SELECT {_COLUMNS} FROM job {order}", most, skip)
        return tuple(_job(row) for row in rows)

    def matching(self, condition: str, *values: object, most: int) -> tuple[Job, ...]:
        """Return up to ``most`` jobs that meet a condition of ours in SQL, the last asked first."""
        query = f"SELECT {_COLUMNS} FROM job WHERE {condition} ORDER BY asked_at DESC, rowid DESC LIMIT ?"
        return tuple(_job(row) for row in self._do(query, *values, most))

    def count(self, state: str) -> int:
        """Return the number of jobs in ``state``."""
        return int(self._do("SELECT count(*) FROM job WHERE state = ?", state)[0][0])

    def operation(self, job_id: str) -> str | None:
        """Return the operation of a job as JSON, or None when there is no such job."""
        rows = self._do("SELECT operation FROM job WHERE id = ?", job_id)
        return str(rows[0][0]) if rows else None

    def plan(self, job_id: str) -> str | None:
        """Return the plan of a job as JSON, or None when there is none."""
        rows = self._do("SELECT document FROM plan WHERE job = ?", job_id)
        return str(rows[0][0]) if rows else None

    def claim_next(self) -> Job | None:
        """Set the job that has waited longest running and return it; None when none waits."""
        with self._write() as connection:
            row = connection.execute(
                "UPDATE job SET state = 'running', started_at = ? WHERE id ="
                " (SELECT id FROM job WHERE state = 'waiting' ORDER BY asked_at, rowid LIMIT 1) RETURNING id",
                (_now(),),
            ).fetchone()
        return self.get(row[0]) if row else None

    def report(self, job_id: str, progress: JobProgress) -> None:
        """Write down how far a running job is."""
        now = progress
        figures = [_finite(value) for value in (now.elapsed_s, now.cost_usd, now.lower_bound_usd, now.gap)]
        with self._write() as connection:
            connection.execute(
                "UPDATE job SET elapsed_s = ?, cost_usd = ?, lower_bound_usd = ?, gap = ?,"
                " unkept_colonies = ?, progress_note = ? WHERE id = ?",
                (*figures, now.unkept_colonies, now.note, job_id),
            )
            _put_point(connection, job_id, (*figures[:3], now.unkept_colonies))

    def keep_plan(self, job_id: str, document: str) -> None:
        """Keep a plan found so far; a later one takes its place. A job removed meanwhile stays removed."""
        with self._write() as connection:
            _put_plan(connection, job_id, document)

    def finish(self, job_id: str, document: str) -> None:
        """Keep the plan and end the job: done, or cancelled or interrupted when it was asked to stop."""
        with self._write() as connection:
            _put_plan(connection, job_id, document)
            connection.execute(
                f"UPDATE job SET state = {_END_STATE}, ended_at = ?,"
                " note = CASE WHEN stop_why = 'shutdown' THEN ? ELSE note END"
                " WHERE id = ? AND state IN ('running', 'interrupted')",
                (_now(), _SERVER_STOPPED, job_id),
            )

    def end(self, job_id: str, state: str, *, note: str) -> None:
        """End a job that is still running in ``state``, with the reason in one sentence."""
        with self._write() as connection:
            connection.execute(
                "UPDATE job SET state = ?, note = ?, ended_at = ? WHERE id = ? AND state = 'running'",
                (state, note, _now(), job_id),
            )

    def ask_to_stop(self, job_id: str, why: StopWhy) -> None:
        """Ask a running job to stop with the best plan it has; one that waits is cancelled at once."""
        with self._write() as connection:
            connection.execute(
                "UPDATE job SET stop_why = ? WHERE id = ? AND state = 'running' AND stop_why IS NULL",
                (why, job_id),
            )
            connection.execute(
                "UPDATE job SET state = 'cancelled', stop_why = ?, ended_at = ? WHERE id = ? AND state = 'waiting'",
                (why, _now(), job_id),
            )

    def must_stop(self, job_id: str) -> bool:
        """Return True when the job was asked to stop, no longer runs for any server, or is gone."""
        rows = self._do("SELECT stop_why IS NOT NULL OR state <> 'running' FROM job WHERE id = ?", job_id)
        return not rows or bool(rows[0][0])

    def remove(self, job_id: str) -> bool:
        """Remove a job with its plan; return False when there was none. A running one notices and stops."""
        with self._write() as connection:
            connection.execute("DELETE FROM reckoning WHERE subject = ?", (job_id,))
            return connection.execute("DELETE FROM job WHERE id = ?", (job_id,)).rowcount > 0

    def mark_interrupted(self) -> None:
        """Mark the jobs that an earlier server left running; a plan that they kept stays."""
        with self._write() as connection:
            connection.execute(
                "UPDATE job SET state = 'interrupted', ended_at = ?, note = ? WHERE state = 'running'",
                (_now(), _SERVER_STOPPED),
            )


def _put_plan(connection: sqlite3.Connection, job_id: str, document: str) -> None:
    connection.execute("INSERT OR REPLACE INTO plan (job, document) SELECT id, ? FROM job WHERE id = ?", (document, job_id))


def _put_point(connection: sqlite3.Connection, job_id: str, point: tuple[float | None, ...]) -> None:
    # Only a figure that moved makes a new point, so that an hour of planning stays a short list.
    columns = "cost_usd IS ? AND lower_bound_usd IS ? AND unkept_colonies IS ?"
    last = f"SELECT {columns} FROM progress WHERE job = ? ORDER BY rowid DESC LIMIT 1"
    same = connection.execute(last, (*point[1:], job_id)).fetchone()
    if point[0] is None or (same and same[0]):
        return
    connection.execute(
        "INSERT INTO progress (job, elapsed_s, cost_usd, lower_bound_usd, unkept_colonies)"
        " SELECT id, ?, ?, ?, ? FROM job WHERE id = ?",
        (*point, job_id),
    )


def _now() -> str:
    return dt.datetime.now(dt.UTC).isoformat()


def _finite(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def _time(text: str | None) -> dt.datetime | None:
    return None if text is None else dt.datetime.fromisoformat(text)


def _job(row: sqlite3.Row) -> Job:
    progress = JobProgress.model_validate(
        {name: row[name] for name in ("elapsed_s", "cost_usd", "lower_bound_usd", "gap", "unkept_colonies")}
        | {"note": row["progress_note"]}
    )
    same = ("id", "operation_name", "seconds", "seed", "steps", "state", "stop_why", "note")
    times = {name: _time(row[name]) for name in ("asked_at", "started_at", "ended_at")}
    return Job.model_validate(
        {name: row[name] for name in same} | times | {"progress": progress, "has_plan": bool(row["has_plan"])}
    )
