"""Every error that the server answers with: problem details after RFC 9457, one shape for all.

RFC 9457, "Problem Details for HTTP APIs", section 3.1: type, status, title, detail, instance.
https://www.rfc-editor.org/rfc/rfc9457
"""

from collections.abc import Iterable
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.routing import Match

from routing.errors import BloomhaulError, OperationError
from routing.inputs.faults import Fault, shown
from routing.record import Record, column
from routing.sheets.words import counted

MEDIA_TYPE = "application/problem+json"

KINDS: dict[str, str] = {
    "not-found": "There is nothing at this address.",
    "method-not-allowed": "This address does not take this method; the Allow header lists those it takes.",
    "bad-request": "The request is not one that this server understands.",
    "bad-parameter": "A value in the address is missing, of the wrong kind, or out of range; see the faults.",
    "operation-faults": "The operation given cannot be planned; every fault is listed.",
    "no-siting": "The drops of this contract cannot be sited; the detail says why, and what would help.",
    "load-faults": "The load given cannot be checked; every fault is listed.",
    "not-json": "The body is not a JSON document, or is nested too deep.",
    "media-type-not-taken": "The body is of a kind that this address does not take.",
    "body-too-large": "The body is larger than the server takes.",
    "host-not-served": "The request names a host that this server does not answer for.",
    "foreign-page": "A page of another site may not send requests to this server.",
    "no-plan-yet": "The plan is still being made, or none was found before it ended.",
    "no-such-sheet": "The plan has no sheet of that name, or not in that format.",
    "line-full": "As many plans wait in line as the server takes; try again later.",
    "bad-record": "The record cannot be read, so nothing was kept.",
    "recorded-already": "Another record was kept from this very form. Look at the sheet again and record what is new there.",
    "server-fault": "The server failed. The request may be right; the server's log says more.",
}
"""What each kind of problem means. Its address, ``/problems/KIND``, is the problem's ``type``."""
_KIND_OF_STATUS = {404: "not-found", 405: "method-not-allowed", 413: "body-too-large"}


class Problem(Record):
    """An error, after RFC 9457."""

    type: str = column("address that says what this kind of problem means", example="/problems/not-found")
    title: str = column("short name of the kind of problem", example="Not found")
    status: int = column("HTTP status", example=404)
    detail: str = column("what went wrong this time", example="There is no plan with this id.")
    instance: str = column("address that was asked for", example="/plans/5f0c")
    faults: tuple[Fault, ...] = column("every fault of the body or of a parameter", default=())


class ProblemError(BloomhaulError):
    """A request that is answered with a problem. ``kind`` is one of ``KINDS``."""

    def __init__(
        self,
        status: int,
        kind: str,
        detail: str,
        *,
        faults: tuple[Fault, ...] = (),
        headers: dict[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.status, self.kind, self.detail, self.faults, self.headers = status, kind, detail, faults, headers

    def problem(self, instance: str) -> Problem:
        """Return the problem as met at the address ``instance``."""
        return Problem(
            type=f"/problems/{self.kind}",
            title=title(self.kind),
            status=self.status,
            detail=self.detail,
            instance=instance,
            faults=self.faults,
        )


def title(kind: str) -> str:
    """Return the short name of a kind of problem."""
    return kind.replace("-", " ").capitalize()


def problem_response(problem: Problem, *, headers: dict[str, str] | None = None) -> Response:
    """Return the answer that carries ``problem``."""
    text = problem.model_dump_json()
    return Response(text, status_code=problem.status, media_type=MEDIA_TYPE, headers=headers)


def answer_problem(request: Request, problem: Problem, *, headers: dict[str, str] | None = None) -> Response:
    """Return the problem as the caller reads it: a page for a browser that asks for one, else problem details."""
    if "text/html" not in request.headers.get("accept", ""):
        return problem_response(problem, headers=headers)
    from api.pages.trouble import trouble_page

    answer = trouble_page(request, problem)
    answer.headers.update(headers or {})
    return answer


def documented(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return the OpenAPI entries of the problems that an endpoint may answer with."""
    schema = {"$ref": "#/components/schemas/Problem"}
    return {
        status: {"description": HTTPStatus(status).phrase, "content": {MEDIA_TYPE: {"schema": schema}}} for status in statuses
    }


def faults_of(error: OperationError) -> tuple[Fault, ...]:
    """Return the faults of an operation or a load."""
    return tuple(fault for fault in error.faults if isinstance(fault, Fault))


def add_problem_handlers(app: FastAPI) -> None:
    """Make ``app`` answer every error of its own, of FastAPI and of Starlette with a problem."""

    @app.exception_handler(ProblemError)
    def on_problem(request: Request, error: ProblemError) -> Response:
        return answer_problem(request, error.problem(request.url.path), headers=error.headers)

    @app.exception_handler(OperationError)
    def on_faults(request: Request, error: OperationError) -> Response:
        faults = faults_of(error)
        detail = f"The operation has {counted(len(faults), 'fault')}."
        return on_problem(request, ProblemError(422, "operation-faults", detail, faults=faults))

    @app.exception_handler(RequestValidationError)
    def on_parameters(request: Request, error: RequestValidationError) -> Response:
        faults = tuple(_parameter_faults(error.errors()))
        detail = f"{counted(len(faults), 'value')} cannot be used."
        return on_problem(request, ProblemError(422, "bad-parameter", detail, faults=faults))

    @app.exception_handler(HTTPException)
    def on_http(request: Request, error: HTTPException) -> Response:
        kind = _KIND_OF_STATUS.get(error.status_code, "bad-request")
        headers = dict(error.headers or {})
        if error.status_code == HTTPStatus.METHOD_NOT_ALLOWED:
            headers["Allow"] = ", ".join(_methods(request))
        return on_problem(request, ProblemError(error.status_code, kind, KINDS[kind], headers=headers))


def _parameter_faults(errors: Iterable[Any]) -> Iterable[Fault]:
    for error in errors:
        place, *names = (str(part) for part in error["loc"])
        allowed = error["msg"].removeprefix("Input should be ").rstrip(".")
        yield Fault(file=place, path=".".join(names), found=shown(error.get("input")), allowed=allowed)


def _methods(request: Request) -> list[str]:
    # Starlette names the methods of the first route at this address only; RFC 9110, 10.2.1 wants them all.
    found: set[str] = set()
    for router in request.app.state.routers:
        for route in router.routes:
            if route.matches(request.scope)[0] is not Match.NONE:
                found |= route.methods
    return sorted(found)
