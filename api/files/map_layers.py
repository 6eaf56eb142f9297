"""Shapes of a map file in degrees: GeoJSON, GeoPackage, KML, KMZ or a zipped shapefile, in any coordinate system it names."""

import io
import json
import tempfile
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

import geopandas as gpd
import numpy as np
import pyogrio
from defusedxml import DefusedXmlException
from defusedxml.ElementTree import ParseError, fromstring
from pyproj.exceptions import ProjError
from shapely.geometry.base import BaseGeometry

from api.files.headings import folded
from routing.inputs.faults import Fault, Origin
from routing.inputs.rows import MOST_ROWS

MOST_BYTES = 50_000_000
MOST_UNPACKED_BYTES = 200_000_000
MOST_PARTS = 500
A_MAP = "a map saved as .geojson, .gpkg or .kml, or a shapefile with all its parts in one .zip"
A_NAMED_GRID = "a map whose file names its coordinate system (in a shapefile: the .prj beside the .shp), or degrees of WGS 84"
_SQLITE = b"SQLite format 3\x00"
_SHAPEFILE = b"\x00\x00\x27\x0a"
_PARTS = (".shp", ".shx", ".dbf", ".prj", ".cpg")
_NOT_DEGREES = 1_000.0


@dataclass(frozen=True)
class Feature:
    """One shape of a map with its properties."""

    origin: Origin
    layer: str
    properties: dict[str, object]
    shape: BaseGeometry | None


def features_of(path: Path) -> tuple[list[Feature], list[Fault]]:
    """Return the shapes of a map in WGS 84, and what is wrong with the file."""
    content = path.read_bytes()
    found = _trouble(content)
    if found:
        return [], [Fault(file=path.name, found=found, allowed=A_MAP)]
    try:
        with warnings.catch_warnings():
            # Layers without a geometry, and dates that do not parse, are of no concern here.
            warnings.simplefilter("ignore")
            frames = list(_frames(path, content))
    except Exception:  # The map library raises errors of its own for each kind of damage.
        return [], [Fault(file=path.name, found="a map that cannot be read", allowed=A_MAP)]
    features: list[Feature] = []
    faults: list[Fault] = []
    for layer, frame in frames:
        in_degrees, trouble = _in_degrees(frame)
        if in_degrees is None:
            faults.append(Fault(file=path.name, sheet=layer if len(frames) > 1 else "", found=trouble, allowed=A_NAMED_GRID))
        else:
            features += _of_frame(in_degrees, layer, file_name=path.name, first=len(features) + 1)
    if not features and not faults:
        faults.append(Fault(file=path.name, found="a map without a shape", allowed="at least one shape"))
    if len(features) > MOST_ROWS:
        allowed = f"at most {MOST_ROWS:,}"
        return [], [Fault(file=path.name, found=f"{len(features):,} shapes", allowed=allowed)]
    return features, faults


def _trouble(content: bytes) -> str:
    """Return why a file is no map. What it says it is, is looked at before any map library opens it."""
    if len(content) > MOST_BYTES:
        return f"{len(content):,} bytes"
    if content.startswith(_SQLITE):
        return ""
    if content.startswith(_SHAPEFILE):
        return "a .shp without its other parts"
    if content.startswith(b"PK"):
        return _zip_trouble(content)
    if content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        return _kml_trouble(content)
    try:
        document = json.loads(content.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError):
        other = "a file that is neither GeoJSON nor a GeoPackage, KML or zipped shapefile"
        return other if content.strip() else "an empty file"
    kinds = ("FeatureCollection", "Feature")
    if not isinstance(document, dict) or document.get("type") not in kinds:
        return "a JSON document that is not a GeoJSON FeatureCollection"
    return ""


def _kml_trouble(content: bytes) -> str:
    try:
        root = fromstring(content, forbid_dtd=True)
    except (ParseError, DefusedXmlException, ValueError, LookupError):
        return "an XML document that is cut short, damaged or unsafe"
    return "" if root.tag.rsplit("}", 1)[-1] == "kml" else "an XML document that is not KML"


