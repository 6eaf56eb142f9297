"""The files that pages are dressed with: style, scripts, letters, map. All of them come from this machine."""

import gzip
import hashlib
import mimetypes
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

_LETTERS = "fontpkg_atkinson_hyperlegible"
_OWN = ("page.css", "page.js", "map.js", "states.geojson", "mark.svg", "drive.css", "drive.js", "drive_queue.js")
_MAP = ("leaflet.js", "leaflet.css", "images/layers.png", "images/layers-2x.png")
_MEDIA_TYPES = {".geojson": "application/geo+json", ".webmanifest": "application/manifest+json", ".js": "text/javascript"}


@dataclass(frozen=True)
class LookFile:
    """One file as it is sent."""

    content: bytes
    packed: bytes | None
    """The same, gzipped; None where that makes it no smaller."""
    media_type: str
    digest: str
    """Changes with the content: in the address, so that a browser may keep the file."""


@cache
def look_files() -> dict[str, LookFile]:
    """Return every file by the name that follows ``/look/``."""
    static = resources.files("api.pages").joinpath("static")
    found = {name: _file(static.joinpath(name), name) for name in _OWN}
    for weight in ("Regular", "Bold"):
        letters = resources.files(_LETTERS).joinpath("files", f"AtkinsonHyperlegible-{weight}.ttf")
        found[f"letters-{weight.lower()}.ttf"] = _file(letters, "letters.ttf")
    return found | {f"leaflet/{name}": _file(_leaflet().joinpath(name), name) for name in _MAP}


def look(name: str) -> str:
    """Return the address of a file; it holds the file's digest, so that a new program is never shown in an old dress."""
    return f"/look/{name}?v={look_files()[name].digest}"


def _leaflet() -> Path:
    from xstatic.pkg import leaflet

    return Path(leaflet.BASE_DIR)


def _file(source: Traversable | Path, name: str) -> LookFile:
    content = source.read_bytes()
    packed = gzip.compress(content, 9, mtime=0)
    suffix = Path(name).suffix
    return LookFile(
        content=content,
        packed=packed if len(packed) < len(content) else None,
        media_type=_MEDIA_TYPES.get(suffix) or mimetypes.guess_type(name)[0] or "application/octet-stream",
        digest=hashlib.sha256(content).hexdigest()[:10],
    )
