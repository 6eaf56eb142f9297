"""Bloom over the API: from an operation, from its files, from a plan; the same as the report and figure."""

import datetime as dt
import json
from collections.abc import Callable

from fastapi.testclient import TestClient

from fixtures.bloom import ORCHARD, bloom_operation
from fixtures.tiny import tiny_operation
from routing.sheets.bloom_figure import bloom_figure
from routing.sheets.bloom_report import BloomReport, bloom_report

# One season of days and usual days by month: small enough for the test server's limit of a body.
SEEN = bloom_operation(years=3, seen_to=dt.date(2027, 4, 20))
SMALL = SEEN.model_dump_json(exclude_defaults=True)
JSON = {"content-type": "application/json"}


def test_an_operation_with_weather_gives_each_contracts_report(client: TestClient) -> None:
    answer = client.post("/operations/bloom", content=SMALL, headers=JSON)
    assert answer.status_code == 200
    assert answer.json()["faults"] == []
    found = [BloomReport.model_validate_json(json.dumps(one)) for one in answer.json()["reports"]]
    assert found == [bloom_report(SEEN, contract) for contract in SEEN.contracts]
    assert found[0].kind == "fitted"


def test_a_weather_file_sent_beside_the_operation_is_read(client: TestClient) -> None:
    bare = SEEN.model_copy(update={"weather": ()}).model_dump_json(exclude_defaults=True)
    lines = [f"{row.on},{row.kind},{row.low_f},{row.high_f}" for row in SEEN.weather]
    files = [
        ("operation", ("mine.json", bare, "application/json")),
        ("weather", ("days.csv", "date,kind,low [F],high [F]\n" + "\n".join(lines), "text/csv")),
    ]
    answer = client.post("/operations/bloom", files=files, params={"contract": "early cherries"})
    assert answer.status_code == 200
    (report,) = answer.json()["reports"]
    assert BloomReport.model_validate_json(json.dumps(report)) == bloom_report(SEEN, SEEN.contracts[0])


def test_a_wrong_weather_file_is_a_problem_with_its_sentence(client: TestClient) -> None:
    files = [
        ("operation", ("mine.json", tiny_operation().model_dump_json(), "application/json")),
        ("weather", ("days.csv", "date,hour,temp [C]\n2027-01-05,0,280\n", "text/csv")),
    ]
    answer = client.post("/operations/bloom", files=files)
    assert answer.status_code == 422
    assert [fault["message"] for fault in answer.json()["faults"]] == [
        "days.csv, row 2: found 280 deg C, allowed: from -51 to 54 deg C; it looks like kelvin, whose heading says [K].",
    ]


def test_the_figure_is_the_one_of_the_sheets(client: TestClient) -> None:
    answer = client.post("/operations/bloom.svg", content=SMALL, headers=JSON, params={"contract": ORCHARD})
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "script-src" not in answer.headers["content-security-policy"]
    assert answer.text == bloom_figure(SEEN, ORCHARD)


def test_an_unknown_contract_is_told_with_the_nearest_name(client: TestClient, tiny_json: str) -> None:
    answer = client.post("/operations/bloom.svg", content=tiny_json, headers=JSON, params={"contract": "Early chery"})
    assert answer.status_code == 404
    assert answer.json()["detail"] == "There is no contract called 'Early chery'; the nearest is 'Early cherries'."


def test_a_plan_tells_the_bloom_that_it_rests_on(client: TestClient, put_done: Callable[[str], str], tiny_plan_json: str) -> None:
    job = put_done(tiny_plan_json)
    answer = client.get(f"/plans/{job}/bloom")
    assert [one["contract"] for one in answer.json()["reports"]] == ["Early cherries", "Late blueberries"]
    figure = client.get(f"/plans/{job}/bloom.svg", params={"contract": "Late blueberries"})
    assert figure.text == bloom_figure(tiny_operation(), "Late blueberries")
    assert client.get("/plans/none/bloom").status_code == 404
