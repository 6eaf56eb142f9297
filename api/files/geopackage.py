"""The ground of an orchard as a GeoPackage, OGC 12-128 (from memory): a layer for each kind, each with its style.

Styles stand in the table ``layer_styles``, which desktop programs look into when they open a layer, as SLD.
"""

import sqlite3
import tempfile
import warnings
from collections.abc import Iterator
from pathlib import Path

import geopandas as gpd
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from api.files.sld import layer_style
from routing.drops.drop import Siting
from routing.drops.ground import LocalGrid, buffer_of
from routing.inputs.land import BUFFER_FIGURES, LandFeature
from routing.inputs.operation import Operation
from routing.sheets.map_figure import outline_polygons

STAMP = "1970-01-01T00:00:00.000Z"
"""The same ground is the same file: no clock is asked."""
_STYLES = """
CREATE TABLE layer_styles (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    f_table_catalog TEXT DEFAULT '',
    f_table_schema TEXT DEFAULT '',
    f_table_name TEXT NOT NULL,
    f_geometry_column TEXT NOT NULL,
    styleName TEXT NOT NULL,
    styleQML TEXT DEFAULT '',
    styleSLD TEXT NOT NULL,
    useAsDefault BOOLEAN NOT NULL,
    description TEXT DEFAULT '',
    owner TEXT DEFAULT '',
    ui TEXT DEFAULT '',
    update_time DATETIME DEFAULT '1970-01-01T00:00:00.000Z'
)
"""
_LISTED = (
    "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change)"
    " VALUES ('layer_styles', 'attributes', 'layer_styles', 'styles of the layers, SLD 1.0.0', ?)"
)
_STYLE = (
    "INSERT INTO layer_styles (f_table_name, f_geometry_column, styleName, styleSLD, useAsDefault, description)"
    " VALUES (?, 'geom', ?, ?, 1, ?)"
)

Rows = list[tuple[dict[str, object], BaseGeometry]]


def ground_geopackage(operation: Operation, contract: str | None = None, *, siting: Siting | None = None) -> bytes:
    """Return the ground of one contract, or of all, as a GeoPackage in WGS 84.

    Parameters
    ----------
    operation
        Its blocks, gates, drops and land.
    contract
        Left out: all contracts.
    siting
        Of that contract; adds a layer ``acres`` with the distance of each piece of ground to its hives.

    Returns
    -------
    bytes
        Read back as a map by ``api.files.maps``, it brings the same blocks, land, gates and drops.
    """
    layers = {
        "kept_clear": list(_kept_clear(operation, contract)),
        "blocks": list(_blocks(operation, contract)),
        **_land(operation, contract),
        "acres": list(_acres(siting)),
        "gates": list(_gates(operation, contract)),
        "drops": list(_drops(operation, contract)),
    }
    with tempfile.TemporaryDirectory(prefix="bloomhaul-") as folder:
        path = Path(folder, "ground.gpkg")
        for name, rows in layers.items():
            if rows:
                _write(path, name, rows)
        _style(path, [name for name, rows in layers.items() if rows])
        return path.read_bytes()


def _write(path: Path, layer: str, rows: Rows) -> None:
    frame = gpd.GeoDataFrame([values for values, _ in rows], geometry=[shape for _, shape in rows], crs=4326)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        frame.to_file(path, layer=layer, driver="GPKG", engine="pyogrio", layer_options={"GEOMETRY_NAME": "geom"})


def _style(path: Path, layers: list[str]) -> None:
    connection = sqlite3.connect(path)
    try:
        with connection:
            connection.execute(_STYLES)
            for layer in layers:
                connection.execute(_STYLE, (layer, layer, layer_style(layer), f"Bloomhaul: {layer.replace('_', ' ')}"))
            connection.execute(_LISTED, (STAMP,))
            connection.execute("UPDATE gpkg_contents SET last_change = ?", (STAMP,))
    finally:
        connection.close()


def _blocks(operation: Operation, contract: str | None) -> Iterator[tuple[dict[str, object], BaseGeometry]]:
    for block in operation.blocks:
        if contract in (None, block.contract) and block.outline:
            shapes = outline_polygons(block.outline)
            values = {"kind": "block", "contract": block.contract, "name": block.name, "acres": block.acres,
                      "row_bearing_deg": block.row_bearing_deg, "row_spacing_ft": block.row_spacing_ft}  # fmt: skip
            yield from ((values, shape) for shape in shapes)


def _land(operation: Operation, contract: str | None) -> dict[str, Rows]:
    found: dict[str, Rows] = {"land_areas": [], "land_lines": [], "land_points": []}
    layer = {"Polygon": "land_areas", "LineString": "land_lines", "Point": "land_points"}
    for feature in operation.land_features:
        if contract in (None, feature.contract):
            shape = shapely.from_wkt(feature.shape)
            found[layer[shape.geom_type]].append((feature.model_dump(exclude={"shape"}), shape))
    return found


def _kept_clear(operation: Operation, contract: str | None) -> Iterator[tuple[dict[str, object], BaseGeometry]]:
    for feature in operation.land_features:
        if contract in (None, feature.contract) and feature.kind in BUFFER_FIGURES:
            buffer_ft = buffer_of(operation, feature)
            if buffer_ft > 0.0:
                about = {"kind": "kept clear", "contract": feature.contract, "name": f"{feature.kind} {feature.name}"}
                yield {**about, "buffer_ft": buffer_ft}, kept_clear(feature, buffer_ft)


def kept_clear(feature: LandFeature, buffer_ft: float) -> BaseGeometry:
    """Return the ground within a distance of a feature, in degrees, longitude first. [ft]"""
    shape = shapely.from_wkt(feature.shape)
    grid = LocalGrid(shape.centroid.y, shape.centroid.x)
    return grid.around(grid.flat(shape).buffer(buffer_ft, quad_segs=12))


def _gates(operation: Operation, contract: str | None) -> Iterator[tuple[dict[str, object], BaseGeometry]]:
    for gate in operation.gates:
        if contract in (None, gate.contract):
            values: dict[str, object] = {"kind": "gate", "contract": gate.contract, "name": gate.name, "note": gate.note}
            yield values, Point(gate.longitude_deg, gate.latitude_deg)


def _drops(operation: Operation, contract: str | None) -> Iterator[tuple[dict[str, object], BaseGeometry]]:
    for drop in operation.drops:
        if contract in (None, drop.contract):
            values = {"kind": "drop", "contract": drop.contract, "name": drop.name, "most_hives": drop.most_hives,
                      "label": f"{drop.name}: {drop.most_hives}", "note": drop.note}  # fmt: skip
            yield values, Point(drop.longitude_deg, drop.latitude_deg)


def _acres(siting: Siting | None) -> Iterator[tuple[dict[str, object], BaseGeometry]]:
    if siting is None:
        return
    drops = {drop.name: drop for drop in siting.drops}
    for share in siting.shares:
        grid = LocalGrid(share.latitude_deg, share.longitude_deg)
        drop = drops[share.drop]
        away = grid.spot(drop.latitude_deg, drop.longitude_deg).distance(Point(0.0, 0.0))
        values = {"kind": "piece of ground", "contract": siting.contract, "block": share.block, "drop": share.drop,
                  "hives": share.hives, "acres": share.acres, "distance_ft": round(away, 1)}  # fmt: skip
        yield values, Point(share.longitude_deg, share.latitude_deg)
