"""Maps in the formats that people have: KML, KMZ, zipped shapefiles; land, gates and drops beside blocks."""

import io
import json
import zipfile
from pathlib import Path
from typing import Any

import geopandas as gpd
import pytest
import shapely
from shapely.geometry import LineString, MultiLineString, Point, Polygon

from api.files.maps import with_map
from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.operation import Operation
from routing.inputs.read import draft_from_json
from routing.inputs.rows import operation_from_draft

RING = [(-90.101, 44.2), (-90.098, 44.2), (-90.098, 44.202), (-90.101, 44.202), (-90.101, 44.2)]
LANE = [(-90.1, 44.2), (-90.0985, 44.2005), (-90.098, 44.202)]
BLOCK = {"contract": "Lower pears", "block": "Block 1"}


def read(*maps: Path) -> Operation:
    """Return the worked example without outline and land, with what maps bring."""
    operation = example_operation()
    block = operation.blocks[0].model_copy(update={"outline": None})
    bare = operation.model_copy(update={"blocks": (block,), "land_features": ()})
    draft = draft_from_json(bare.model_dump_json(), "bees.json")
    for path in maps:
        draft = with_map(draft, path)
    return operation_from_draft(draft)


def faults(*maps: Path) -> list[str]:
    with pytest.raises(OperationError) as refused:
        read(*maps)
    return [str(fault) for fault in refused.value.faults]


def zipped(path: Path, frame: gpd.GeoDataFrame, *, without: str = "") -> Path:
    """Write a shapefile with its parts in one archive, in a folder, as a desktop program packs it."""
    folder = path.parent / path.stem
    folder.mkdir()
    frame.to_file(folder / "Blocks 2027.shp")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in sorted(folder.iterdir()):
            if part.suffix != without:
                archive.write(part, f"maps/{part.name}")
    return path


# 2288: NAD 83 Wisconsin Central in US survey feet; 26916: UTM 16 in metres; 3857: web Mercator.
@pytest.mark.parametrize("crs", [4326, 2288, 26916, 3857])
def test_a_zipped_shapefile_in_feet_or_metres_of_a_named_grid_gives_degrees(tmp_path: Path, crs: int) -> None:
    frame = gpd.GeoDataFrame([BLOCK], geometry=[Polygon(RING)], crs=4326).to_crs(crs)
    operation = read(zipped(tmp_path / "b.zip", frame))
    outline = shapely.from_wkt(str(operation.blocks[0].outline))
    # NAD 83 and WGS 84 are taken as one within a metre or two: 3e-5 deg.
    assert outline.hausdorff_distance(Polygon(RING)) < 3e-5


def test_a_shapefile_in_feet_without_its_prj_is_refused_in_words(tmp_path: Path) -> None:
    frame = gpd.GeoDataFrame([BLOCK], geometry=[Polygon(RING)], crs=4326).to_crs(2288)
    (sentence,) = faults(zipped(tmp_path / "b.zip", frame, without=".prj"))
    assert sentence.startswith("b.zip: found corners such as ")
    assert " in feet or metres of an unknown grid, and no coordinate system, allowed: a map whose file names its" in sentence


def test_geojson_in_feet_is_refused_in_words(tmp_path: Path) -> None:
    ring = [(2103456.0, 512340.0), (2104456.0, 512340.0), (2104456.0, 513340.0), (2103456.0, 512340.0)]
    (sentence,) = faults(geojson(tmp_path / "b.geojson", (BLOCK, Polygon(ring))))
    assert "feature 1, outline: found corners such as 2,103,456, 512,340, which are feet or metres of a grid" in sentence


PARTS = [(".dbf", "without its .dbf"), (".shx", "without its .shx"), (".shp", "without a shapefile")]


@pytest.mark.parametrize(("without", "found"), PARTS)
def test_a_shapefile_with_parts_missing_is_refused(tmp_path: Path, without: str, found: str) -> None:
    frame = gpd.GeoDataFrame([BLOCK], geometry=[Polygon(RING)], crs=4326)
    (sentence,) = faults(zipped(tmp_path / "b.zip", frame, without=without))
    assert found in sentence


def test_a_lone_shp_and_a_broken_zip_are_refused(tmp_path: Path) -> None:
    frame = gpd.GeoDataFrame([BLOCK], geometry=[Polygon(RING)], crs=4326)
    whole = zipped(tmp_path / "b.zip", frame)
    (alone,) = faults(next((tmp_path / "b").glob("*.shp")))
    assert "found a .shp without its other parts" in alone
    broken = tmp_path / "c.zip"
    broken.write_bytes(whole.read_bytes()[:200])
    (cut,) = faults(broken)
    assert "found a .zip that is cut short or damaged" in cut


def kml(places: str, folder: str = "Lower pears") -> str:
    return (
        '<?xml version="1.0" encoding="UTF-8"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document>'
        f"<Folder><name>{folder}</name>{places}</Folder></Document></kml>"
    )


def placemark(name: str, shape: str, description: str = "") -> str:
    return f"<Placemark><name>{name}</name><description>{description}</description>{shape}</Placemark>"


def coordinates(points: list[tuple[float, float]]) -> str:
    return f"<coordinates>{' '.join(f'{x},{y},0' for x, y in points)}</coordinates>"


