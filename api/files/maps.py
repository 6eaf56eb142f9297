"""The land from a map file: outlines of blocks, tracks, houses, water and the like, gates and drops, into their tables."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import shapely
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from api.files.headings import folded
from api.files.map_layers import Feature, features_of
from routing.inputs.cross_check_outlines import in_degrees_trouble, polygon_trouble
from routing.inputs.faults import Fault, nearest, shown
from routing.inputs.rows import Draft, Row
from routing.inputs.tables import table

DIGITS = 7
"""Of a degree: a centimetre."""
COARSER_DEG = 1e-5
"""About a metre: by how much a shape with too many corners is smoothed."""
POINTS = {"gate": "gates", "drop": "drops", "stake": "drops"}
OWN_KINDS = ("route", "stop", "piece of ground", "kept clear")
"""Of maps that this program writes; they are answers, not land."""
KINDS = ("block", *POINTS, *(str(kind) for kind in table("land_features").column("kind").choices))
_COLUMNS = {
    "blocks": ("acres", "row_bearing_deg", "row_spacing_ft"),
    "land_features": ("buffer_ft", "note"),
    "gates": ("note",),
    "drops": ("most_hives", "note"),
}
_SHORT = {"row_bearing_deg": "row_bearin", "row_spacing_ft": "row_spacin"}
"""Names of columns cut to ten letters, as shapefiles cut them."""


@dataclass(frozen=True)
class _Put:
    """The rows so far, and the names of contracts."""

    rows: dict[str, list[Row]]
    contracts: tuple[str, ...]


def with_map(draft: Draft, path: Path) -> Draft:
    """Return the draft with the shapes of a map put into its tables.

    Parameters
    ----------
    draft
        The operation as read so far.
    path
        A GeoJSON, GeoPackage, KML or KMZ file, or a zipped shapefile. Each shape says by its properties
        ``contract`` and ``block`` (or ``name``) what it is of, and by ``kind`` what it is: a block when it is left
        out; ``gate``, ``drop``, or a kind of the table of land features. Where a property is missing, a line
        ``kind: water`` of the description counts as well, and a layer or folder named as a contract.

    Returns
    -------
    Draft
        Shapes in WGS 84, outlines counter-clockwise; what cannot be used is among the faults.
    """
    features, faults = features_of(path)
    names = ("blocks", "gates", "drops", "land_features")
    rows = {name: list(draft.rows.get(name, ())) for name in names}
    contracts = tuple(str(row.values.get("name")).strip() for row in draft.rows.get("contracts", ()))
    put = _Put(rows, contracts)
    for feature in features:
        faults += _put(feature, put)
    return replace(draft, rows={**draft.rows, **{name: tuple(rows[name]) for name in names}}, faults=(*draft.faults, *faults))


def _put(feature: Feature, put: _Put) -> list[Fault]:
    """Put a shape into its row, or add rows; return what is wrong instead, if anything is."""
    kind = folded(_text(feature, "kind")) or "block"
    if kind in OWN_KINDS:
        return []
    if kind not in KINDS:
        near = nearest(kind, KINDS)
        hint = f"; the nearest is '{near}'" if near else ""
        return [_fault(feature, "property kind", shown(_text(feature, "kind")), f"one of: {', '.join(KINDS)}{hint}")]
    contract = _contract(feature, put.contracts)
    name = _text(feature, "block") or _text(feature, "name")
    wanted = "block" if kind == "block" else "name"
    missing = [("contract", contract), (wanted, name or (kind if kind not in ("block", *POINTS) else ""))]
    for label, value in missing:
        if not value:
            return [_fault(feature, f"property {label}", "nothing", f"text: the {label} of this {kind}")]
    if kind == "block":
        return _block(feature, put.rows["blocks"], contract=contract, block=name)
    if kind in POINTS:
        return _point(feature, put.rows[POINTS[kind]], contract=contract, name=name, kind=kind)
    return _land(feature, put.rows["land_features"], contract=contract, name=name, kind=kind)


def _contract(feature: Feature, contracts: tuple[str, ...]) -> str:
    named = _text(feature, "contract")
    if named:
        return named
    return next((one for one in contracts if folded(one) == folded(feature.layer)), "")


def _block(feature: Feature, rows: list[Row], *, contract: str, block: str) -> list[Fault]:
    outline, trouble = _outline(feature.shape)
    if trouble:
        return [_fault(feature, "outline", trouble, "one polygon that does not cross itself")]
    place = next((at for at, row in enumerate(rows) if _is_of(row, contract, block)), None)
    given = _given(feature, "blocks")
    if place is None:
        return _add(feature, {"contract": contract, "name": block, "outline": outline, **given}, rows)
    row = rows[place]
    if row.values.get("outline"):
        found = f"an outline of block {shown(block)} of {shown(contract)}, which has one already"
        return [_fault(feature, "", found, "one outline for each block")]
    new = {"outline": outline} | {name: value for name, value in given.items() if row.values.get(name) is None}
    origins = {**row.origins, **dict.fromkeys(new, feature.origin)}
    rows[place] = replace(row, values={**row.values, **new}, origins=origins)
    return []


def _add(feature: Feature, values: dict[str, object], rows: list[Row]) -> list[Fault]:
    if "acres" not in values:
        known = [str(row.values.get("name")) for row in rows]
        near = nearest(str(values["name"]), known)
        allowed = "a block of that contract in the sheet of blocks, or a property acres"
        found = f"{shown(values['name'])} of contract {shown(values['contract'])}"
        hint = f"; the nearest is '{near}'" if near else ""
        return [_fault(feature, "property block", found, allowed + hint)]
    rows.append(Row(values, feature.origin, loose=True))
    return []


def _point(feature: Feature, rows: list[Row], *, contract: str, name: str, kind: str) -> list[Fault]:
    point = _single(feature.shape)
    if not isinstance(point, Point) or point.is_empty:
        return [_fault(feature, kind, _kind_of(feature.shape), "a point")]
    if any(_is_of(row, contract, name) for row in rows):
        return [_fault(feature, "", f"{kind} {shown(name)} of {shown(contract)}, which is there already", f"each {kind} once")]
    values = {"contract": contract, "name": name, "latitude_deg": round(point.y, DIGITS), "longitude_deg": round(point.x, DIGITS)}
    rows.append(Row(values | _given(feature, POINTS[kind]), feature.origin, loose=True))
    return []


def _land(feature: Feature, rows: list[Row], *, contract: str, name: str, kind: str) -> list[Fault]:
    """Add a row for each part of the shape; parts, and shapes without a name, are numbered."""
    if feature.shape is None or feature.shape.is_empty:
        return [_fault(feature, kind, "no shape", "a point, line or polygon")]
    parts = list(shapely.get_parts(shapely.force_2d(feature.shape)))
    for part in parts:
        trouble = polygon_trouble(part) if isinstance(part, Polygon) else in_degrees_trouble(part)
        text = "" if trouble else _short_enough(part, "land_features", "shape")
        if trouble or not text:
            return [_fault(feature, kind, trouble or "a shape of too many corners", "a shape that does not cross itself")]
        own = name if name and len(parts) == 1 else _numbered(rows, contract, kind=kind, name=name or kind)
        rows.append(
            Row({"contract": contract, "kind": kind, "name": own, "shape": text, **_given(feature, "land_features")},
                feature.origin, loose=True)
        )  # fmt: skip
    return []


def _numbered(rows: Sequence[Row], contract: str, *, kind: str, name: str) -> str:
    taken = {row.values.get("name") for row in rows if row.values.get("contract") == contract and row.values.get("kind") == kind}
    return next(one for one in (f"{name} {number}" for number in range(1, len(taken) + 2)) if one not in taken)


def _given(feature: Feature, name: str) -> dict[str, object]:
    """Return the further columns that a shape's properties fill."""
    found: dict[str, object] = {}
    for column in _COLUMNS[name]:
        value = _text(feature, column) or _text(feature, column.replace("_", " ")) or _text(feature, _SHORT.get(column, column))
        if value:
            found[column] = _number_or_text(name, column, value)
    return found


