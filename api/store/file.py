"""What every store has in common: one SQLite file, a connection for each transaction."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from api.store.schema import connect


class StoreFile:
    """The file at ``path``, which ``schema.prepare`` has made ready."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @contextmanager
    def _write(self, *first: str) -> Iterator[sqlite3.Connection]:
        """Give a connection within one transaction; ``first`` are statements made before it begins."""
        with closing(connect(self.path)) as connection:
            for statement in first:
                connection.execute(statement)
            # Taking the write lock first keeps two writers from reading the same old state.
            connection.execute("BEGIN IMMEDIATE")
            yield connection
            connection.execute("COMMIT")

    def _do(self, query: str, *values: object) -> list[sqlite3.Row]:
        """Make one statement, a transaction of its own, and return its rows."""
        with closing(connect(self.path)) as connection:
            return connection.execute(query, values).fetchall()
