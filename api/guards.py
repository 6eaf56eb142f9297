"""What every request must pass before the application sees it, and what every answer carries.

Plain ASGI, so that a body is counted as it comes in and never held whole when it is too large.
"""

import logging
import time
from http import HTTPStatus
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import KINDS, ProblemError, answer_problem
from api.settings import Settings

_LOG = logging.getLogger("bloomhaul.server")
_MOST_READ_OFF_BYTES = 1_000_000_000
_MOST_READ_OFF_S = 60.0
"""Of a body that is refused, no more than this is taken off the line before the answer. [bytes, s]"""
_SAFE_METHODS = {"GET", "HEAD", "OPTIONS"}
_NO_FRAMES = "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
SECURITY_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Content-Security-Policy": f"default-src 'none'; {_NO_FRAMES}",
    "Cache-Control": "no-store",
}
"""Set on every answer that does not bring its own."""
DOCS_PATH = "/docs"
DOCS_POLICY = (
    "default-src 'none'; script-src 'self' 'unsafe-inline'; style-src 'self' 'unsafe-inline';"
    f" img-src 'self' data:; connect-src 'self'; {_NO_FRAMES}"
)
"""The description's page starts itself with a script in the page; all else comes from this server."""


class Guards:
    """Refuse a foreign host, a request sent by another site's page, and a body that is too large."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.settings = settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or answer with a problem."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        answer, body = _Answer(send, scope), _Counted(receive, self.settings.most_body_bytes)
        if scope["method"] == "HEAD":
            scope = {**scope, "method": "GET"}
        try:
            check_host(headers, self.settings.hosts)
            check_origin(headers, scope["method"])
            check_length(headers, self.settings.most_body_bytes)
            await self.app(scope, body.receive, answer.send)
        except ProblemError as error:
            if error.status == HTTPStatus.REQUEST_ENTITY_TOO_LARGE:
                await body.read_off()
            await answer_problem(Request(scope), error.problem(scope["path"]))(scope, receive, answer.send)
        except Exception:
            if answer.begun:
                raise
            _LOG.exception("%s %s failed", scope["method"], scope["path"])
            fault = ProblemError(500, "server-fault", KINDS["server-fault"])
            await answer_problem(Request(scope), fault.problem(scope["path"]))(scope, receive, answer.send)


def check_host(headers: Headers, hosts: tuple[str, ...]) -> None:
    """Raise ``ProblemError`` unless the Host header names one of ``hosts``, with or without a port.

    A page elsewhere can point its own name at this machine; the Host header still carries that name.
    """
    name = _host_name(headers.get("host", ""))
    if name not in {host.lower() for host in hosts}:
        raise ProblemError(400, "host-not-served", f"This server does not answer for the host '{name[:80]}'.")


def check_origin(headers: Headers, method: str) -> None:
    """Raise ``ProblemError`` when a page of another site sends a request that could change something."""
    if method in _SAFE_METHODS:
        return
    origin = headers.get("origin")
    foreign = origin is not None and urlsplit(origin).netloc.lower() != headers.get("host", "").lower()
    if foreign or headers.get("sec-fetch-site") in {"cross-site", "same-site"}:
        raise ProblemError(403, "foreign-page", KINDS["foreign-page"])


def check_length(headers: Headers, most_bytes: int) -> None:
    """Raise ``ProblemError`` when the stated length of the body is above ``most_bytes``, or is no number."""
    stated = headers.get("content-length", "0")
    if not (stated.isascii() and stated.isdigit()):
        raise ProblemError(400, "bad-request", "The Content-Length header is not a whole number.")
    if len(stated) > 18 or int(stated) > most_bytes:
        raise _too_large(most_bytes)


def _host_name(host: str) -> str:
    name = host.lower().strip()
    if name.startswith("["):
        return name.partition("]")[0] + "]"
    return name.partition(":")[0]


def _too_large(most_bytes: int) -> ProblemError:
    return ProblemError(413, "body-too-large", f"The body is larger than the {most_bytes:,} bytes taken.")


class _Counted:
    """The way in: counts the body as it comes, and stops the application from reading more than it may."""

    def __init__(self, receive: Receive, most_bytes: int) -> None:
        self._receive = receive
        self._most_bytes = most_bytes
        self._seen = 0
        self._more = True

    async def receive(self) -> Message:
        """Return the next part of the body; raise ``ProblemError`` once there is too much of it."""
        message = await self._next()
        if self._seen > self._most_bytes:
            raise _too_large(self._most_bytes)
        return message

    async def read_off(self) -> None:
        """Take what is still sent off the line and keep none of it.

        A browser that is cut off while it sends shows a broken line, not our answer.
        """
        end_by = time.monotonic() + _MOST_READ_OFF_S
        while self._more and self._seen < _MOST_READ_OFF_BYTES and time.monotonic() < end_by:
            await self._next()

    async def _next(self) -> Message:
        message = await self._receive()
        self._seen += len(message.get("body", b""))
        self._more = message["type"] == "http.request" and message.get("more_body", False)
        return message


class _Answer:
    """The way out: adds the headers, remembers whether the answer has begun, leaves a HEAD's body out."""

    def __init__(self, send: Send, scope: Scope) -> None:
        self._send = send
        self._own = {"Content-Security-Policy": DOCS_POLICY} if scope["path"] == DOCS_PATH else {}
        self._bodiless = scope["method"] == "HEAD"
        self.begun = False

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(scope=message)
            for name, value in (SECURITY_HEADERS | self._own).items():
                headers.setdefault(name, value)
        elif self._bodiless:
            message = {**message, "body": b""}
        await self._send(message)