def _number_or_text(name: str, column: str, value: str) -> object:
    """Return a number where the column holds one; what is none stays text, and the door tells it."""
    if table(name).column(column).kind == "text":
        return value
    try:
        return float(value)
    except ValueError:
        return value


def _fault(feature: Feature, column: str, found: str, allowed: str) -> Fault:
    return feature.origin.fault(column, column, found=found, allowed=allowed)


def _text(feature: Feature, name: str) -> str:
    """Return a property as text; where it is missing, what the description says of it."""
    value = feature.properties.get(name)
    if isinstance(value, float):
        value = None if math.isnan(value) else f"{value:.15g}"
    text = "" if value is None else str(value).strip()
    return text if text and text not in ("None", "NaT", "nan") else _described(feature, name)


def _described(feature: Feature, name: str) -> str:
    for line in str(feature.properties.get("description") or "").replace("<br>", "\n").splitlines():
        label, colon, value = line.partition(":")
        if colon and folded(label) == name:
            return value.strip()
    return ""


def _is_of(row: Row, contract: str, name: str) -> bool:
    own = row.values.get("name")
    plain = f"{own:.15g}" if isinstance(own, float) else str(own)
    return str(row.values.get("contract")).strip() == contract and plain.strip() == name


def _single(shape: BaseGeometry | None) -> BaseGeometry | None:
    parts = getattr(shape, "geoms", None)
    return parts[0] if parts is not None and len(parts) == 1 else shape


def _kind_of(shape: BaseGeometry | None) -> str:
    if shape is None or shape.is_empty:
        return "no shape"
    parts = getattr(shape, "geoms", None)
    return f"a {shape.geom_type.lower()}" + (f" of {len(parts)} parts" if parts is not None else "")


def _outline(shape: BaseGeometry | None) -> tuple[str, str]:
    """Return the outline as WKT, or what is wrong with the shape."""
    shape = _single(shape)
    if not isinstance(shape, Polygon):
        return "", _kind_of(shape)
    trouble = polygon_trouble(shape)
    if trouble:
        return "", trouble
    flat = shapely.orient_polygons(shapely.force_2d(shape))
    text = _short_enough(flat, "blocks", "outline")
    return (text, "") if text else ("", f"an outline of {len(flat.exterior.coords):,} corners")


def _short_enough(shape: BaseGeometry, name: str, column: str) -> str:
    """Return the shape as WKT, smoothed by some metres if it must be; empty when it is still too long."""
    most = int(table(name).column(column).rules["max_length"])
    for one in (shape, shape.simplify(COARSER_DEG), shape.simplify(10 * COARSER_DEG)):
        text = shapely.to_wkt(one, rounding_precision=DIGITS)
        if len(text) <= most:
            return text
    return ""
