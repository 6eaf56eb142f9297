"""``bloomhaul drops``: what it prints and writes, how it ends, what it says when it cannot."""

import json
import sqlite3
from pathlib import Path

import gpxpy
import pytest
from typer.testing import CliRunner, Result

from api.cli import app
from fixtures.demo import demo_operation
from routing.inputs.operation import Operation

PEARS = "Sundog melons"


def called(*words: object) -> Result:
    return CliRunner().invoke(app, ["drops", *(str(word) for word in words)])


@pytest.fixture(scope="module")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("operation") / "demo.json"
    file.write_text(demo_operation().model_dump_json())
    return file


@pytest.fixture(scope="module")
def written(demo_file: Path) -> "tuple[Path, Result]":
    out = demo_file.parent / "out"
    endings = ("json", "geojson", "gpkg", "gpx", "svg", "xlsx")
    files = [word for ending in endings for word in ("--write", out / f"melons.{ending}")]
    return out, called(demo_file, "--contract", PEARS, *files)


def test_the_proposal_is_printed_and_ends_well(written: "tuple[Path, Result]") -> None:
    _, result = written
    assert result.exit_code == 0
    assert result.stdout.startswith("Sundog melons: 16 hives on 8.7 acres (1.8 an acre) at 2 drops.")
    assert "Stops against evenness:" in result.stdout
    assert "NOT CHECKED  drops that a track leads to from the gate" in result.stdout
    assert result.stderr.count("Written: ") == 6


def test_what_is_written_holds_the_drops_in_order(written: "tuple[Path, Result]") -> None:
    out, _ = written
    operation = Operation.model_validate_json((out / "melons.json").read_text())
    drops = [(drop.name, drop.most_hives) for drop in operation.drops if drop.contract == PEARS]
    assert drops == [("1", 8), ("2", 8)]
    assert len(operation.drops) == len(demo_operation().drops) + 1
    features = json.loads((out / "melons.geojson").read_text())["features"]
    assert [one["properties"]["name"] for one in features if one["properties"]["kind"] == "drop"] == ["1", "2"]
    route = gpxpy.parse((out / "melons.gpx").read_text()).routes[0]
    assert [point.name for point in route.points] == ["Patch track", "1: 8 hives", "2: 8 hives"]
    connection = sqlite3.connect(out / "melons.gpkg")
    assert connection.execute("SELECT name, most_hives FROM drops ORDER BY fid").fetchall() == drops
    # Every acre is told with its distance to its hives.
    assert connection.execute("SELECT sum(hives) FROM acres").fetchone()[0] == pytest.approx(16.0)
    connection.close()
    assert (out / "melons.svg").read_text().startswith("<svg")
    assert (out / "melons.xlsx").read_bytes().startswith(b"PK")


def test_what_is_written_can_be_checked_and_sited_again(written: "tuple[Path, Result]") -> None:
    out, first = written
    again = called(out / "melons.json", "-c", PEARS)
    assert again.exit_code == 0
    # The drops of the operation are now those of the proposal, as even as it was.
    even = first.stdout.splitlines()[1].removeprefix("Acre to its hives: ")
    assert f"With the 2 drops of the operation: {even}" in again.stdout


REFUSED = [
    (("-c", "Nowhere"), 3, "There is no contract called 'Nowhere'; there are: 'Gullwing sweets'"),
    (("-c", "Peatland blues", "--most-stops", 2), 3, "60 hives cannot stand at 2 drops of at most 24; allow 3 stops"),
    (("-c", PEARS, "--farthest", 40), 3, "with no acre farther than 40 ft from its hives"),
    (("-c", PEARS, "--write", "drops.dxf"), 3, "drops.dxf: found the ending '.dxf', allowed: .json, .xlsx, .geojson"),
    (("-c", PEARS, "--most-stops", 0), 2, "Invalid value for '--most-stops'"),
    ((), 2, "Missing option"),
]


@pytest.mark.parametrize(("words", "code", "sentence"), REFUSED)
def test_what_cannot_be_done_is_one_sentence(demo_file: Path, words: tuple[object, ...], code: int, sentence: str) -> None:
    result = called(demo_file, *words)
    assert result.exit_code == code
    assert sentence in result.stderr
    assert result.stdout == ""


def test_a_map_beside_the_operation_brings_the_tracks(demo_file: Path, tmp_path: Path) -> None:
    lane = {"type": "LineString", "coordinates": [[-85.89884, 42.78989], [-85.9, 42.78989], [-85.9001, 42.7917]]}
    named = {"contract": PEARS, "kind": "track", "name": "Grass track"}
    map_file = tmp_path / "melons.geojson"
    feature = {"type": "Feature", "properties": named, "geometry": lane}
    map_file.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}))
    result = called(demo_file, "-c", PEARS, "--maps", map_file)
    assert result.exit_code == 0
    assert "Grass track" in result.stdout
    assert "NOT CHECKED" not in result.stdout
