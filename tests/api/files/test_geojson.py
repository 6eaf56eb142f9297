"""GeoJSON after RFC 7946, read back by GDAL."""

import io
import json

import geopandas as gpd
import pytest
import shapely

from api.files.geojson import plan_geojson
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.inputs.contract import Block
from routing.sheets.drop_sheet import drop_sheets


def _collection(plan) -> dict:
    return json.loads(plan_geojson(plan.operation, drop_sheets(plan)))


def _with_block(outline: str):
    plan = tiny_plan()
    block = Block(contract="Early cherries", name="b", acres=1.0, outline=outline)
    return plan.model_copy(update={"operation": plan.operation.model_copy(update={"blocks": (block,)})})


def _positions(coordinates):
    if isinstance(coordinates[0], float | int):
        yield coordinates
    else:
        for part in coordinates:
            yield from _positions(part)


def test_every_route_stop_block_gate_and_stake_is_a_feature():
    kinds = [feature["properties"]["kind"] for feature in _collection(tiny_plan())["features"]]
    assert {kind: kinds.count(kind) for kind in set(kinds)} == {
        "route": 3, "stop": 4 + 5 + 5, "block": 1, "gate": 3, "stake": 3,
    }  # fmt: skip


def test_positions_are_longitude_first_with_seven_decimals_at_most():
    for feature in _collection(tiny_plan())["features"]:
        for longitude, latitude in _positions(feature["geometry"]["coordinates"]):
            assert -87 < longitude < -85
            assert 43 < latitude < 45
            assert round(longitude, 7) == longitude


def test_no_coordinate_reference_system_is_named():
    # RFC 7946 section 4: WGS 84 always; "crs" has been removed.
    assert set(_collection(tiny_plan())) == {"type", "features"}


@pytest.mark.parametrize(
    "outline",
    [
        "POLYGON((0 0, 0 4, 4 4, 4 0, 0 0), (1 1, 2 1, 2 2, 1 2, 1 1))",
        "POLYGON((0 0, 4 0, 4 4, 0 4, 0 0), (1 1, 1 2, 2 2, 2 1, 1 1))",
    ],
)
def test_outer_rings_run_counter_clockwise_and_holes_clockwise(outline):
    # RFC 7946 section 3.1.6, the right-hand rule.
    polygon = next(
        feature["geometry"] for feature in _collection(_with_block(outline))["features"]
        if feature["properties"]["kind"] == "block"
    )  # fmt: skip
    outer, hole = (shapely.LinearRing(ring) for ring in polygon["coordinates"])
    assert outer.is_ccw
    assert not hole.is_ccw
    assert polygon["coordinates"][0][0] == polygon["coordinates"][0][-1]


def test_each_part_of_a_multipolygon_is_a_feature():
    outline = "MULTIPOLYGON(((0 0, 1 0, 1 1, 0 1, 0 0)), ((2 2, 3 2, 3 3, 2 3, 2 2)))"
    kinds = [feature["properties"]["kind"] for feature in _collection(_with_block(outline))["features"]]
    assert kinds.count("block") == 2


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_another_library_reads_it(make_plan):
    plan = make_plan()
    table = gpd.read_file(io.BytesIO(plan_geojson(plan.operation, drop_sheets(plan))))
    assert table.crs.to_epsg() == 4326
    assert set(table.geom_type) == {"LineString", "Point", "Polygon"}
    assert set(table["truck"].dropna()) == {plan.operation.trucks[0].name}
