"""The road engine, in process: its settings, its programs that build, and the call that answers.

The engine is pyvalhalla (MIT), an extra: nothing here is imported before it is needed.
"""

import json
import os
import subprocess
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from api.roads.errors import EngineMissingError, NoAnswerError, RoadsError

TILES, ADMINS = "tiles", "admins.sqlite"
MOST_PAIRS, MOST_METRES = 4_000_000, 5_000_000.0
"""What one question may hold: the engine's own defaults stop at 2,500 pairs and 400 km."""


def need(part: str, module: str) -> None:
    """Raise ``EngineMissingError`` when a package of the extra is not installed."""
    if find_spec(module) is None:
        raise EngineMissingError(part)


def engine_version() -> str:
    """Return the version of the engine installed; raise ``EngineMissingError`` when there is none."""
    need("pyvalhalla", "valhalla")
    import valhalla

    return str(valhalla.__version__)


def settings(folder: Path) -> dict[str, Any]:
    """Return the engine's settings for the tiles and boundaries in a folder, which must be there."""
    need("pyvalhalla", "valhalla")
    from valhalla import get_config

    (folder / TILES).mkdir(parents=True, exist_ok=True)
    # A deep copy: the package hands out its own defaults, and one folder's would reach the next.
    found: dict[str, Any] = json.loads(json.dumps(get_config(tile_extract="", tile_dir=folder / TILES)))
    found["mjolnir"] |= {"admin": str(folder / ADMINS), "concurrency": max(1, min(4, os.cpu_count() or 1))}
    for name in ("timezone", "landmarks", "traffic_extract", "transit_dir"):
        found["mjolnir"].pop(name, None)
    for costing in ("truck", "auto"):
        found["service_limits"][costing] |= {"max_matrix_location_pairs": MOST_PAIRS, "max_matrix_distance": MOST_METRES}
    return found


def build_boundaries(folder: Path, maps: Sequence[Path]) -> None:
    """Make the database of boundaries, by which weights of the United States are read as short tons."""
    _run("valhalla_build_admins", folder, maps)


def build_tiles(folder: Path, map_file: Path, *, boundaries: Path | None = None) -> None:
    """Make the tiles of a map; ``boundaries`` is a database other than the folder's own."""
    _run("valhalla_build_tiles", folder, [map_file], boundaries)


def _run(program: str, folder: Path, maps: Sequence[Path], boundaries: Path | None = None) -> None:
    import valhalla

    asked = settings(folder)
    if boundaries is not None:
        asked["mjolnir"]["admin"] = str(boundaries)
    file = folder / "engine.json"
    file.write_text(json.dumps(asked), encoding="utf-8")
    tool = Path(valhalla.__file__).parent / "bin" / (program + (".exe" if os.name == "nt" else ""))
    ran = subprocess.run(
        [str(tool), "-c", str(file), *map(str, maps)], capture_output=True, text=True, errors="replace", check=False
    )
    file.unlink()
    if ran.returncode != 0:
        said = [line for line in (ran.stdout + ran.stderr).splitlines() if line.strip()]
        raise RoadsError(f"{maps[0].name}: the road engine could not read it: {said[-1] if said else ran.returncode}.")


_CALLS = {"sources_to_targets": "matrix"}
"""Actions that the package calls otherwise than the interface does."""


class Engine:
    """The engine with the tiles of one folder open."""

    def __init__(self, folder: Path) -> None:
        need("pyvalhalla", "valhalla")
        from valhalla import Actor

        self._settings = settings(folder)
        self._actor = Actor(self._settings)

    def ask(self, action: str, question: dict[str, Any]) -> Any:
        """Return the engine's answer; raise ``NoAnswerError`` with its own words when it has none."""
        from valhalla import ValhallaError

        try:
            return json.loads(getattr(self._actor, _CALLS.get(action, action))(json.dumps(question)))
        except ValhallaError as error:
            raise NoAnswerError(f"The road engine has no answer: {str(error).rstrip('.')}.") from error
