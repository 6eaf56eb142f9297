"""Read the rows of every TOML file beside this one; look one up by name."""

import tomllib
from functools import cache
from importlib import resources
from typing import Literal

from pydantic import ValidationError

from routing.errors import SourceError
from routing.record import Record


class Limit(Record):
    """One published limit, or one default that a user may replace."""

    name: str
    value: float
    unit: str
    where: str
    """Where and when it applies."""
    force: Literal["law", "standard", "advice", "practice", "own figure"]
    source: str
    status: Literal["read", "quoted", "computed", "from memory", "common practice, no source"]
    """How sure: read at the source, quoted by another, computed, from memory, or a fact of the trade."""


@cache
def rows() -> dict[str, Limit]:
    """Return every limit by name.

    Raises
    ------
    SourceError
        If a row lacks its source, is malformed, or repeats a name.
    """
    found: dict[str, Limit] = {}
    for file in sorted(resources.files("routing.limits").iterdir(), key=lambda item: item.name):
        if file.name.endswith(".toml"):
            for row in tomllib.loads(file.read_text(encoding="utf-8"))["limit"]:
                one = _limit(file.name, row)
                if one.name in found:
                    raise SourceError(f"{file.name}: the limit {one.name} is written twice.")
                found[one.name] = one
    return found


def _limit(file_name: str, row: dict[str, object]) -> Limit:
    value = row.get("value")
    try:
        one = Limit.model_validate({**row, "value": float(value) if isinstance(value, int) else value})
    except ValidationError as error:
        raise SourceError(f"{file_name}: the limit {row.get('name')} is not complete: {error}") from error
    if not one.source.strip():
        raise SourceError(f"{file_name}: the limit {one.name} names no source.")
    return one


def limit(name: str) -> Limit:
    """Return the limit called ``name``; raise ``SourceError`` when there is none."""
    try:
        return rows()[name]
    except KeyError:
        raise SourceError(f"No limit is called {name}.") from None