def _zip_trouble(content: bytes) -> str:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
            if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED_BYTES:
                return f"a .zip with more than {MOST_PARTS} parts or {MOST_UNPACKED_BYTES:,} bytes in it"
            if any(part.flag_bits & 1 for part in parts):
                return "a .zip with a password"
            endings = {PurePosixPath(part.filename).suffix.lower() for part in parts}
            if ".kml" in endings:
                return _kml_trouble(_only_kml(archive))
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, NotImplementedError):
        return "a .zip that is cut short or damaged"
    if ".shp" not in endings:
        return "a .zip without a shapefile in it"
    missing = [ending for ending in (".shx", ".dbf") if ending not in endings]
    return f"a zipped shapefile without its {' and '.join(missing)}" if missing else ""


def _only_kml(archive: zipfile.ZipFile) -> bytes:
    return archive.read(next(part for part in archive.infolist() if part.filename.lower().endswith(".kml")))


def _frames(path: Path, content: bytes) -> Iterator[tuple[str, gpd.GeoDataFrame]]:
    """Yield the layers that have shapes, by name."""
    if not content.startswith(b"PK"):
        yield from _layers(path)
        return
    with zipfile.ZipFile(io.BytesIO(content)) as archive, tempfile.TemporaryDirectory(prefix="bloomhaul-") as folder:
        if any(part.filename.lower().endswith(".kml") for part in archive.infolist()):
            alone = Path(folder, "map.kml")
            alone.write_bytes(_only_kml(archive))
            yield from _layers(alone)
            return
        for stem in _unpacked(archive, Path(folder)):
            yield from _layers(Path(folder, f"{stem}.shp"))


def _unpacked(archive: zipfile.ZipFile, folder: Path) -> list[str]:
    """Write the parts of each shapefile under a name of our own; return the names."""
    stems: dict[str, str] = {}
    for part in archive.infolist():
        name = PurePosixPath(part.filename)
        # Some programs put a folder of hidden doubles into every archive that they make.
        if name.suffix.lower() in _PARTS and not part.filename.startswith("__MACOSX"):
            stem = stems.setdefault(str(name.with_suffix("")), f"layer{len(stems) + 1}")
            Path(folder, f"{stem}{name.suffix.lower()}").write_bytes(archive.read(part))
    return [stem for stem in stems.values() if Path(folder, f"{stem}.shp").exists()]


def _layers(path: Path) -> Iterator[tuple[str, gpd.GeoDataFrame]]:
    for layer, kind in pyogrio.list_layers(path):
        if kind is not None:
            yield str(layer), gpd.read_file(path, layer=layer, engine="pyogrio")


def _in_degrees(frame: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame | None, str]:
    """Return the frame in WGS 84, or None and why no way leads there."""
    if frame.crs is None:
        return None, f"{_corners(frame)}no coordinate system"
    try:
        return frame.to_crs(4326), ""
    except (ProjError, ValueError):
        return None, f"{_corners(frame)}a coordinate system not tied to the earth"


def _corners(frame: gpd.GeoDataFrame) -> str:
    """Return what coordinates that are no degrees look like, in words that lead on."""
    west, south, _, _ = frame.total_bounds
    if not np.isfinite([west, south]).all() or max(abs(west), abs(south)) <= _NOT_DEGREES:
        return ""
    return f"corners such as {west:,.0f}, {south:,.0f} in feet or metres of an unknown grid, and "


def _of_frame(frame: gpd.GeoDataFrame, layer: str, *, file_name: str, first: int) -> Iterator[Feature]:
    others = frame.drop(columns=[str(frame.geometry.name)])
    names = [folded(name) for name in others.columns]
    rows = others.itertuples(index=False, name=None)
    for number, (values, shape) in enumerate(zip(rows, frame.geometry, strict=True), first):
        origin = Origin(file=file_name, path=f"feature {number}", joint=", ")
        yield Feature(origin, layer, dict(zip(names, values, strict=True)), shape)
