"""What all pages share: their look, the reader's choice, the check that a form came from one of our pages."""

from http import HTTPStatus
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import APIRouter, Depends, Form, Request
from starlette.responses import Response

from api.pages.look import look_files
from api.pages.reading import COOKIE, Clock, Ground, Reader, Units
from api.pages.render import go_to, page
from api.problems import KINDS, ProblemError

pages_frame = APIRouter(include_in_schema=False)

_A_YEAR_S = 365 * 24 * 3600


def own_form(request: Request) -> None:
    """Raise ``ProblemError`` (403) unless the browser says that the form stands on a page of this very server.

    A browser sends Origin, or Sec-Fetch-Site, with every form, and no page can change them (Fetch Standard, 3.1 and
    W3C Fetch Metadata Request Headers); what sends neither is no browser, and has the JSON API.
    """
    origin, site = request.headers.get("origin"), request.headers.get("sec-fetch-site")
    same_host = origin is not None and urlsplit(origin).netloc.lower() == request.headers.get("host", "").lower()
    if not (same_host or (origin is None and site == "same-origin")):
        raise ProblemError(HTTPStatus.FORBIDDEN, "foreign-page", KINDS["foreign-page"])


OwnForm = Depends(own_form)


def local_address(back: str) -> str:
    """Return ``back`` when it is a path of this server, else the first page."""
    parts = urlsplit(back)
    safe = back.startswith("/") and not back.startswith(("//", "/\\")) and not parts.scheme and not parts.netloc
    return back if safe and back.isprintable() else "/"


@pages_frame.get("/look/{name:path}")
def send_look(name: str, request: Request) -> Response:
    """Answer with one file that pages are dressed with; with its digest in the address a browser keeps it for a year."""
    file = look_files().get(name)
    if file is None:
        raise ProblemError(HTTPStatus.NOT_FOUND, "not-found", KINDS["not-found"])
    headers = {"Vary": "Accept-Encoding", "ETag": f'"{file.digest}"'}
    for_good = request.query_params.get("v") == file.digest
    headers["Cache-Control"] = f"public, max-age={_A_YEAR_S}, immutable" if for_good else "public, max-age=3600"
    if request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=headers)
    if file.packed is not None and "gzip" in request.headers.get("accept-encoding", ""):
        return Response(file.packed, media_type=file.media_type, headers=headers | {"Content-Encoding": "gzip"})
    return Response(file.content, media_type=file.media_type, headers=headers)


@pages_frame.get("/reader")
def choose_reading(request: Request, back: str = "/") -> Response:
    """Show the reader's choice of units, clock and ground."""
    return page(request, "reader.html.j2", back=local_address(back))


@pages_frame.post("/reader", dependencies=[OwnForm])
def keep_reading(
    units: Annotated[Units, Form()],
    clock: Annotated[Clock, Form()],
    ground: Annotated[Ground, Form()],
    back: Annotated[str, Form()] = "/",
) -> Response:
    """Keep the reader's choice in the browser and go back to where it was changed."""
    answer = go_to(local_address(back))
    chosen = Reader(units=units, clock=clock, ground=ground)
    answer.set_cookie(COOKIE, chosen.cookie, max_age=_A_YEAR_S, httponly=True, samesite="strict", path="/")
    return answer
