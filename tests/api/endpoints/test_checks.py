"""Checking an operation, and a load, without planning."""

import json

from fastapi.testclient import TestClient

JSON = {"content-type": "application/json"}


def test_a_sound_operation_is_counted(client: TestClient, tiny_json: str) -> None:
    answer = client.post("/operations/check", content=tiny_json, headers=JSON)
    # H1 16 + L1 6 + W1 8 = 30 hives; 16 + 24 = 40 colonies promised.
    assert answer.json() == {
        "usable": True,
        "name": "Tiny Bees",
        "yards": 2,
        "hives": 30,
        "contracts": 2,
        "colonies": 40,
        "trucks": 1,
        "faults": [],
    }


def test_a_faulty_operation_is_answered_with_its_faults(client: TestClient, tiny_json: str) -> None:
    document = json.loads(tiny_json)
    document["hive_groups"][0]["yard"] = "Home yrad"
    answer = client.post("/operations/check", content=json.dumps(document), headers=JSON)
    assert answer.status_code == 200
    (fault,) = answer.json()["faults"]
    assert (answer.json()["usable"], fault["path"]) == (False, "hive_groups[0].yard")
    assert "Home yard" in fault["allowed"]


def test_nothing_is_put_in_line_by_a_check(client: TestClient, tiny_json: str) -> None:
    client.post("/operations/check", content=tiny_json, headers=JSON)
    assert client.get("/plans").json()["jobs"] == []
