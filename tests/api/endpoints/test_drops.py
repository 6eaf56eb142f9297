"""Drops proposed over the API: as JSON, as files, or a problem that says why not."""

import json
import sqlite3
import tempfile
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from fixtures.demo import demo_operation
from routing.drops.drop import Siting
from routing.inputs.operation import Operation

JSON = {"content-type": "application/json"}


@pytest.fixture(scope="module")
def demo_json() -> str:
    return demo_operation().model_dump_json()


def test_a_proposal_is_answered_with_its_proof_and_its_checks(client: TestClient, demo_json: str) -> None:
    answer = client.post("/operations/drops?contract=Sundog melons", content=demo_json, headers=JSON)
    assert answer.status_code == 200
    siting = Siting.model_validate_json(answer.text)
    assert sum(drop.hives for drop in siting.drops) == 16
    assert siting.gap <= 0.01
    assert {finding.status for finding in siting.findings} == {"ok", "unknown"}


def test_without_a_name_the_first_orchard_with_an_outline_is_sited(client: TestClient, tiny_json: str) -> None:
    answer = client.post("/operations/drops", content=tiny_json, headers=JSON)
    assert answer.json()["contract"] == "Early cherries"


FILES = [
    ("json", "application/json"), ("geojson", "application/geo+json"), ("gpkg", "application/geopackage+sqlite3"),
    ("gpx", "application/gpx+xml"), ("svg", "image/svg+xml"),
]  # fmt: skip


@pytest.mark.parametrize(("ending", "media_type"), FILES)
def test_the_same_is_to_be_had_as_a_file(client: TestClient, tiny_json: str, ending: str, media_type: str) -> None:
    answer = client.post(f"/operations/drops.{ending}?most_stops=1", content=tiny_json, headers=JSON)
    assert answer.status_code == 200
    assert answer.headers["content-type"].split(";")[0] == media_type
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    if ending == "json":
        drops = [drop for drop in Operation.model_validate_json(answer.text).drops if drop.contract == "Early cherries"]
        assert [drop.most_hives for drop in drops] == [16]
    elif ending == "geojson":
        assert json.loads(answer.text)["type"] == "FeatureCollection"
    elif ending == "gpkg":
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder, "a.gpkg")
            path.write_bytes(answer.content)
            connection = sqlite3.connect(path)
            assert connection.execute("SELECT count(*) FROM drops").fetchone() == (1,)
            connection.close()
    else:
        assert "Early cherries" in answer.text


REFUSED = [
    ("contract=Nowhere", 422, "There is no contract called 'Nowhere'"),
    ("contract=Late blueberries", 422, "none of its 1 blocks has an outline"),
    ("farthest_ft=30", 422, "no acre farther than 30 ft"),
]


@pytest.mark.parametrize(("query", "status", "detail"), REFUSED)
def test_what_cannot_be_sited_is_a_problem_with_its_reason(
    client: TestClient, tiny_json: str, query: str, status: int, detail: str
) -> None:
    answer = client.post(f"/operations/drops?{query}", content=tiny_json, headers=JSON)
    assert answer.status_code == status
    assert answer.json()["type"] == "/problems/no-siting"
    assert detail in answer.json()["detail"]


WRONG = ["/operations/drops?most_stops=0", "/operations/drops.dxf", "/operations/drops?farthest_ft=x"]


@pytest.mark.parametrize("address", WRONG)
def test_a_value_out_of_range_is_a_problem(client: TestClient, tiny_json: str, address: str) -> None:
    answer = client.post(address, content=tiny_json, headers=JSON)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/bad-parameter")
