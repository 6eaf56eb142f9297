"""What a request must pass, and what every answer carries."""

import json
from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient

from api.guards import SECURITY_HEADERS

PutDone = Callable[[str], str]
JSON = {"content-type": "application/json"}


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.1:8765", "localhost:80", "LOCALHOST", "[::1]:8765"])
def test_the_server_answers_to_its_own_names(client: TestClient, host: str) -> None:
    assert client.get("/health", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("host", ["orchard.example", "127.0.0.1.orchard.example", "localhost.evil.example:8765", ""])
def test_another_host_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/health", headers={"host": host})
    assert answer.status_code == 400
    assert answer.json()["type"] == "/problems/host-not-served"


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://orchard.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
    ],
)
def test_a_page_of_another_site_may_not_change_anything(client: TestClient, headers: dict[str, str]) -> None:
    answer = client.post("/plans", content="{}", headers=JSON | headers)
    assert answer.status_code == 403
    assert answer.json()["type"] == "/problems/foreign-page"


def test_our_own_page_may_ask(client: TestClient, tiny_json: str) -> None:
    own = {"origin": "http://127.0.0.1", "host": "127.0.0.1", "sec-fetch-site": "same-origin"}
    assert client.post("/operations/check", content=tiny_json, headers=JSON | own).status_code == 200


def test_no_answer_lets_another_site_read_it(client: TestClient) -> None:
    answer = client.get("/plans", headers={"origin": "http://orchard.example"})
    assert not [name for name in answer.headers if name.startswith("access-control")]


@pytest.mark.parametrize("path", ["/health", "/nothing-here", "/docs", "/openapi.json", "/plans/none"])
def test_every_answer_carries_the_security_headers(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    assert set(SECURITY_HEADERS) <= {name.title().replace("-Csp", "-CSP") for name in headers} | set(headers)
    assert "frame-ancestors 'none'" in headers["content-security-policy"]


def test_a_head_is_answered_as_a_get_without_its_body(client: TestClient) -> None:
    head, get = client.head("/problems"), client.get("/problems")
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-length"] == get.headers["content-length"]
    assert client.head("/nothing-here").status_code == 404
    assert client.head("/operations/check").headers["allow"] == "POST"


def test_a_body_that_says_it_is_too_large_is_refused_unread(client: TestClient) -> None:
    answer = client.post("/plans", content=b"x" * 400_001, headers=JSON)
    assert answer.status_code == 413
    assert answer.json()["detail"] == "The body is larger than the 400,000 bytes taken."


def test_a_body_without_a_length_is_counted_as_it_comes(client: TestClient) -> None:
    pieces = (b" " * 100_000 for _ in range(5))
    answer = client.post("/plans", content=pieces, headers=JSON)
    assert "content-length" not in answer.request.headers
    assert (answer.status_code, answer.json()["type"]) == (413, "/problems/body-too-large")


def test_a_form_without_a_length_is_counted_too(client: TestClient) -> None:
    head = b'--b\r\nContent-Disposition: form-data; name="operation"; filename="a.xlsx"\r\n\r\n'
    pieces = iter([head, *[b"x" * 100_000] * 5, b"\r\n--b--\r\n"])
    answer = client.post("/plans", content=pieces, headers={"content-type": "multipart/form-data; boundary=b"})
    assert (answer.status_code, answer.json()["type"]) == (413, "/problems/body-too-large")


@pytest.mark.parametrize("length", ["-1", "many", "1e3", "²"])
def test_a_length_that_is_no_number_is_refused(client: TestClient, length: str) -> None:
    headers = [(b"content-type", b"application/json"), (b"content-length", length.encode("latin-1"))]
    assert client.post("/plans", content=b"{}", headers=headers).status_code == 400


def test_a_body_as_large_as_is_taken_is_read(client: TestClient, tiny_json: str) -> None:
    filled = tiny_json + " " * (400_000 - len(tiny_json.encode()))
    assert client.post("/operations/check", content=filled, headers=JSON).status_code == 200


def test_a_failure_inside_is_a_problem_that_tells_nothing_of_the_inside(
    client: TestClient, put_done: PutDone, caplog: pytest.LogCaptureFixture
) -> None:
    # A plan that is none, put into the store by hand: the server trusts what it wrote itself, and fails.
    job_id = put_done("{}")
    answer = client.get(f"/plans/{job_id}/sheets")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert set(answer.json()) == {"type", "title", "status", "detail", "instance", "faults"}
    assert "Traceback" not in json.dumps(answer.json())
    assert f"GET /plans/{job_id}/sheets failed" in caplog.text
