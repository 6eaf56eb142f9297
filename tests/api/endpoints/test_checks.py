"""Checking an operation, and a load, without planning."""

import json

import pytest
from fastapi.testclient import TestClient

from routing.loads.load import Load
from routing.loads.typed import load_example, load_from_json

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


def test_dates_that_only_planning_finds_wrong_are_told_at_the_door(client: TestClient, tiny_json: str) -> None:
    document = json.loads(tiny_json)
    document["contracts"][0] |= {"in_from": None, "in_until": "2027-04-20", "in_at_percent_bloom": 10.0}
    document["blooms"] = [{"contract": "Early cherries", "percent_bloom": 10.0, "on": "2027-04-24"}]
    (fault,) = client.post("/operations/check", content=json.dumps(document), headers=JSON).json()["faults"]
    assert (fault["file"], fault["path"]) == ("body", "contracts[0].in_until")
    assert "2027-04-20, before the first night in, 2027-04-24" in fault["found"]
    assert client.post("/plans", content=json.dumps(document), headers=JSON).status_code == 422


def test_nothing_is_put_in_line_by_a_check(client: TestClient, tiny_json: str) -> None:
    client.post("/operations/check", content=tiny_json, headers=JSON)
    assert client.get("/plans").json()["jobs"] == []


def test_a_load_is_answered_with_every_check_made_on_it(client: TestClient) -> None:
    answer = client.post("/loads/check", content=load_example(), headers=JSON)
    load = Load.model_validate_json(answer.text)
    assert (answer.status_code, load.hives, load.truck) == (200, 16, "Old blue")
    assert load == load_from_json(load_example(), "body")
    assert load.findings


def test_a_faulty_load_is_refused_with_all_its_faults(client: TestClient) -> None:
    document = json.loads(load_example())
    document["truck"]["payload_lb"] = False
    document["units"][0]["pallet"] = "five-way"
    document["units"][1]["hives"] = "4"
    answer = client.post("/loads/check", content=json.dumps(document), headers=JSON)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/load-faults")
    places = {fault["path"] for fault in answer.json()["faults"]}
    assert {"truck.payload_lb", "units[1].hives"} <= places


def test_a_pallet_narrower_than_any_hive_is_a_fault(client: TestClient) -> None:
    document = json.loads(load_example())
    document["pallets"][0]["width_in"] = 5e-324
    answer = client.post("/loads/check", content=json.dumps(document), headers=JSON)
    assert answer.status_code == 422
    assert [(one["path"], one["allowed"]) for one in answer.json()["faults"]] == [("pallets[0].width_in", "8 or more")]


def test_a_load_that_is_too_heavy_says_so(client: TestClient) -> None:
    document = json.loads(load_example())
    for unit in document["units"]:
        unit |= {"weight_low_lb": 9000, "weight_high_lb": 9500}
    findings = client.post("/loads/check", content=json.dumps(document), headers=JSON).json()["findings"]
    # 4 x 9,500 = 38,000 lb on a truck that may carry 12,000.
    assert any(one["status"] == "broken" and one["unit"] == "lb" for one in findings)


@pytest.mark.parametrize(("format", "begins"), [("pdf", b"%PDF-"), ("html", b"<!DOCTYPE html>")])
def test_the_sheet_of_a_typed_load_is_printed(client: TestClient, format: str, begins: bytes) -> None:
    answer = client.post(f"/loads/sheet.{format}", content=load_example(), headers=JSON)
    assert answer.status_code == 200
    assert answer.content.startswith(begins)
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]


def test_a_sheet_of_a_faulty_load_or_in_no_known_format_is_refused(client: TestClient) -> None:
    assert client.post("/loads/sheet.pdf", content="{}", headers=JSON).json()["type"].endswith("load-faults")
    assert client.post("/loads/sheet.docx", content=load_example(), headers=JSON).status_code in (404, 422)
