"""Requests made up at random from the description: no failure, and every answer as described."""

import tempfile
from pathlib import Path

import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance
from starlette.types import Receive, Scope, Send

from api.app import create_app
from api.settings import Settings
from api.store.schema import prepare

# The cases are made when the tests are collected, before any fixture is there to give a folder.
_FOLDER = tempfile.TemporaryDirectory(prefix="bloomhaul-test-")
_SETTINGS = Settings(store=Path(_FOLDER.name, "plans.sqlite"), most_waiting=1000, hosts=("localhost", "testserver"))
prepare(_SETTINGS.store)
_APP = create_app(_SETTINGS)


async def _not_started(scope: Scope, receive: Receive, send: Send) -> None:
    """The application without its start: plans asked for wait in line, no process is begun for them."""
    if scope["type"] == "lifespan":
        await receive()
        await send({"type": "lifespan.startup.complete"})
        await receive()
        await send({"type": "lifespan.shutdown.complete"})
    else:
        await _APP(scope, receive, send)


api = schemathesis.openapi.from_asgi("/openapi.json", _not_started)
# Whole operations at random take minutes to make up; a few short tables find the same slips.
_TABLES = ("constants", "yards", "distances")
_operation = api.raw_schema["components"]["schemas"]["Operation-Input"]
_operation["properties"] = {
    name: part | {"maxItems": 2} if name in _TABLES else part
    for name, part in _operation["properties"].items()
    if part.get("type") != "array" or name in _TABLES
}


# A schema cannot say that a yard's name must be in the table of yards: the door refuses more than it.
# Checking what is wrong is what /operations/check is for: it answers with the faults.
NOT_HERE = {
    "/operations/roads": [positive_data_acceptance],
    "/operations/strength": [positive_data_acceptance],
    "/operations/strength.svg": [positive_data_acceptance],
    "/plans": [positive_data_acceptance],
    "/plans/{job_id}/changes": [positive_data_acceptance],
    "/loads/check": [positive_data_acceptance],
    "/loads/sheet.{format}": [positive_data_acceptance],
    "/operations/drops": [positive_data_acceptance],
    "/operations/drops.{format}": [positive_data_acceptance],
    "/operations/bloom": [positive_data_acceptance],
    "/operations/bloom.svg": [positive_data_acceptance],
    "/seasons": [positive_data_acceptance],
    "/seasons/calendar.{format}": [positive_data_acceptance],
    "/quotes": [positive_data_acceptance],
    "/operations/check": [positive_data_acceptance, negative_data_rejection],
}


@api.parametrize()
@settings(
    max_examples=10,
    deadline=None,
    derandomize=True,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
def test_any_request_is_answered_as_described(case: schemathesis.Case) -> None:
    case.call_and_validate(excluded_checks=NOT_HERE.get(case.path, []))
