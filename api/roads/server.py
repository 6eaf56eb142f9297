"""A road server at an address that the user gives: questions in JSON, every failure one clear sentence."""

import json
import urllib.error
import urllib.parse
import urllib.request
from dataclasses import dataclass
from http import HTTPStatus
from http.client import HTTPException
from typing import Any

from api.roads.errors import NoAnswerError, RoadsError

TIMEOUT_S = 30.0
MOST_BYTES = 200_000_000


class _NoOtherScheme(urllib.request.HTTPRedirectHandler):
    """Follow a redirect to http or https only: no file, no other protocol."""

    def redirect_request(self, req: Any, fp: Any, code: int, msg: str, headers: Any, newurl: str) -> Any:
        _must_be_http(newurl)
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def _must_be_http(address: str) -> None:
    parts = urllib.parse.urlsplit(address)
    if parts.scheme not in ("http", "https") or not parts.hostname:
        raise RoadsError(f"The road server's address is {address!r}, allowed: http:// or https:// and a host.")
    if parts.username or parts.password:
        raise RoadsError("The road server's address holds a user or password, allowed: an address without them.")


@dataclass(frozen=True)
class Server:
    """A road server: asks and answers in JSON."""

    address: str
    timeout_s: float = TIMEOUT_S

    def __post_init__(self) -> None:
        _must_be_http(self.address)

    @property
    def host(self) -> str:
        """Host and port, for people to read."""
        return urllib.parse.urlsplit(self.address).netloc

    def ask(self, action: str, question: dict[str, Any]) -> Any:
        """Return the answer to a question sent as JSON, as the Valhalla interface has it."""
        body = json.dumps(question).encode()
        headers = {"Content-Type": "application/json", "Accept": "application/json"}
        return self._answer(urllib.request.Request(self._at(action), data=body, headers=headers, method="POST"))

    def get(self, path: str) -> Any:
        """Return the answer at a path below the address."""
        return self._answer(urllib.request.Request(self._at(path), headers={"Accept": "application/json"}))

    def _at(self, path: str) -> str:
        return f"{self.address.rstrip('/')}/{path}"

    def _answer(self, request: urllib.request.Request) -> Any:
        opener = urllib.request.build_opener(_NoOtherScheme())
        try:
            with opener.open(request, timeout=self.timeout_s) as answer:
                text = answer.read(MOST_BYTES + 1)
        except urllib.error.HTTPError as error:
            return _refusal(self.host, error)
        except TimeoutError as error:
            raise RoadsError(f"The road server {self.host} did not answer within {self.timeout_s:g} seconds.") from error
        except urllib.error.URLError as error:
            if isinstance(error.reason, TimeoutError):
                raise RoadsError(f"The road server {self.host} did not answer within {self.timeout_s:g} seconds.") from error
            raise RoadsError(f"The road server {self.host} cannot be reached: {error.reason}.") from error
        except (OSError, HTTPException) as error:
            raise RoadsError(f"The road server {self.host} broke off its answer: {error}.") from error
        if len(text) > MOST_BYTES:
            raise RoadsError(f"The road server {self.host} sent more than {MOST_BYTES // 1_000_000} million bytes.")
        try:
            return json.loads(text)
        except ValueError as error:
            raise RoadsError(f"The road server {self.host} answered with something other than JSON.") from error


def _refusal(host: str, error: urllib.error.HTTPError) -> Any:
    """Return the answer of a server that refuses in the words of the OSRM interface; raise ``RoadsError`` for any other."""
    if 300 <= error.code < 400:
        _must_be_http(str(error.headers.get("Location") or ""))
    try:
        told = json.loads(error.read(100_000))
        words = str(told.get("message") or told.get("error") or "")[:200].rstrip(".")
    except (ValueError, OSError, AttributeError):
        told, words = {}, ""
    if error.code == HTTPStatus.BAD_REQUEST and "code" in told:
        return told
    kind = NoAnswerError if error.code == HTTPStatus.BAD_REQUEST and words else RoadsError
    raise kind(f"The road server {host} answered with HTTP {error.code}{': ' if words else ''}{words}.") from error
