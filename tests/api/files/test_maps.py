"""Outlines of blocks come from maps in any coordinate system, or the map is refused in sentences."""

import json
from pathlib import Path
from typing import Any

import geopandas as gpd
import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon

from api.files.maps import with_map
from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.operation import Operation
from routing.inputs.read import draft_from_json
from routing.inputs.rows import operation_from_draft

# The block of the worked example, counter-clockwise as RFC 7946 (section 3.1.6) wants the outer ring.
RING = [(-90.101, 44.2), (-90.098, 44.2), (-90.098, 44.202), (-90.101, 44.202), (-90.101, 44.2)]
NAMED = {"contract": "Lower pears", "block": "Block 1"}


def read(*maps: Path, outline: str | None = None) -> Operation:
    """Return the worked example, its block without an outline, with the outlines of maps."""
    operation = example_operation()
    block = operation.blocks[0].model_copy(update={"outline": outline})
    draft = draft_from_json(operation.model_copy(update={"blocks": (block,)}).model_dump_json(), "bees.json")
    for path in maps:
        draft = with_map(draft, path)
    return operation_from_draft(draft)


def faults(*maps: Path, outline: str | None = None) -> list[str]:
    with pytest.raises(OperationError) as refused:
        read(*maps, outline=outline)
    return [str(fault) for fault in refused.value.faults]


def geojson(path: Path, *shapes: dict[str, Any], properties: dict[str, Any] = NAMED) -> Path:
    features = [{"type": "Feature", "properties": properties, "geometry": shape} for shape in shapes]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


def polygon(ring: list[tuple[float, float]]) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": [ring]}


@pytest.mark.parametrize("ring", [RING, RING[::-1]])
def test_an_outline_from_geojson_runs_counter_clockwise_whichever_way_it_came(
    tmp_path: Path, ring: Any
) -> None:
    operation = read(geojson(tmp_path / "blocks.geojson", polygon(ring)))
    outline = shapely.from_wkt(str(operation.blocks[0].outline))
    assert outline.equals(Polygon(RING))
    assert outline.exterior.is_ccw


def test_heights_are_left_out(tmp_path: Path) -> None:
    ring: Any = [(*corner, 312.5) for corner in RING]
    operation = read(geojson(tmp_path / "blocks.geojson", polygon(ring)))
    assert "Z" not in str(operation.blocks[0].outline)


@pytest.mark.parametrize("crs", [4326, 3857, 32615, 26916, 6345])
def test_a_geopackage_in_any_coordinate_system_gives_degrees(tmp_path: Path, crs: int) -> None:
    # UTM zones 15 and 16, web Mercator and NAD 83 (2011) all cover the block.
    frame = gpd.GeoDataFrame([NAMED], geometry=[Polygon(RING)], crs=4326).to_crs(crs)
    frame.to_file(tmp_path / "blocks.gpkg", driver="GPKG")
    operation = read(tmp_path / "blocks.gpkg")
    outline = shapely.from_wkt(str(operation.blocks[0].outline))
    # 1e-6 deg is 11 cm; NAD 83 and WGS 84 are taken as one within a metre or two.
    assert outline.hausdorff_distance(Polygon(RING)) < 3e-5


def test_names_of_properties_may_have_capitals_and_one_part_of_many_is_a_polygon(tmp_path: Path) -> None:
    named = {"Contract": "Lower pears", "BLOCK": " Block 1 "}
    shape = shapely.geometry.mapping(MultiPolygon([Polygon(RING)]))
    assert read(geojson(tmp_path / "b.geojson", shape, properties=named)).blocks[0].outline


def test_a_block_without_a_row_needs_its_acres(tmp_path: Path) -> None:
    other = {"contract": "Lower pears", "block": "Block 2"}
    (sentence,) = faults(geojson(tmp_path / "b.geojson", polygon(RING), properties=other))
    assert sentence == (
        "b.geojson, feature 1, property block: found 'Block 2' of contract 'Lower pears', "
        "allowed: a block of that contract in the sheet of blocks, or a property acres; "
        "the nearest is 'Block 1'."
    )
    operation = read(geojson(tmp_path / "b.geojson", polygon(RING), properties=other | {"acres": 13}))
    assert [(block.name, block.acres) for block in operation.blocks] == [("Block 1", 12.0), ("Block 2", 13.0)]


def test_a_block_of_an_unknown_contract_is_told_with_the_feature(tmp_path: Path) -> None:
    named = {"contract": "Lower paers", "block": "Block 2", "acres": 13.0}
    (sentence,) = faults(geojson(tmp_path / "b.geojson", polygon(RING), properties=named))
    assert sentence.startswith("b.geojson, feature 1, contract: found 'Lower paers'")
    assert "the nearest is 'Lower pears'" in sentence


