"""What every request must pass before the application sees it, and what every answer carries.

Plain ASGI, so that a body is counted as it comes in and never held whole when it is too large.
"""

import logging
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import KINDS, ProblemError, problem_response
from api.settings import Settings

_LOG = logging.getLogger("bloomhaul.server")
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
        answer = _Answer(send, scope)
        if scope["method"] == "HEAD":
            scope = {**scope, "method": "GET"}
        try:
            check_host(headers, self.settings.hosts)
            check_origin(headers, scope["method"])
            check_length(headers, self.settings.most_body_bytes)
            await self.app(scope, _counted(receive, self.settings.most_body_bytes), answer.send)
        except ProblemError as error:
            await problem_response(error.problem(scope["path"]))(scope, receive, answer.send)
        except Exception:
            if answer.begun:
                raise
            _LOG.exception("%s %s failed", scope["method"], scope["path"])
            fault = ProblemError(500, "server-fault", KINDS["server-fault"])
            await problem_response(fault.problem(scope["path"]))(scope, receive, answer.send)


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


def _counted(receive: Receive, most_bytes: int) -> Receive:
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most_bytes:
            raise _too_large(most_bytes)
        return message

    return counted


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
