"""From an OpenStreetMap extract to a folder that ways can be measured with; refused when the self-test fails."""

import hashlib
import json
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from api.roads.country import country_of, write_boundary
from api.roads.engine import TILES, build_boundaries, build_tiles, engine_version, need
from api.roads.errors import RoadsError
from api.roads.mend import plain_text, write_mended
from api.roads.scan import SIGNS, Scan, scan_map, write_signs
from api.roads.trial import Text, Trial, can_be_tried, misread, must_pass, run_trials
from routing.limits import limit
from routing.record import Record
from routing.roads.sign import Sign

STAMP, BOUNDARY, FORMAT = "roads.json", "boundary.osm.pbf", 1
MOST_TEXTS = 200
"""Different texts of signs that are tried; more are a sign of a map that is not written by its own rules."""
Say = Callable[[str], None]


class Stamp(Record):
    """What the tiles of a folder were made of, and how their self-test went."""

    format: int
    extract: str
    """Name of the map's file."""
    sha256: str
    """Of the map's content."""
    engine: str
    country: str
    box: tuple[float, float, float, float]
    """South, west, north, east of its roads. [deg]"""
    roads: int
    signs: int
    tried: tuple[str, ...]
    """Signs tried, each in a sentence."""
    mended: tuple[str, ...]
    """Texts that the engine misread and that were written anew."""
    given_speed: int
    """Tracks and roads not paved that the map has no speed for: driven at the two speeds below."""
    track_mph: float
    unpaved_mph: float

    @property
    def tiles_id(self) -> str:
        """What tells these tiles from all others."""
        return hashlib.sha256(self.model_dump_json().encode()).hexdigest()[:16]


@dataclass(frozen=True)
class _Made:
    """What building left behind."""

    trials: tuple[Trial, ...]
    mended: tuple[Text, ...]
    given_speed: int


def build_roads(extract: Path, into: Path, *, country: str | None = None, say: Say = lambda _: None) -> Stamp:
    """Make the tiles of a map in a folder, test them, and return their stamp.

    Parameters
    ----------
    extract
        OpenStreetMap extract, ``.osm.pbf``.
    into
        Folder; made if missing. Tiles that were made of the same map by the same engine are left as they are.
    country
        Two letters, as in ISO 3166-1; None: the United States, if every road of the map lies there.
    say
        Called with what is being done.

    Raises
    ------
    RoadsError
        If the engine is missing, the map cannot be read, or the folder holds something else.
    SelfTestError
        If the engine misreads a known sign within the map: nothing is kept.
    """
    version = engine_version()
    need("osmium", "osmium")
    sha256 = _sha256(extract)
    _must_be_ours(into)
    earlier = _earlier(into)
    if earlier and _same(earlier, sha256, version) and country in (None, earlier.country):
        say(f"{into}: made of this map already, by the same engine; nothing to do.")
        return earlier
    say(f"Reading the signs of {extract.name}.")
    scan = scan_map(extract)
    code = country_of(scan.points, country, extract.name)
    part = into.with_name(f".{into.name}.part")
    shutil.rmtree(part, ignore_errors=True)
    try:
        part.mkdir(parents=True)
        made = _build(extract, part, scan, code=code, say=say)
        write_signs(_with_hearing(scan.signs, made), part)
        stamp = Stamp(
            format=FORMAT, extract=extract.name, sha256=sha256, engine=version, country=code,
            box=scan.box, roads=scan.roads, signs=len(scan.signs), tried=tuple(one.words for one in made.trials),
            mended=tuple(f"{key}={value} as {plain_text(key, value, code)}" for key, value in made.mended),
            given_speed=made.given_speed, track_mph=limit("track_mph").value, unpaved_mph=limit("unpaved_mph").value,
        )  # fmt: skip
        (part / STAMP).write_text(stamp.model_dump_json(indent=1) + "\n", encoding="utf-8")
        shutil.rmtree(into, ignore_errors=True)
        part.replace(into)
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return stamp


def _earlier(into: Path) -> Stamp | None:
    """Return the stamp of what a folder holds; None when that is nothing, or nothing that can still be used."""
    try:
        return read_stamp(into)
    except RoadsError:
        return None


def _same(earlier: Stamp, sha256: str, version: str) -> bool:
    speeds = (limit("track_mph").value, limit("unpaved_mph").value)
    return (earlier.sha256, earlier.engine, earlier.track_mph, earlier.unpaved_mph) == (sha256, version, *speeds)


