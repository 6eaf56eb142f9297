"""Strength over the API: the report, the histogram, and what is refused."""

import json

import pytest
from fastapi.testclient import TestClient
from lxml import etree

from fixtures.tiny import tiny_operation
from routing.sheets.strength_report import StrengthReport, strength_report

JSON = {"content-type": "application/json"}


def test_the_report_is_the_one_that_the_command_prints(client: TestClient, tiny_json: str) -> None:
    answer = client.post("/operations/strength", content=tiny_json, headers=JSON)
    assert answer.status_code == 200
    assert StrengthReport.model_validate_json(answer.text) == strength_report(tiny_operation())


def test_one_group_and_one_contract_may_be_asked_for(client: TestClient, tiny_json: str) -> None:
    asked = {"group": "H1", "contract": "Early cherries"}
    answer = client.post("/operations/strength", content=tiny_json, headers=JSON, params=asked)
    found = answer.json()
    assert [one["group"] for one in found["groups"]] == ["H1"]
    assert [one["contract"] for one in found["contracts"]] == ["Early cherries"]
    assert found["contracts"][0]["lots"][0]["choice"]["pays"] == "as they are"


@pytest.mark.parametrize("path", ["/operations/strength", "/operations/strength.svg"])
def test_a_contract_that_is_not_there_is_a_problem_that_names_the_nearest(client: TestClient, tiny_json: str, path: str) -> None:
    answer = client.post(path, content=tiny_json, headers=JSON, params={"contract": "Early cherry"})
    assert (answer.status_code, answer.headers["content-type"]) == (422, "application/problem+json")
    (fault,) = answer.json()["faults"]
    assert "'Early cherry'" in fault["found"]
    assert "the nearest is 'Early cherries'" in fault["allowed"]


def test_the_histogram_is_an_svg_that_no_page_can_misuse(client: TestClient, tiny_json: str) -> None:
    params = {"contract": "Early cherries"}
    answer = client.post("/operations/strength.svg", content=tiny_json, headers=JSON, params=params)
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert "content-security-policy" in answer.headers
    assert etree.fromstring(answer.content).tag.endswith("svg")


def test_inspections_of_an_unknown_group_are_refused(client: TestClient, tiny_json: str) -> None:
    document = json.loads(tiny_json)
    document["inspections"] = [{"group": "H9", "inspected_on": "2027-04-01", "frames_seen": "8x5"}]
    answer = client.post("/operations/strength", content=json.dumps(document), headers=JSON)
    (fault,) = answer.json()["faults"]
    assert (answer.status_code, fault["path"], fault["found"]) == (422, "inspections[0].group", "'H9'")