def test_an_outline_on_the_wrong_side_of_the_world_is_told_with_the_feature(tmp_path: Path) -> None:
    swapped = [(north, east) for east, north in RING]
    (sentence,) = faults(geojson(tmp_path / "b.geojson", polygon(swapped)))
    assert sentence.startswith("b.geojson, feature 1, outline: found ")


def test_two_outlines_of_one_block_are_refused(tmp_path: Path) -> None:
    twice = faults(geojson(tmp_path / "b.geojson", polygon(RING), polygon(RING)))
    in_sheet = faults(geojson(tmp_path / "c.geojson", polygon(RING)), outline=Polygon(RING).wkt)
    assert len(twice) == len(in_sheet) == 1
    assert (
        "feature 2: found an outline of block 'Block 1' of 'Lower pears', which has one already" in twice[0]
    )
    assert "feature 1: found an outline of block" in in_sheet[0]


BOW_TIE = [RING[0], RING[2], RING[1], RING[3], RING[0]]
SHAPES = [
    (polygon(BOW_TIE), "outline: found a polygon that crosses or touches itself"),
    ({"type": "Point", "coordinates": [-90.1, 44.2]}, "outline: found a point"),
    (
        {"type": "MultiPolygon", "coordinates": [[RING], [[(x + 1, y) for x, y in RING]]]},
        "multipolygon of 2 parts",
    ),
    (None, "outline: found no shape"),
]


@pytest.mark.parametrize(("shape", "found"), SHAPES)
def test_a_shape_that_is_no_sound_polygon_is_told(tmp_path: Path, shape: Any, found: str) -> None:
    (sentence,) = faults(geojson(tmp_path / "b.geojson", shape))
    assert sentence.startswith("b.geojson, feature 1")
    assert found in sentence


def test_a_shape_without_names_is_told(tmp_path: Path) -> None:
    (sentence,) = faults(geojson(tmp_path / "b.geojson", polygon(RING), properties={"block": "Block 1"}))
    assert sentence.startswith("b.geojson, feature 1, property contract: found nothing")


NO_MAPS = [
    (b"", "an empty file"),
    (b"contract,block\n", "neither GeoJSON nor a GeoPackage"),
    (b'{"type": "FeatureCollection", "features": [', "neither GeoJSON nor a GeoPackage"),
    (b'{"type": "Topology"}', "not a GeoJSON FeatureCollection"),
    (b"[1, 2]", "not a GeoJSON FeatureCollection"),
    (b"<OGRVRTDataSource></OGRVRTDataSource>", "an XML document that is not KML"),
    (b'{"type": "FeatureCollection", "features": []}', "a map without a shape"),
    (b"SQLite format 3\x00" + b"\x00" * 2000, "a map that cannot be read"),
    (b"[" * 100_000, "neither GeoJSON nor a GeoPackage"),
]


@pytest.mark.parametrize(("content", "found"), NO_MAPS, ids=range(len(NO_MAPS)))
def test_a_file_that_is_no_map_is_refused_in_one_sentence(tmp_path: Path, content: bytes, found: str) -> None:
    path = tmp_path / "b.geojson"
    path.write_bytes(content)
    (sentence,) = faults(path)
    assert sentence.startswith("b.geojson: found ")
    assert found in sentence


def test_a_map_without_a_coordinate_system_is_refused(tmp_path: Path) -> None:
    frame = gpd.GeoDataFrame([NAMED], geometry=[Polygon(RING)])
    with pytest.warns(UserWarning, match="crs"):
        frame.to_file(tmp_path / "b.gpkg", driver="GPKG")
    (sentence,) = faults(tmp_path / "b.gpkg")
    assert sentence == (
        "b.gpkg: found no coordinate system, allowed: a map whose file names its coordinate system"
        " (in a shapefile: the .prj beside the .shp), or degrees of WGS 84."
    )


def test_a_map_in_a_builders_own_grid_is_refused(tmp_path: Path) -> None:
    axes = 'CS[Cartesian,2],AXIS["x",east],AXIS["y",north],LENGTHUNIT["metre",1]'
    grid = f'ENGCRS["site grid",EDATUM["peg"],{axes}]'
    frame = gpd.GeoDataFrame([NAMED], geometry=[Polygon(RING)], crs=grid)
    frame.to_file(tmp_path / "b.gpkg", driver="GPKG")
    (sentence,) = faults(tmp_path / "b.gpkg")
    assert "coordinate system" in sentence


def test_an_outline_of_thousands_of_corners_is_smoothed_by_a_metre_or_so(tmp_path: Path) -> None:
    round_block = Point(-90.0995, 44.201).buffer(0.0012, quad_segs=2000)
    operation = read(geojson(tmp_path / "b.geojson", shapely.geometry.mapping(round_block)))
    outline = shapely.from_wkt(str(operation.blocks[0].outline))
    assert len(str(operation.blocks[0].outline)) <= 30_000
    assert outline.hausdorff_distance(round_block) <= 2e-5
