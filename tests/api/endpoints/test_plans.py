"""Asking for plans, watching, cancelling, removing. Making them takes a process: see test_server."""

import time

import pytest
from fastapi.testclient import TestClient

from api.app import create_app
from api.settings import Settings
from api.store.job import JobAsked
from api.store.jobs import JobStore
from api.store.schema import prepare

JSON = {"content-type": "application/json"}
ASKED = JobAsked(operation_name="Tiny Bees", operation="{}", seconds=5.0, seed=0, steps=None)


def test_a_plan_asked_for_is_put_in_line_and_can_be_watched(client: TestClient, tiny_json: str) -> None:
    answer = client.post("/plans", params={"seconds": 2, "seed": 7, "steps": 3}, content=tiny_json, headers=JSON)
    job = answer.json()
    assert (answer.status_code, answer.headers["location"]) == (202, f"/plans/{job['id']}")
    assert (job["operation"], job["seconds"], job["seed"], job["steps"]) == ("Tiny Bees", 2.0, 7, 3)
    assert job["state"] in ("waiting", "running")
    assert client.get(job["links"]["job"]).json()["id"] == job["id"]
    assert [one["id"] for one in client.get("/plans").json()["jobs"]] == [job["id"]]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("seconds", "0"),
        ("seconds", "-1"),
        ("seconds", "nan"),
        ("seconds", "inf"),
        ("seconds", "soon"),
        ("seconds", "60.1"),
        ("seed", "-1"),
        ("seed", "1.5"),
        ("seed", str(2**31)),
        ("steps", "0"),
        ("steps", "many"),
    ],
)
def test_a_parameter_out_of_range_is_named(client: TestClient, tiny_json: str, name: str, value: str) -> None:
    answer = client.post("/plans", params={name: value}, content=tiny_json, headers=JSON)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/bad-parameter")
    (fault,) = answer.json()["faults"]
    assert (fault["file"], fault["path"]) == ("query", name)
    assert client.get("/plans").json()["jobs"] == []


def test_a_full_line_is_told_with_when_to_come_back(settings: Settings, tiny_json: str) -> None:
    prepare(settings.store)
    # Not started: nothing leaves the line while this test looks at it.
    client = TestClient(create_app(settings), base_url="http://127.0.0.1")
    for _ in range(settings.most_waiting):
        assert client.post("/plans", content=tiny_json, headers=JSON).status_code == 202
    answer = client.post("/plans", content=tiny_json, headers=JSON)
    assert (answer.status_code, answer.json()["type"]) == (429, "/problems/line-full")
    assert int(answer.headers["retry-after"]) > 0
    assert client.get("/plans").json()["waiting"] == settings.most_waiting


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/plans/none"),
        ("GET", "/plans/none/plan"),
        ("GET", "/plans/none/sheets"),
        ("DELETE", "/plans/none"),
        ("GET", "/plans/none/sheets/moves.csv"),
        ("POST", "/plans/none/cancel"),
    ],
)
def test_an_unknown_plan_is_not_found(client: TestClient, method: str, path: str) -> None:
    answer = client.request(method, path)
    assert (answer.status_code, answer.json()["detail"]) == (404, "There is no plan with this id.")
    assert answer.json()["instance"] == path


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("PUT", "/plans", "GET, POST"),
        ("PATCH", "/plans/x", "DELETE, GET"),
        ("GET", "/plans/x/cancel", "POST"),
        ("POST", "/health", "GET"),
        ("DELETE", "/plans/x/sheets/moves.csv", "GET"),
    ],
)
def test_a_method_that_is_not_taken_is_told_which_are(client: TestClient, method: str, path: str, allowed: str) -> None:
    answer = client.request(method, path)
    assert (answer.status_code, answer.json()["type"]) == (405, "/problems/method-not-allowed")
    assert answer.headers["allow"] == allowed


def test_a_plan_not_yet_made_is_told_so(settings: Settings, tiny_json: str) -> None:
    prepare(settings.store)
    store = JobStore(settings.store)
    job_id = store.add(ASKED).id
    store.ask_to_stop(job_id, "cancel")
    with TestClient(create_app(settings), base_url="http://127.0.0.1") as client:
        for path in ("plan", "sheets", "sheets/moves.csv"):
            answer = client.get(f"/plans/{job_id}/{path}")
            assert (answer.status_code, answer.json()["type"]) == (409, "/problems/no-plan-yet")
            assert "the job is cancelled" in answer.json()["detail"]
        assert client.get(f"/plans/{job_id}").json()["links"]["plan"] is None


def test_the_list_can_be_cut_and_continued(settings: Settings) -> None:
    prepare(settings.store)
    store = JobStore(settings.store)
    ids = [store.add(ASKED).id for _ in range(3)]
    for one in ids:
        store.ask_to_stop(one, "cancel")
    with TestClient(create_app(settings), base_url="http://127.0.0.1") as client:
        assert [one["id"] for one in client.get("/plans?most=2").json()["jobs"]] == [ids[2], ids[1]]
        assert [one["id"] for one in client.get("/plans?most=2&skip=2").json()["jobs"]] == [ids[0]]
        assert client.get("/plans?most=0").status_code == 422


def test_an_operation_that_only_the_planner_refuses_ends_as_failed_with_its_reason(
    settings: Settings,
) -> None:
    prepare(settings.store)
    job_id = JobStore(settings.store).add(ASKED).id
    with TestClient(create_app(settings), base_url="http://127.0.0.1") as client:
        end_by = time.monotonic() + 30
        while (job := client.get(f"/plans/{job_id}").json())["ended_at"] is None and time.monotonic() < end_by:
            time.sleep(0.1)
        assert (job["state"], job["links"]["plan"]) == ("failed", None)
        assert "OperationError" in job["note"]
