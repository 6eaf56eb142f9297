"""How a command ends: its exit code, and what it says on standard error before."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import typer

from routing.errors import BloomhaulError, OperationError

ALL_WELL: Final = 0
NOT_KEPT: Final = 1
"""A promise is not kept, or a check is broken; what was asked for is written all the same."""
WRONG_CALL: Final = 2
FAULTS: Final = 3
"""The file given has faults; all of them are printed."""
NOT_WRITTEN: Final = 4
INTERRUPTED: Final = 130
"""Stopped by Ctrl-C; the best plan so far is written."""


def say(text: str) -> None:
    """Print one line on standard error."""
    from routing.sheets.words import printable

    print(printable(text), file=sys.stderr)


@contextmanager
def faults_told(path: Path) -> Iterator[None]:
    """Print every fault of the file at ``path`` and end with ``FAULTS``, if reading it raises."""
    try:
        yield
    except OperationError as error:
        number = len(error.faults)
        say(f"{path}: {number} fault{'' if number == 1 else 's'}. Nothing was planned or written.")
        for fault in error.faults:
            say(str(fault))
        raise typer.Exit(FAULTS) from error
    except OSError as error:
        say(f"{path}: the file cannot be read: {error.strerror or error}.")
        raise typer.Exit(FAULTS) from error
    except BloomhaulError as error:
        say(f"{path}: {error}")
        raise typer.Exit(FAULTS) from error


@contextmanager
def writing(path: Path) -> Iterator[None]:
    """End with ``NOT_WRITTEN`` and one sentence, if writing to ``path`` fails."""
    try:
        yield
    except OSError as error:
        say(f"{error.filename or path}: cannot be written: {error.strerror or error}.")
        raise typer.Exit(NOT_WRITTEN) from error
