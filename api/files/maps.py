"""Outlines of blocks from a map file: GeoJSON or GeoPackage, in any coordinate system that names itself."""

import json
import math
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import geopandas as gpd
import pyogrio
import shapely
from pyproj.exceptions import ProjError
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from api.files.headings import folded
from routing.inputs.cross_check_outlines import polygon_trouble
from routing.inputs.faults import Fault, Origin, nearest, shown
from routing.inputs.rows import MOST_ROWS, Draft, Row
from routing.inputs.tables import table

MOST_BYTES = 50_000_000
A_MAP = "a map saved as .geojson or .gpkg"
DIGITS = 7
"""Of a degree: a centimetre."""
COARSER_DEG = 1e-5
"""About a metre: by how much an outline with too many corners is smoothed."""
_SQLITE = b"SQLite format 3\x00"


@dataclass(frozen=True)
class _Feature:
    """One shape of a map with its properties."""

    origin: Origin
    properties: dict[str, object]
    shape: BaseGeometry | None


def with_outlines(draft: Draft, path: Path) -> Draft:
    """Return the draft with the outlines of a map put into its rows of blocks.

    Parameters
    ----------
    draft
        The operation as read so far.
    path
        A GeoJSON or GeoPackage file. Each shape is one polygon and names its row of blocks by the properties
        ``contract`` and ``block``; with a property ``acres`` it may also be a block that has no row yet.

    Returns
    -------
    Draft
        Outlines in WGS 84, counter-clockwise; what cannot be used is among the faults.
    """
    features, faults = _features(path)
    rows = list(draft.rows.get("blocks", ()))
    for feature in features:
        fault = _put(feature, rows)
        if fault is not None:
            faults.append(fault)
    return replace(draft, rows={**draft.rows, "blocks": tuple(rows)}, faults=(*draft.faults, *faults))


def _features(path: Path) -> tuple[list[_Feature], list[Fault]]:
    content = path.read_bytes()
    found = _trouble(content)
    if found:
        return [], [Fault(file=path.name, found=found, allowed=A_MAP)]
    try:
        with warnings.catch_warnings():
            # Layers without a geometry, and dates that do not parse, are of no concern here.
            warnings.simplefilter("ignore")
            frames = [
                gpd.read_file(path, layer=layer, engine="pyogrio")
                for layer, kind in pyogrio.list_layers(path)
                if kind is not None
            ]
    except Exception:  # The map library raises errors of its own for each kind of damage.
        return [], [Fault(file=path.name, found="a map that cannot be read", allowed=A_MAP)]
    features: list[_Feature] = []
    faults: list[Fault] = []
    for frame in frames:
        in_degrees = _in_degrees(frame)
        if in_degrees is None:
            found = (
                "no coordinate system" if frame.crs is None else "a coordinate system not tied to the earth"
            )
            allowed = "a map whose file names its coordinate system"
            faults.append(Fault(file=path.name, found=found, allowed=allowed))
        else:
            features += _of_frame(in_degrees, path.name, first=len(features) + 1)
    if not features and not faults:
        faults.append(Fault(file=path.name, found="a map without a shape", allowed="at least one polygon"))
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
    try:
        document = json.loads(content.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError):
        return "a file that is neither GeoJSON nor a GeoPackage" if content.strip() else "an empty file"
    kinds = ("FeatureCollection", "Feature")
    if not isinstance(document, dict) or document.get("type") not in kinds:
        return "a JSON document that is not a GeoJSON FeatureCollection"
    return ""


def _in_degrees(frame: gpd.GeoDataFrame) -> gpd.GeoDataFrame | None:
    """Return the frame in WGS 84, or None when no way leads there."""
    try:
        return None if frame.crs is None else frame.to_crs(4326)
    except (ProjError, ValueError):
        return None


def _of_frame(frame: gpd.GeoDataFrame, file_name: str, *, first: int) -> Iterator[_Feature]:
    others = frame.drop(columns=[str(frame.geometry.name)])
    names = [folded(name) for name in others.columns]
    rows = others.itertuples(index=False, name=None)
    for number, (values, shape) in enumerate(zip(rows, frame.geometry, strict=True), first):
        origin = Origin(file=file_name, path=f"feature {number}", joint=", ")
        yield _Feature(origin, dict(zip(names, values, strict=True)), shape)


def _put(feature: _Feature, rows: list[Row]) -> Fault | None:
    """Put the outline into its row, or add a row; return what is wrong instead, if anything is."""
    contract, block = _named(feature, "contract"), _named(feature, "block")
    for name, value in (("contract", contract), ("block", block)):
        if not value:
            return _fault(feature, f"property {name}", "nothing", "text: the name of the block's " + name)
    outline, trouble = _outline(feature.shape)
    if trouble:
        return _fault(feature, "outline", trouble, "one polygon that does not cross itself")
    place = next((at for at, row in enumerate(rows) if _is_of(row, contract, block)), None)
    if place is None:
        return _add(feature, {"contract": contract, "name": block, "outline": outline}, rows)
    row = rows[place]
    if row.values.get("outline"):
        found = f"an outline of block {shown(block)} of {shown(contract)}, which has one already"
        return _fault(feature, "", found, "one outline for each block")
    origins = {**row.origins, "outline": feature.origin}
    rows[place] = replace(row, values={**row.values, "outline": outline}, origins=origins)
    return None


def _add(feature: _Feature, values: dict[str, object], rows: list[Row]) -> Fault | None:
    acres = feature.properties.get("acres")
    if acres is None or (isinstance(acres, float) and math.isnan(acres)):
        known = [str(row.values.get("name")) for row in rows]
        near = nearest(str(values["name"]), known)
        allowed = "a block of that contract in the sheet of blocks, or a property acres"
        found = f"{shown(values['name'])} of contract {shown(values['contract'])}"
        hint = f"; the nearest is '{near}'" if near else ""
        return _fault(feature, "property block", found, allowed + hint)
    rows.append(Row({**values, "acres": acres}, feature.origin, loose=True))
    return None


def _fault(feature: _Feature, column: str, found: str, allowed: str) -> Fault:
    return feature.origin.fault(column, column, found=found, allowed=allowed)


def _named(feature: _Feature, name: str) -> str:
    value = feature.properties.get(name)
    if isinstance(value, float):
        return "" if math.isnan(value) else f"{value:.15g}"
    return "" if value is None else str(value).strip()


def _is_of(row: Row, contract: str, block: str) -> bool:
    name = row.values.get("name")
    plain = f"{name:.15g}" if isinstance(name, float) else str(name)
    return str(row.values.get("contract")).strip() == contract and plain.strip() == block


def _outline(shape: BaseGeometry | None) -> tuple[str, str]:
    """Return the outline as WKT, or what is wrong with the shape."""
    if isinstance(shape, MultiPolygon) and len(shape.geoms) == 1:
        shape = shape.geoms[0]
    if not isinstance(shape, Polygon):
        parts = f" of {len(shape.geoms)} parts" if isinstance(shape, MultiPolygon) else ""
        return "", "no shape" if shape is None else f"a {shape.geom_type.lower()}{parts}"
    trouble = polygon_trouble(shape)
    if trouble:
        return "", trouble
    flat = shapely.orient_polygons(shapely.force_2d(shape))
    most = int(table("blocks").column("outline").rules["max_length"])
    for polygon in (flat, flat.simplify(COARSER_DEG), flat.simplify(10 * COARSER_DEG)):
        text = shapely.to_wkt(polygon, rounding_precision=DIGITS)
        if len(text) <= most:
            return text, ""
    return "", f"an outline of {len(flat.exterior.coords):,} corners"
