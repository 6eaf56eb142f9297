"""What the tests of the server share: an application with its own store, the tiny operation as JSON."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from api.app import create_app
from api.settings import Settings
from api.store.schema import connect
from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation, tiny_plan
from routing.inputs.operation import Operation

HERE = "http://127.0.0.1"


@pytest.fixture(scope="session")
def tiny_json() -> str:
    """The tiny operation as a caller sends it."""
    return tiny_operation().model_dump_json()


@pytest.fixture(scope="session")
def busy() -> Operation:
    """An operation whose first plan is there within a second, and whose search goes on for much longer."""
    return demo_beginning(contracts=2)


@pytest.fixture(scope="session")
def tiny_plan_json() -> str:
    """The hand-made plan of the tiny operation."""
    return tiny_plan().model_dump_json()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings of a server for one test."""
    store = tmp_path / "plans.sqlite"
    return Settings(store=store, most_body_bytes=400_000, most_seconds=60.0, most_waiting=3)


@pytest.fixture
def client(settings: Settings) -> Iterator[TestClient]:
    """A running application, its store empty."""
    with TestClient(create_app(settings), base_url=HERE) as running:
        yield running


@pytest.fixture
def put_done(client: TestClient, settings: Settings) -> Callable[[str], str]:
    """A function that puts a finished job with the plan given into the store and returns its id."""

    def put(plan: str) -> str:
        connection = connect(settings.store)
        connection.execute(
            "INSERT INTO job (id, operation_name, operation, seconds, seed, state, asked_at)"
            " VALUES ('made', 'Tiny Bees', '{}', 1.0, 0, 'done', '2027-04-01T00:00:00+00:00')"
        )
        connection.execute("INSERT INTO plan (job, document) VALUES ('made', ?)", (plan,))
        connection.close()
        return "made"

    return put
