"""``bloomhaul roads`` as a person calls it: what it prints, writes, and how it ends."""

import csv
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from api.cli import app
from api.files.open_operation import open_operation
from routing.inputs.operation import Operation
from tests.api.roads.conftest import HAS_ENGINE
from tests.api.roads.county import county_operation
from tests.api.roads.road_server import Streets, osrm_answers, serving


def called(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture(scope="module")
def bees(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The county's operation as a file."""
    file = tmp_path_factory.mktemp("bees") / "bees.json"
    file.write_text(county_operation().model_dump_json())
    return file


@pytest.fixture(scope="module")
def address(county: Path) -> Iterator[str]:
    """A road server of the OSRM interface."""
    with serving(osrm_answers(Streets(county))) as where:
        yield where


@pytest.mark.parametrize("command", ["build", "measure"])
def test_each_command_has_a_page_with_an_example(command: str) -> None:
    page = called("roads", command, "--help")
    assert page.exit_code == 0
    assert f"bloomhaul roads {command}" in page.stdout


def test_a_server_measures_an_operation_into_distances_that_the_planner_reads(bees: Path, address: str, tmp_path: Path) -> None:
    done = called("roads", "measure", bees, "--server", address, "--interface", "osrm", "-o", tmp_path / "ways.csv")
    assert done.exit_code == 0, done.stderr
    assert "the source of these ways knows no posted limits" in done.stdout
    rows = list(csv.DictReader((tmp_path / "ways.csv").read_text().splitlines()))
    assert {row["trucks"] for row in rows} == {""}
    read = open_operation(bees, distances=tmp_path / "ways.csv")
    pears = next(row for row in read.distances if (row.origin, row.destination) == ("Home", "Pears"))
    assert pears.miles == 5.49
    assert pears.basis == f"road server {address.removeprefix('http://')}, no posted limits; alike for Old blue, Hired semi"


def test_neither_or_both_sources_are_a_wrong_call(bees: Path, tmp_path: Path) -> None:
    for words in ((), ("--tiles", tmp_path, "--server", "http://127.0.0.1:9")):
        done = called("roads", "measure", bees, *words, "-o", tmp_path / "x.json")
        assert done.exit_code == 2
        assert "Name either a folder of tiles (--tiles) or the address of a road server (--server)." in done.stderr


def test_an_operation_without_a_truck_has_nothing_to_measure(address: str, tmp_path: Path) -> None:
    file = tmp_path / "none.json"
    file.write_text(county_operation(trucks=()).model_dump_json())
    done = called("roads", "measure", file, "--server", address, "--interface", "osrm", "-o", tmp_path / "x.json")
    assert done.exit_code == 3
    assert "County Bees: found 0 trucks and 7 places, allowed: at least a truck and two places." in done.stderr


def test_a_server_that_is_not_there_writes_nothing(bees: Path, tmp_path: Path) -> None:
    done = called("roads", "measure", bees, "--server", "http://127.0.0.1:9", "-o", tmp_path / "x.json")
    assert done.exit_code == 3
    assert "The road server 127.0.0.1:9 cannot be reached" in done.stderr
    assert not (tmp_path / "x.json").exists()


if HAS_ENGINE:

    @pytest.fixture(scope="module")
    def measured(bees: Path, county_roads: Path, tmp_path_factory: pytest.TempPathFactory) -> "tuple[Path, Result]":
        out = tmp_path_factory.mktemp("measured")
        files = ("-o", out / "m.json", "--lines", out / "l.geojson")
        return out, called("roads", "measure", bees, "--tiles", county_roads, *files)

    def test_a_build_says_what_was_tried_and_mended(county: Path, county_roads: Path) -> None:
        done = called("roads", "build", county, "--into", county_roads)
        assert done.exit_code == 0, done.stderr
        assert "12 roads and 5 signs of county.osm.pbf" in done.stdout
        assert "Misread by the engine and written anew before building: maxheight=12-6 as 3.81" in done.stdout
        assert "OpenStreetMap contributors" in done.stdout

    def test_what_the_trucks_meet_is_told_by_name(measured: "tuple[Path, Result]") -> None:
        done = measured[1]
        assert done.exit_code == 1, done.stderr  # the semi's way round passes a sign for 10 short tons of rated weight
        for words in (
            "LIMIT BROKEN: sign on the way: rated weight, Hired semi: maxweightrating=10 st: 80,000 lb against a limit of",
            "NOT CHECKED: place on a road, Nowhere", "no road near", "NOT CHECKED: place on a road, Far away", "outside the map",
            "NOT CHECKED: place closed to a truck, Hired semi to Cherries", "in the way: maxheight=12-6 on Low Lane",
            "NOT CHECKED: place closed to a truck, Old blue to Hops", "a way there, but none back from Home",
            "sign on the way: ferry, Old blue: route=ferry: Old Ferry", "maxweight:conditional=5 st @ (Mar-Apr)",
            "sign that is gone round, Hired semi: maxweight=20 st", "Mill Bridge at", "4.1 mi longer",
        ):  # fmt: skip
            assert words in done.stdout, words
        assert "legal" not in done.stdout.lower()

    def test_the_operation_written_is_whole_and_plans_without_the_engine(measured: "tuple[Path, Result]") -> None:
        found = open_operation(measured[0] / "m.json")
        assert {(row.truck, row.place) for row in found.closed_places} == {
            ("Old blue", "Hops"), ("Hired semi", "Hops"), ("Hired semi", "Cherries")
        }  # fmt: skip
        general = {(row.origin, row.destination): row for row in found.distances if not row.trucks}
        assert general["Home", "Pears"].miles == pytest.approx(9.63, abs=0.02)
        own = next(row for row in found.distances if row.trucks == "Old blue" and row.destination == "Pears")
        assert own.miles == pytest.approx(5.49, abs=0.02)
        assert {row.kind for row in found.road_signs} == {"rated weight", "ferry", "at times"}

    def test_the_lines_are_geojson_that_begins_and_ends_at_the_places(measured: "tuple[Path, Result]") -> None:
        features = json.loads((measured[0] / "l.geojson").read_text())["features"]
        ends = {(one["properties"]["origin"], one["properties"]["destination"]): one["geometry"] for one in features}
        line = ends["Home", "Pears"]["coordinates"]
        assert line[0] == pytest.approx([-90.0, 44.0], abs=1e-5)
        assert line[-1] == pytest.approx([-89.89, 44.0], abs=1e-5)

    def test_an_operation_written_as_a_workbook_reads_back_alike(
        measured: "tuple[Path, Result]", county_roads: Path, tmp_path: Path
    ) -> None:
        again = called("roads", "measure", measured[0] / "m.json", "--tiles", county_roads, "-o", tmp_path / "m.xlsx")
        assert again.exit_code == 1, again.stderr
        first, second = open_operation(measured[0] / "m.json"), open_operation(tmp_path / "m.xlsx")
        assert first.distances == second.distances
        assert first.closed_places == second.closed_places

    def test_a_plan_on_roads_sends_no_truck_where_it_cannot_get(county_roads: Path, tmp_path: Path) -> None:
        few = tmp_path / "few.json"
        few.write_text(county_operation(places=("Pears", "Cherries", "Hops")).model_dump_json())
        done = called("plan", few, "--out", tmp_path / "p", "--seconds", 4, "--steps", 1, "--roads", county_roads)
        assert done.exit_code in (0, 1), done.stderr
        plan = json.loads((tmp_path / "p" / "plan.json").read_text())
        visited = {(night["truck"], stop["place"]) for night in plan["truck_nights"] for stop in night["stops"]}
        assert not visited & {("Old blue", "Hops"), ("Hired semi", "Hops"), ("Hired semi", "Cherries")}
        assert any(place == "Pears" for _, place in visited)
        hops = next(one for one in plan["unkept"] if one["contract"] == "Hops")
        assert "Old blue cannot get to Hops and back" in json.dumps(hops)
        assert any(row["basis"].startswith("road graph") for row in plan["operation"]["distances"])

else:

    def test_building_without_the_engine_is_told_and_ends_as_a_wrong_call(county: Path, tmp_path: Path) -> None:
        done = called("roads", "build", county, "--into", tmp_path / "roads")
        assert done.exit_code == 2
        assert "it needs Python 3.12 or newer" in done.stderr

    def test_a_plan_asked_for_roads_without_the_engine_is_made_on_estimates_and_says_so(tmp_path: Path) -> None:
        (tmp_path / "roads").mkdir()
        bees = tmp_path / "bees.json"
        bees.write_text(county_operation(trucks=("Old blue",), places=("Pears",)).model_dump_json())
        done = called("plan", bees, "--out", tmp_path / "p", "--seconds", 4, "--steps", 1, "--roads", tmp_path / "roads")
        assert "Roads from a map need the package pyvalhalla" in done.stderr
        plan = json.loads((tmp_path / "p" / "plan.json").read_text())
        assert plan["operation"]["distances"] == []


def test_the_operation_of_the_county_is_sound() -> None:
    assert isinstance(county_operation(), Operation)
