"""What a server may be told: where it keeps plans, whom it answers, and how much it takes at once."""

import re
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from pydantic import Field

from routing.record import Record

TILES = re.compile(r"https?://[A-Za-z0-9.{}-]+(:[0-9]+)?/[^ '\";,]*")
"""An address of map tiles: it stands in a header, so nothing that could end its part of it."""


class Settings(Record):
    """Settings of one server. Everything but ``store`` has a value that suits one person on one machine."""

    store: Path
    """SQLite file of the plans; made when it is not there."""
    hosts: tuple[str, ...] = ("127.0.0.1", "localhost", "[::1]")
    """Names under which the server answers; a request that asks for another host is refused."""
    planning_processes: int = Field(1, ge=1, le=32)
    """Plans made at the same time; the others wait in line."""
    most_waiting: int = Field(20, ge=1, le=1000)
    """Plans that may wait in line."""
    most_seconds: float = Field(3600.0, gt=0)
    """Longest planning time that may be asked for. [s]"""
    most_body_bytes: int = Field(16_000_000, ge=1000)
    """Largest request body. [bytes]"""
    most_json_depth: int = Field(24, ge=4, le=200)
    """Deepest nesting of lists and objects in a JSON body."""
    tiles: str = Field("", pattern=f"^({TILES.pattern})?$")
    """Address of map tiles with {z}, {x} and {y}; empty: the map shows State outlines from this machine only."""
    tiles_by: str = Field("", max_length=200)
    """Whom the tiles come from, as their owner asks to be named on the map."""
    stop_grace_s: float = Field(30.0, gt=0)
    """Time that a planning process has to end by itself once it was asked to, before it is ended. [s]"""


def program_version() -> str:
    """Return the version of the installed program, or ``0+source`` when it runs from its source folder."""
    try:
        return version("bloomhaul")
    except PackageNotFoundError:
        return "0+source"