BLOCK_IN_KML = f"<Polygon><outerBoundaryIs><LinearRing>{coordinates(RING)}</LinearRing></outerBoundaryIs></Polygon>"
LANE_IN_KML = f"<LineString>{coordinates(LANE)}</LineString>"
DRAWN = kml(
    placemark("Block 1", BLOCK_IN_KML)
    + placemark("Main lane", LANE_IN_KML, "kind: track\nnote: gravel")
    + placemark("Cottage", "<Point><coordinates>-90.1005,44.2015</coordinates></Point>", "kind: house\nbuffer ft: 250")
    + placemark("Back gate", "<Point><coordinates>-90.098,44.202</coordinates></Point>", "kind: gate")
)


@pytest.mark.parametrize("packed", [False, True])
def test_a_map_drawn_as_kml_with_a_folder_for_each_contract_is_read(tmp_path: Path, packed: bool) -> None:
    path = tmp_path / ("drawn.kmz" if packed else "drawn.kml")
    if packed:
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr("doc.kml", DRAWN)
    else:
        path.write_text(DRAWN)
    operation = read(path)
    assert shapely.from_wkt(str(operation.blocks[0].outline)).equals(Polygon(RING))
    assert [(one.kind, one.name, one.note, one.buffer_ft) for one in operation.land_features] == [
        ("track", "Main lane", "gravel", None), ("house", "Cottage", "", 250.0),
    ]  # fmt: skip
    assert [(gate.name, gate.latitude_deg) for gate in operation.gates][1:] == [("Back gate", 44.202)]


def test_a_folder_that_is_no_contract_leaves_the_contract_to_be_named(tmp_path: Path) -> None:
    path = tmp_path / "drawn.kml"
    path.write_text(kml(placemark("Block 1", BLOCK_IN_KML), folder="My places"))
    (sentence,) = faults(path)
    assert sentence == "drawn.kml, feature 1, property contract: found nothing, allowed: text: the contract of this block."


HOSTILE = [
    ('<!DOCTYPE kml [<!ENTITY a "b">]><kml/>', "cut short, damaged or unsafe"),
    ("<kml><Document>", "cut short, damaged or unsafe"),
    ("<svg/>", "not KML"),
]


@pytest.mark.parametrize(("text", "found"), HOSTILE)
@pytest.mark.parametrize("packed", [False, True])
def test_an_unsafe_or_foreign_document_is_refused(tmp_path: Path, text: str, found: str, packed: bool) -> None:
    path = tmp_path / "b.kml"
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        archive.writestr("doc.kml", text)
    path.write_bytes(content.getvalue() if packed else text.encode())
    (sentence,) = faults(path)
    assert found in sentence


def geojson(path: Path, *shapes: tuple[dict[str, Any], Any]) -> Path:
    features = [
        {"type": "Feature", "properties": properties, "geometry": shapely.geometry.mapping(shape)} for properties, shape in shapes
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


def land(kind: str, name: str | None = None) -> dict[str, Any]:
    return {"contract": "Lower pears", "kind": kind} | ({"name": name} if name else {})


def test_shapes_in_parts_and_shapes_without_names_are_numbered(tmp_path: Path) -> None:
    lanes = MultiLineString([LANE, [(-90.1, 44.2), (-90.101, 44.2)]])
    pond = Point(-90.0995, 44.2012).buffer(0.0001)
    spring = Point(-90.099, 44.2001)
    shapes = ((land("track", "Lane"), lanes), (land("water"), pond), (land("water"), spring), (BLOCK, Polygon(RING)))
    operation = read(geojson(tmp_path / "land.geojson", *shapes))
    assert [one.name for one in operation.land_features] == ["Lane 1", "Lane 2", "water 1", "water 2"]
    assert {shapely.from_wkt(one.shape).geom_type for one in operation.land_features} == {"LineString", "Polygon", "Point"}


def test_rows_of_trees_come_with_the_block(tmp_path: Path) -> None:
    rows = BLOCK | {"row_bearing_deg": 15, "row spacing ft": 18.0}
    block = read(geojson(tmp_path / "b.geojson", (rows, Polygon(RING)))).blocks[0]
    assert (block.row_bearing_deg, block.row_spacing_ft, block.acres) == (15.0, 18.0, 12.0)


REFUSED = [
    (land("trak"), LineString(LANE), "property kind: found 'trak', allowed: one of: block, gate, drop"),
    (land("trak"), LineString(LANE), "the nearest is 'track'"),
    (land("gate", "North gate"), Point(-90.1, 44.2), "gate 'North gate' of 'Lower pears', which is there already"),
    (land("gate", "New gate"), LineString(LANE), "gate: found a linestring, allowed: a point"),
    (land("gate"), Point(-90.1, 44.2), "property name: found nothing"),
    (land("house", "Far cottage"), Point(-89.9, 44.2), "miles from the nearest gate of 'Lower pears'"),
    (land("track", "Main lane"), Point(-90.1, 44.2), "a point as track"),
    ({"contract": "Lower pears"}, Polygon(RING), "property block: found nothing"),
]


@pytest.mark.parametrize(("properties", "shape", "found"), REFUSED)
def test_what_cannot_be_used_is_told_with_the_feature(tmp_path: Path, properties: dict[str, Any], shape: Any, found: str) -> None:
    (sentence,) = faults(geojson(tmp_path / "b.geojson", (properties, shape)))
    assert sentence.startswith("b.geojson, feature 1")
    assert found in sentence


def test_routes_and_stops_of_a_plan_are_no_land(tmp_path: Path) -> None:
    path = geojson(tmp_path / "moves.geojson", ({"kind": "route"}, LineString(LANE)), (BLOCK, Polygon(RING)))
    assert read(path).land_features == ()
