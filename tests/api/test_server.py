"""A real server, over real HTTP: plan, cancel, stop, die, start again."""

import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest

from routing.inputs.operation import Operation
from routing.plan_record import Plan

JSON = {"content-type": "application/json"}
LONGEST_S = 120.0
ROOT = Path(__file__).parents[2]


class Server:
    """One server process and a caller of it."""

    def __init__(self, store: Path) -> None:
        self.store = store
        command = [sys.executable, "-m", "api.cli", "serve", "--port", "0", "--store", str(store)]
        self.process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT)
        assert self.process.stderr is not None
        greeting = self.process.stderr.readline()
        found = re.search(r"http://127\.0\.0\.1:\d+", greeting)
        assert found, greeting
        self.http = httpx.Client(base_url=found[0], timeout=20.0)

    def ask(self, operation: str, **how: float) -> str:
        """Ask for a plan and return the job's address."""
        answer = self.http.post("/plans", content=operation, params=how, headers=JSON)
        assert answer.status_code == 202, answer.text
        return str(answer.headers["location"])

    def wait(self, job: str, *states: str) -> dict[str, Any]:
        """Return the job once it is in one of ``states``."""
        end_by = time.monotonic() + LONGEST_S
        while time.monotonic() < end_by:
            seen: dict[str, Any] = self.http.get(job).raise_for_status().json()
            if seen["state"] in states:
                return seen
            assert seen["state"] in ("waiting", "running"), seen
            time.sleep(0.05)
        raise AssertionError(f"still {seen['state']} after {LONGEST_S} s: {seen}")

    def wait_for_a_plan(self, job: str, operation: Operation) -> dict[str, Any]:
        """Return the job once its best plan so far keeps a part of what was promised."""
        promised = sum(contract.colonies for contract in operation.contracts)
        end_by = time.monotonic() + LONGEST_S
        while time.monotonic() < end_by:
            seen: dict[str, Any] = self.http.get(job).raise_for_status().json()
            unkept = seen["progress"]["unkept_colonies"]
            if unkept is not None and unkept < promised:
                return seen
            assert seen["state"] in ("waiting", "running"), seen
            time.sleep(0.05)
        raise AssertionError(f"no plan after {LONGEST_S} s: {seen}")

    def end(self, how: signal.Signals) -> int:
        """End the server and return its exit code."""
        self.http.close()
        self.process.send_signal(how)
        code = self.process.wait(60)
        assert self.process.stderr is not None
        self.process.stderr.close()
        return code


@contextmanager
def _serving(store: Path) -> Iterator[Server]:
    server = Server(store)
    try:
        yield server
    finally:
        if server.process.poll() is None:
            server.end(signal.SIGINT)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that stays up for the tests that do not stop it."""
    with _serving(tmp_path_factory.mktemp("server") / "plans.sqlite") as running:
        yield running


def test_a_plan_is_asked_for_watched_and_fetched(server: Server, tiny_json: str) -> None:
    job = server.ask(tiny_json, seconds=3, seed=1, steps=2)
    seen = server.wait(job, "done")
    plan = Plan.model_validate_json(server.http.get(seen["links"]["plan"]).text)
    assert (plan.operation.name, plan.seed) == ("Tiny Bees", 1)
    told = seen["progress"]
    assert (told["cost_usd"], told["lower_bound_usd"], told["gap"]) == (
        plan.cost_usd,
        plan.lower_bound_usd,
        plan.gap,
    )
    assert seen["id"] in [one["id"] for one in server.http.get("/plans").json()["jobs"]]
    assert server.http.delete(job).status_code == 204
    assert server.http.get(job).status_code == 404


def test_a_long_plan_leaves_the_server_quick_and_is_cancelled(server: Server, busy: Operation) -> None:
    job, behind = (server.ask(busy.model_dump_json(), seconds=600) for _ in range(2))
    server.wait_for_a_plan(job, busy)
    begun = time.monotonic()
    assert server.http.get("/health").json() == {
        "status": "ok",
        "version": server.http.get("/health").json()["version"],
        "waiting": 1,
        "running": 1,
    }
    assert time.monotonic() - begun < 1.5
    assert server.http.post(f"{behind}/cancel").json()["state"] == "cancelled"
    assert server.http.post(f"{job}/cancel").status_code == 202
    seen = server.wait(job, "cancelled")
    assert seen["links"]["cancel"] is None
    plan = Plan.model_validate_json(server.http.get(seen["links"]["plan"]).text)
    assert plan.truck_nights
    assert plan.stopped_early


def test_a_removed_job_ends_its_process(server: Server, busy: Operation, tiny_json: str) -> None:
    job = server.ask(busy.model_dump_json(), seconds=600)
    server.wait_for_a_plan(job, busy)
    assert server.http.delete(job).status_code == 204
    # One plan at a time: the next one can only be made once the removed one's process is gone.
    server.wait(server.ask(tiny_json, seconds=2, steps=1), "done")


def test_a_server_that_is_stopped_keeps_the_best_plan_so_far(tmp_path: Path, busy: Operation) -> None:
    store = tmp_path / "plans.sqlite"
    with _serving(store) as server:
        job = server.ask(busy.model_dump_json(), seconds=600)
        server.wait_for_a_plan(job, busy)
        assert server.end(signal.SIGINT) == 0
    with _serving(store) as again:
        seen = again.wait(job, "interrupted")
        assert "server stopped" in seen["note"]
        assert Plan.model_validate_json(again.http.get(seen["links"]["plan"]).text).truck_nights


def test_a_server_that_dies_leaves_an_interrupted_job_and_its_plan_follows(tmp_path: Path, busy: Operation) -> None:
    store = tmp_path / "plans.sqlite"
    with _serving(store) as server:
        job = server.ask(busy.model_dump_json(), seconds=600)
        server.wait_for_a_plan(job, busy)
        server.end(signal.SIGKILL)
    with _serving(store) as again:
        assert again.wait(job, "interrupted")["links"]["cancel"] is None
        end_by = time.monotonic() + LONGEST_S
        while again.http.get(f"{job}/plan").status_code == 409 and time.monotonic() < end_by:
            time.sleep(0.2)
        assert Plan.model_validate_json(again.http.get(f"{job}/plan").text).truck_nights
        assert again.http.get(job).json()["state"] == "interrupted"


def test_a_second_server_on_the_same_store_does_not_start(server: Server) -> None:
    command = [sys.executable, "-m", "api.cli", "serve", "--port", "0", "--store", str(server.store)]
    second = subprocess.run(command, capture_output=True, text=True, timeout=30, cwd=ROOT, check=False)
    assert second.returncode == 4
    assert "another server works on it" in second.stderr
    assert server.http.get("/health").status_code == 200


def test_a_port_in_use_is_told_in_a_sentence(server: Server, tmp_path: Path) -> None:
    port = str(server.http.base_url.port)
    command = [
        sys.executable,
        "-m",
        "api.cli",
        "serve",
        "--port",
        port,
        "--store",
        str(tmp_path / "s.sqlite"),
    ]
    second = subprocess.run(command, capture_output=True, text=True, timeout=30, cwd=ROOT, check=False)
    assert second.returncode == 4
    assert second.stderr.startswith("The server cannot start: ")
    assert "Traceback" not in second.stderr
