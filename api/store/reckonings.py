"""Reckonings beside the plans: the odds of a plan, the price of a contract. Each method is one transaction."""

import datetime as dt
import secrets
import sqlite3
from typing import Literal

from pydantic import AwareDatetime

from api.store.file import StoreFile
from routing.record import Record

Kind = Literal["odds", "quote"]


class Reckoning(Record):
    """One reckoning, as the store keeps it."""

    id: str
    kind: Kind
    subject: str
    """The plan's job, or the operation, that it is about."""
    asked: str
    """What was asked, as JSON."""
    state: Literal["running", "done", "interrupted", "failed"]
    answer: str
    """What came of it, as JSON; empty until it is done."""
    note: str
    """Why it failed or was interrupted; else empty."""
    asked_at: AwareDatetime


class ReckoningStore(StoreFile):
    """The reckonings in the file at ``path``, which ``schema.prepare`` has made ready."""

    def add(self, kind: Kind, subject: str, *, asked: str) -> str:
        """Write down what is asked and return its id."""
        reckoning_id = secrets.token_hex(8)
        self._do(
            "INSERT INTO reckoning (id, kind, subject, asked, state, asked_at) VALUES (?, ?, ?, ?, 'running', ?)",
            reckoning_id, kind, subject, asked, dt.datetime.now(dt.UTC).isoformat(),
        )  # fmt: skip
        return reckoning_id

    def get(self, reckoning_id: str) -> Reckoning | None:
        """Return the reckoning, or None when there is none of that id."""
        rows = self._do("SELECT * FROM reckoning WHERE id = ?", reckoning_id)
        return _reckoning(rows[0]) if rows else None

    def about(self, kind: Kind, subject: str, *, most: int = 20) -> tuple[Reckoning, ...]:
        """Return the reckonings of one kind about one plan or operation, the last asked first."""
        order = "ORDER BY asked_at DESC, rowid DESC LIMIT ?"
        rows = self._do(f"SELECT * FROM reckoning WHERE kind = ? AND subject = ? {order}", kind, subject, most)
        return tuple(_reckoning(row) for row in rows)

    def finish(self, reckoning_id: str, answer: str) -> None:
        """Keep what came of a reckoning."""
        self._do("UPDATE reckoning SET state = 'done', answer = ? WHERE id = ? AND state = 'running'", answer, reckoning_id)

    def fail(self, reckoning_id: str, note: str) -> None:
        """End a reckoning that is still running without an answer."""
        self._do("UPDATE reckoning SET state = 'failed', note = ? WHERE id = ? AND state = 'running'", note, reckoning_id)

    def mark_interrupted(self) -> None:
        """Mark the reckonings that an earlier server left running."""
        self._do("UPDATE reckoning SET state = 'interrupted', note = ? WHERE state = 'running'", "The server stopped meanwhile.")


def _reckoning(row: sqlite3.Row) -> Reckoning:
    return Reckoning.model_validate(dict(row) | {"asked_at": dt.datetime.fromisoformat(row["asked_at"])})
