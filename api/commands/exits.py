"""What a command says on standard error before it ends with a code that is not 0."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import typer

from api.commands.codes import FAULTS, NOT_WRITTEN
from routing.errors import BloomhaulError, OperationError


def say(text: str) -> None:
    """Print one line on standard error."""
    from routing.sheets.words import printable

    print(printable(text), file=sys.stderr)


@contextmanager
def faults_told(path: Path) -> Iterator[None]:
    """Print every fault of the file at ``path`` and end with ``FAULTS``, if reading it raises."""
    from routing.sheets.words import counted

    try:
        yield
    except OperationError as error:
        say(f"{path}: {counted(len(error.faults), 'fault')}. Nothing was planned or written.")
        for fault in error.faults:
            say(str(fault))
        raise typer.Exit(FAULTS) from error
    except OSError as error:
        say(f"{path}: the file cannot be read: {error.strerror or error}.")
        raise typer.Exit(FAULTS) from error
    except UnicodeDecodeError as error:
        say(f"{path}: found a byte that is not UTF-8 at position {error.start + 1}, allowed: text in UTF-8.")
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
