"""Read the document in a request body: an operation as JSON or as files of a form, or a load as JSON."""

import re
import tempfile
from pathlib import Path
from typing import Annotated

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from api.plannable import plannable
from api.problems import ProblemError
from api.settings import Settings
from routing.inputs.operation import Operation

_MOST_FILES = 8
_FORM = "The form must bring one file as 'operation'; it may bring files as 'maps' and 'weather' and one as 'distances'."
_STRINGS = re.compile(r'"(?:[^"\\]|\\.)*"', re.DOTALL)
_BRACKETS = re.compile(r"[\[\]{}]")


async def json_given(request: Request) -> str:
    """Return the JSON text of the body; raise ``ProblemError`` when it is no JSON or nested too deep."""
    if _media_type(request) != "application/json":
        raise _not_taken("application/json")
    settings: Settings = request.app.state.settings
    return await run_in_threadpool(_json_text, await request.body(), settings.most_json_depth)


async def operation_given(request: Request) -> Operation:
    """Return the operation in the body, checked.

    Raises
    ------
    OperationError
        If the operation has faults.
    ProblemError
        If the body is neither JSON nor a form with a file, or is nested too deep.
    """
    from routing.inputs.read import operation_from_json

    if _media_type(request) == "multipart/form-data":
        async with request.form(max_files=_MOST_FILES, max_fields=_MOST_FILES) as form:
            with tempfile.TemporaryDirectory(prefix="bloomhaul-") as folder:
                return (await operation_in_form(form, folder))[0]
    if _media_type(request) != "application/json":
        raise _not_taken("application/json or multipart/form-data")
    operation = await run_in_threadpool(operation_from_json, await json_given(request), "body")
    return await run_in_threadpool(plannable, operation, "body")


OperationGiven = Annotated[Operation, Depends(operation_given)]
JsonGiven = Annotated[str, Depends(json_given)]


async def operation_in_form(form: FormData, folder: str) -> tuple[Operation, str]:
    """Return the operation in the files of a form, checked, and its file's name; ``folder`` holds the files meanwhile.

    Raises
    ------
    OperationError
        If the operation has faults.
    ProblemError
        If the form brings no operation, or more than one.
    """
    from api.files.open_operation import open_operation

    operation = await _save(form, "operation", folder)
    maps, distances = await _save(form, "maps", folder), await _save(form, "distances", folder)
    if len(operation) != 1 or len(distances) > 1:
        raise ProblemError(400, "bad-request", _FORM)
    roads = distances[0] if distances else None
    weather = tuple(await _save(form, "weather", folder))
    opened = await run_in_threadpool(open_operation, operation[0], maps=tuple(maps), distances=roads, weather=weather)
    return await run_in_threadpool(plannable, opened, operation[0].name), operation[0].name


async def _save(form: FormData, field: str, folder: str) -> list[Path]:
    saved = []
    for number, file in enumerate(form.getlist(field), 1):
        if not isinstance(file, UploadFile):
            raise ProblemError(400, "bad-request", f"The form's field '{field}' must be a file.")
        if not file.filename and not file.size:
            # What a browser sends for a choice of file that was left empty.
            continue
        # Each file has a folder of its own, so that two files of one name do not meet.
        path = Path(folder, f"{field}-{number}", _plain_name(file.filename))
        path.parent.mkdir()
        path.write_bytes(await file.read())
        saved.append(path)
    return saved


def _plain_name(name: str | None) -> str:
    last = re.split(r"[/\\]", name or "")[-1]
    return re.sub(r"[^\w .-]", "_", last).lstrip(". ")[-80:] or "file"


def _json_text(body: bytes, most_depth: int) -> str:
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        detail = f"The body is not UTF-8 text: byte {error.start} cannot be read."
        raise ProblemError(400, "not-json", detail) from None
    depth = deepest = 0
    for bracket in _BRACKETS.finditer(_STRINGS.sub("", text)):
        depth += 1 if bracket[0] in "[{" else -1
        deepest = max(deepest, depth)
    if deepest > most_depth:
        raise ProblemError(400, "not-json", f"The body nests {deepest} deep; {most_depth} is the most taken.")
    return text


def _media_type(request: Request) -> str:
    return request.headers.get("content-type", "").partition(";")[0].strip().lower()


def _not_taken(taken: str) -> ProblemError:
    detail = f"The body must be sent as {taken}."
    return ProblemError(415, "media-type-not-taken", detail, headers={"Accept": taken.replace(" or", ",")})
