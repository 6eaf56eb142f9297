"""The ground as a GeoPackage: layers that another library reads, styles after an open standard, and back again."""

import json
import sqlite3
from pathlib import Path

import geopandas as gpd
import gpxpy
import pyogrio
import pytest
import shapely
from lxml import etree

from api.files.geojson import ground_geojson
from api.files.geopackage import ground_geopackage, kept_clear
from api.files.gpx import ground_gpx
from api.files.maps import KINDS, with_map
from api.files.sld import layer_style, styled_layers
from routing.inputs.cross_check_outlines import polygon_acres
from routing.inputs.example import example_operation
from routing.inputs.land import LandFeature
from routing.inputs.operation import Operation
from routing.inputs.read import draft_from_json
from routing.inputs.rows import operation_from_draft

POND = "POLYGON((-90.0995 44.2012,-90.0992 44.2012,-90.0992 44.2014,-90.0995 44.2014,-90.0995 44.2012))"
SLD = "{http://www.opengis.net/sld}"
OGC = "{http://www.opengis.net/ogc}"


def land(kind: str, name: str, shape: str, **more: object) -> LandFeature:
    return LandFeature.model_validate({"contract": "Lower pears", "kind": kind, "name": name, "shape": shape, **more})


def orchard() -> Operation:
    """Return the worked example with a pond, a house and a power line."""
    operation = example_operation()
    features = (
        *operation.land_features,
        land("water", "Pond", POND, note="no fence"),
        land("house", "Cottage", "POINT(-90.1005 44.2019)", buffer_ft=120.0),
        land("hazard", "Power line", "LINESTRING(-90.101 44.2008,-90.098 44.2009)"),
    )
    return operation.model_copy(update={"land_features": features})


@pytest.fixture
def package(tmp_path: Path) -> Path:
    path = tmp_path / "ground.gpkg"
    path.write_bytes(ground_geopackage(orchard(), "Lower pears"))
    return path


def test_another_library_finds_a_layer_for_each_kind_in_degrees(package: Path) -> None:
    layers = {name: str(kind) for name, kind in pyogrio.list_layers(package) if kind is not None}
    assert layers == {
        "kept_clear": "Polygon", "blocks": "Polygon", "land_areas": "Polygon", "land_lines": "LineString",
        "land_points": "Point", "gates": "Point", "drops": "Point",
    }  # fmt: skip
    drops = gpd.read_file(package, layer="drops")
    assert drops.crs.to_epsg() == 4326
    assert list(drops["label"]) == ["1: 24"]
    kinds = {kind for layer in layers for kind in gpd.read_file(package, layer=layer)["kind"]}
    assert kinds - {"kept clear"} <= set(KINDS)


def test_every_layer_has_a_style_by_default_and_the_table_is_listed(package: Path) -> None:
    connection = sqlite3.connect(package)
    styles = connection.execute("SELECT f_table_name, f_geometry_column, styleSLD, useAsDefault FROM layer_styles").fetchall()
    geometry = dict(connection.execute("SELECT table_name, column_name FROM gpkg_geometry_columns").fetchall())
    listed = dict(connection.execute("SELECT table_name, data_type FROM gpkg_contents").fetchall())
    connection.close()
    assert {name: column for name, column, _, _ in styles} == geometry
    assert all(default == 1 for _, _, _, default in styles)
    assert listed["layer_styles"] == "attributes"
    assert all(etree.fromstring(sld.encode()).tag == f"{SLD}StyledLayerDescriptor" for _, _, sld, _ in styles)


def test_styles_name_columns_and_kinds_that_there_are(package: Path) -> None:
    kinds = {*KINDS, "kept clear"}
    there = [name for name, _ in pyogrio.list_layers(package) if name in styled_layers()]
    columns = {name: set(gpd.read_file(package, layer=name).columns) for name in there}
    for layer in styled_layers():
        root = etree.fromstring(layer_style(layer).encode())
        assert next(one.text for one in root.iter(f"{SLD}Name")) == layer
        if layer in columns:
            assert {one.text for one in root.iter(f"{OGC}PropertyName")} <= columns[layer]
        chosen = [one.text for one in root.iter(f"{OGC}Literal") if layer != "acres"]
        assert set(chosen) <= kinds
        assert len(chosen) == len(set(chosen))


def test_every_kind_that_a_geometry_may_have_is_drawn() -> None:
    drawn = {
        layer: {one.text for one in etree.fromstring(layer_style(layer).encode()).iter(f"{OGC}Literal")}
        for layer in ("land_areas", "land_lines", "land_points")
    }
    land_kinds = set(KINDS) - {"block", "gate", "drop", "stake"}
    assert land_kinds - drawn["land_areas"] == {"track"}
    # These cover ground, the door refuses them as lines and points; a track is a line.
    ground = {"wet ground", "steep ground", "no entry", "competing bloom"}
    assert land_kinds - drawn["land_lines"] == ground
    assert land_kinds - drawn["land_points"] == ground | {"track"}


def test_a_buffer_of_a_point_has_the_area_of_its_circle() -> None:
    # 3.1416 x 300 ft squared = 282,743 ft2 = 6.491 acres; a polygon of 48 corners has 99.7 % of it.
    shape = kept_clear(land("house", "Cottage", "POINT(-90.1 44.2)"), 300.0)
    assert isinstance(shape, shapely.Polygon)
    assert polygon_acres(shape) == pytest.approx(6.491 * 0.9972, rel=1e-3)


@pytest.mark.parametrize("ending", ["gpkg", "geojson"])
def test_what_is_written_reads_back_as_the_same_ground(tmp_path: Path, ending: str) -> None:
    operation = orchard()
    path = tmp_path / f"ground.{ending}"
    path.write_bytes(ground_geopackage(operation) if ending == "gpkg" else ground_geojson(operation))
    bare = operation.model_copy(update={
        "blocks": (operation.blocks[0].model_copy(update={"outline": None}),), "land_features": (), "gates": (), "drops": (),
    })  # fmt: skip
    back = operation_from_draft(with_map(draft_from_json(bare.model_dump_json(), "bees.json"), path))
    assert back.gates == operation.gates
    assert back.drops == operation.drops
    assert {one.name: (one.kind, one.buffer_ft, one.note) for one in back.land_features} == {
        one.name: (one.kind, one.buffer_ft, one.note) for one in operation.land_features
    }
    for one in operation.land_features:
        (other,) = (two for two in back.land_features if two.name == one.name)
        assert shapely.from_wkt(other.shape).equals_exact(shapely.from_wkt(one.shape), tolerance=2e-7, normalize=True)


def test_one_contract_alone_is_written(tmp_path: Path) -> None:
    features = json.loads(ground_geojson(orchard(), "Nobody's"))["features"]
    assert features == []
    own = json.loads(ground_geojson(orchard(), "Lower pears"))["features"]
    assert {one["properties"]["contract"] for one in own} == {"Lower pears"}


def test_the_same_ground_is_the_same_file() -> None:
    assert ground_geopackage(orchard()) == ground_geopackage(orchard())


def test_gate_drops_and_dangers_are_way_points_and_the_drops_a_route() -> None:
    document = gpxpy.parse(ground_gpx(orchard(), "Lower pears").decode())
    assert [(one.type, one.name) for one in document.waypoints] == [
        ("gate", "North gate"), ("drop", "1: 24 hives"), ("water", "MIND: water Pond"), ("hazard", "MIND: hazard Power line"),
    ]  # fmt: skip
    assert [one.name for one in document.routes[0].points] == ["North gate", "1: 24 hives"]
