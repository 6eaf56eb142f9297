"""Health, schema, template, problems, and the description of the API."""

import io

import jsonschema_rs
from fastapi.testclient import TestClient
from openpyxl import load_workbook

from api.problems import KINDS
from fixtures.tiny import tiny_operation


def test_the_server_tells_that_it_is_well(client: TestClient) -> None:
    answer = client.get("/health").json()
    assert (answer["status"], answer["waiting"], answer["running"]) == ("ok", 0, 0)


def test_the_schema_takes_the_tiny_operation_and_refuses_false_for_a_number(client: TestClient) -> None:
    answer = client.get("/schema/operation")
    assert answer.headers["content-type"] == "application/schema+json"
    validator = jsonschema_rs.validator_for(answer.json())
    document = tiny_operation().model_dump(mode="json")
    assert validator.is_valid(document)
    document["yards"][0]["latitude_deg"] = False
    assert not validator.is_valid(document)


def test_the_template_is_a_workbook_with_a_sheet_for_the_contracts(client: TestClient) -> None:
    answer = client.get("/template.xlsx")
    assert "attachment" in answer.headers["content-disposition"]
    names = load_workbook(io.BytesIO(answer.content)).sheetnames
    assert any("ontract" in name for name in names)


def test_every_kind_of_problem_can_be_looked_up_at_its_address(client: TestClient) -> None:
    listed = client.get("/problems").json()
    assert len(listed) == len(KINDS)
    for kind in listed:
        assert client.get(kind["type"]).json() == kind
    assert client.get("/problems/unheard-of").status_code == 404


def test_the_description_page_asks_no_other_server_for_anything(client: TestClient) -> None:
    page = client.get("/docs").text
    assert "http://" not in page.replace("http://127.0.0.1", "")
    assert "https://" not in page
    assert client.get("/static-offline-docs/swagger-ui-bundle.js").status_code == 200
    assert client.get("/static-offline-docs/swagger-ui.css").status_code == 200
    assert client.get("/redoc").status_code == 404