def _build(extract: Path, part: Path, scan: Scan, *, code: str, say: Say) -> _Made:
    texts = _texts(scan.signs)
    say(f"Building boundaries, and testing how signs are read in {code}.")
    # Most extracts cut their country's boundary, and one that does not close is none; a second one does no harm.
    write_boundary(code, scan.box, part / BOUNDARY)
    build_boundaries(part, [extract, part / BOUNDARY])
    trials = run_trials(part, scan.points, country=code, texts=texts)
    must_pass(trials, code, extract.name)
    wrong = tuple(dict.fromkeys(misread(trials)))
    if wrong:
        trials += _mended_well(part, scan, code, wrong)
    say(f"Building tiles of {scan.roads:,} roads.")
    mended = part / "mended.osm.pbf"
    _, given_speed = write_mended(extract, mended, texts=set(wrong), country=code)
    build_tiles(part, mended)
    mended.unlink()
    if not any((part / TILES).rglob("*.gph")):
        raise RoadsError(f"{extract.name}: the road engine made no tiles of it.")
    return _Made(trials, wrong, given_speed)


def _texts(signs: Sequence[Sign]) -> tuple[Text, ...]:
    """Return the different texts of signs that the engine should obey, the most frequent first."""
    count: dict[Text, int] = {}
    for one in signs:
        if one.heard and can_be_tried(one.key, one.value):
            count[one.key, one.value] = count.get((one.key, one.value), 0) + 1
    return tuple(sorted(count, key=lambda text: (-count[text], text)))[:MOST_TEXTS]


def _mended_well(part: Path, scan: Scan, code: str, wrong: Sequence[Text]) -> tuple[Trial, ...]:
    """Return the trials of the texts written anew; raise when one is still misread."""
    again = [(key, plain_text(key, value, code)) for key, value in wrong]
    trials = run_trials(part, scan.points, country=code, texts=again)
    still = set(misread(trials))
    for (key, value), text in zip(wrong, again, strict=True):
        if text in still:
            raise RoadsError(f"The road engine misreads the sign {key}={value}, and {text[1]} too; its tiles are not kept.")
    return tuple(one for one in trials if (one.key, one.value) in again)


def _with_hearing(signs: tuple[Sign, ...], made: _Made) -> tuple[Sign, ...]:
    """Return the signs, each with what the trials showed: a text that was not tried, or cannot be, is not heard."""
    tried = {(one.key, one.value) for one in made.trials} | set(made.mended)
    return tuple(
        one if not one.heard or one.kind == "trucks" or (one.key, one.value) in tried
        else one.model_copy(update={"heard": False})
        for one in signs
    )  # fmt: skip


def read_stamp(folder: Path) -> Stamp:
    """Return the stamp of a folder of tiles; raise ``RoadsError`` when it is none, or not of this program's making."""
    try:
        stamp = Stamp.model_validate_json((folder / STAMP).read_bytes())
    except FileNotFoundError:
        allowed = "a folder that 'bloomhaul roads build' made"
        raise RoadsError(f"{folder}: found no {STAMP} in it, allowed: {allowed}.") from None
    except (OSError, ValidationError) as error:
        raise RoadsError(f"{folder / STAMP}: cannot be read; build the roads anew.") from error
    if stamp.format != FORMAT or not (folder / SIGNS).exists() or not (folder / TILES).is_dir():
        raise RoadsError(f"{folder}: made by another version, or not whole; build the roads anew.")
    return stamp


def _must_be_ours(into: Path) -> None:
    """Raise ``RoadsError`` when writing to a folder would remove files that are not ours."""
    if into.exists() and not into.is_dir():
        raise RoadsError(f"{into}: found a file, allowed: a folder.")
    if into.is_dir() and any(into.iterdir()) and not (into / STAMP).exists():
        raise RoadsError(f"{into}: found a folder that holds other files, allowed: a new or empty one.")


def _sha256(file: Path) -> str:
    digest = hashlib.sha256()
    with file.open("rb") as stream:
        while block := stream.read(1 << 20):
            digest.update(block)
    return digest.hexdigest()


def content_id(*parts: object) -> str:
    """Return a short name that differs when any part does."""
    return hashlib.sha256(json.dumps(parts, sort_keys=True, default=str).encode()).hexdigest()[:24]
