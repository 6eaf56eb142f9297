"""What may be sent as a body, and what is told of what may not."""

import json

import pytest
from fastapi.testclient import TestClient

JSON = {"content-type": "application/json"}
CHECK = "/operations/check"


def _problem(answer: object) -> tuple[int, str]:
    return answer.status_code, answer.json()["type"]  # type: ignore[attr-defined]


@pytest.mark.parametrize("content_type", ["text/plain", "application/xml", "application/jsonx", ""])
@pytest.mark.parametrize("path", ["/plans", CHECK])
def test_a_body_of_another_kind_is_not_taken(client: TestClient, path: str, content_type: str) -> None:
    answer = client.post(path, content="{}", headers={"content-type": content_type})
    assert _problem(answer) == (415, "/problems/media-type-not-taken")
    assert "application/json" in answer.headers["accept"]


def test_a_charset_beside_the_content_type_is_fine(client: TestClient, tiny_json: str) -> None:
    headers = {"content-type": "Application/JSON; charset=utf-8"}
    assert client.post(CHECK, content=tiny_json, headers=headers).json()["usable"]


def test_a_byte_order_mark_is_read_over(client: TestClient, tiny_json: str) -> None:
    assert client.post(CHECK, content=b"\xef\xbb\xbf" + tiny_json.encode(), headers=JSON).json()["usable"]


def test_bytes_that_are_no_text_are_refused_with_their_place(client: TestClient) -> None:
    answer = client.post("/plans", content=b'{"name": "\xff"}', headers=JSON)
    assert _problem(answer) == (400, "/problems/not-json")
    assert "byte 10" in answer.json()["detail"]


@pytest.mark.parametrize("depth", [25, 5_000, 150_000])
@pytest.mark.parametrize("opening", ["[", '{"a":'])
def test_a_body_nested_too_deep_is_refused(client: TestClient, opening: str, depth: int) -> None:
    count = min(depth, 390_000 // len(opening))
    answer = client.post("/plans", content=opening * count, headers=JSON)
    assert _problem(answer) == (400, "/problems/not-json")
    assert f"nests {count} deep; 24 is the most taken" in answer.json()["detail"]


def test_brackets_within_text_do_not_count_as_nesting(client: TestClient, tiny_json: str) -> None:
    document = json.loads(tiny_json) | {"note": '[{\\"' * 40}
    assert client.post(CHECK, content=json.dumps(document), headers=JSON).json()["usable"]


@pytest.mark.parametrize("text", ["", "nothing", "[]", "3", "null", '{"name": ', '{"a": NaN}', '{"a": 1e999}'])
def test_what_is_no_operation_has_faults_and_never_fails_the_server(client: TestClient, text: str) -> None:
    answer = client.post("/plans", content=text, headers=JSON)
    assert _problem(answer) == (422, "/problems/operation-faults")
    assert answer.json()["faults"]


def test_every_fault_of_an_operation_is_told_at_once(client: TestClient, tiny_json: str) -> None:
    document = json.loads(tiny_json)
    document["yards"][0]["latitude_deg"] = False
    document["hive_groups"][0]["hives"] = "16"
    document["trucks"][0]["colour"] = "blue"
    problem = client.post("/plans", content=json.dumps(document), headers=JSON).json()
    places = {fault["path"] for fault in problem["faults"]}
    assert {"yards[0].latitude_deg", "hive_groups[0].hives"} <= places
    assert any("colour" in place for place in places)
    assert all(fault["message"].startswith("body, ") for fault in problem["faults"])


def test_an_operation_as_a_workbook_is_the_same_operation(client: TestClient) -> None:
    from api.files.workbook import operation_workbook
    from fixtures.tiny import tiny_operation

    files = {"operation": ("tiny.xlsx", operation_workbook(tiny_operation()))}
    answer = client.post(CHECK, files=files).json()
    assert (answer["faults"], answer["name"], answer["colonies"]) == ([], "Tiny Bees", 40)


def test_a_form_may_bring_json_with_distances(client: TestClient, tiny_json: str) -> None:
    distances = "origin,destination,miles,minutes,both_ways\nHome yard,Nowhere,1,2,yes\n"
    files = {"operation": ("tiny.json", tiny_json), "distances": ("roads.csv", distances)}
    answer = client.post(CHECK, files=files).json()
    assert not answer["usable"]
    assert any("roads.csv" in fault["message"] and "Nowhere" in fault["message"] for fault in answer["faults"])


def test_a_workbook_that_is_none_has_a_fault(client: TestClient) -> None:
    answer = client.post("/plans", files={"operation": ("tiny.xlsx", b"PK\x03\x04 not a workbook")})
    assert _problem(answer) == (422, "/problems/operation-faults")
    assert "tiny.xlsx" in answer.json()["faults"][0]["message"]


@pytest.mark.parametrize("name", ["../../etc/evil.xlsx", "..\\evil.xlsx", "/root.xlsx", "a\x00b.xlsx", "...", ""])
def test_a_file_name_cannot_lead_out_of_its_folder(client: TestClient, name: str) -> None:
    answer = client.post("/plans", files={"operation": (name, b"x")})
    assert answer.status_code in (400, 422)


@pytest.mark.parametrize(
    "files",
    [
        {"maps": ("blocks.geojson", b"{}")},
        [("operation", ("a.json", b"{}")), ("operation", ("b.json", b"{}"))],
    ],
)
def test_a_form_brings_one_operation(client: TestClient, files: object) -> None:
    assert _problem(client.post("/plans", files=files)) == (400, "/problems/bad-request")  # type: ignore[arg-type]


def test_a_form_field_that_is_no_file_is_refused(client: TestClient) -> None:
    answer = client.post("/plans", data={"operation": "text"}, files={"other": b"x"})
    assert _problem(answer) == (400, "/problems/bad-request")


def test_a_form_of_too_many_files_or_broken_is_refused(client: TestClient) -> None:
    many = [("maps", (f"{number}.geojson", b"{}")) for number in range(9)]
    assert client.post("/plans", files=many).status_code == 400
    broken = {"content-type": "multipart/form-data; boundary=b"}
    assert client.post("/plans", content=b"--b\r\nnot a part", headers=broken).status_code == 400
    assert client.post("/plans", content=b"x", headers={"content-type": "multipart/form-data"}).status_code == 400
