"""Templates to pages: one environment, one policy, the same words and figures for all."""

import gzip
from functools import cache
from http import HTTPStatus
from typing import Any

from fastapi import Request
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse

from api.pages.look import look
from api.pages.reading import reader_of
from api.pages.say import count, has_words, say
from api.settings import Settings
from routing.sheets.summary import usd

PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:{tiles}; font-src 'self'; connect-src 'self';"
    " manifest-src 'self'; worker-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
"""No script and no style stands in a page, and nothing comes from elsewhere but map tiles, when an address of them is set."""

_SMALL_BYTES = 2_000
_PACKED = 5


def page(request: Request, template: str, *, status: int = HTTPStatus.OK, **values: Any) -> HTMLResponse:
    """Return a page made from ``template``; it finds the reader as ``read`` and this address as ``here``."""
    settings: Settings = request.app.state.settings
    made = _environment().get_template(template)
    text = made.render(read=reader_of(request), here=_here(request), settings=settings, **values)
    headers = page_headers(settings.tiles) | {"Vary": "Accept-Encoding"}
    content = text.encode("utf-8")
    if len(content) < _SMALL_BYTES or "gzip" not in request.headers.get("accept-encoding", ""):
        return HTMLResponse(content, status_code=status, headers=headers)
    # A page holds no secret of ours beside what its reader sends, so that its packed length tells nothing.
    packed = gzip.compress(content, _PACKED, mtime=0)
    return HTMLResponse(packed, status_code=status, headers=headers | {"Content-Encoding": "gzip"})


def go_to(address: str) -> RedirectResponse:
    """Return the answer to a form that was taken: look at ``address``, so that a reload sends nothing twice."""
    return RedirectResponse(address, status_code=HTTPStatus.SEE_OTHER)


def page_headers(tiles: str = "") -> dict[str, str]:
    """Return what a page carries beside the headers of every answer.

    A page names itself to this server (``same-origin``): without, a browser hides where a form came from.
    """
    policy = PAGE_POLICY.format(tiles=f" {_origin(tiles)}" if tiles else "")
    return {"Content-Security-Policy": policy, "Referrer-Policy": "same-origin"}


def _origin(tiles: str) -> str:
    scheme, _, rest = tiles.partition("://")
    return f"{scheme}://{rest.partition('/')[0].replace('{s}', '*')}"


def _here(request: Request) -> str:
    return request.url.path + (f"?{request.url.query}" if request.url.query else "")


def drawing(svg: str) -> Markup:
    """Return one of our own figures for inline use; the figures escape every name put into them."""
    return Markup(svg.replace(' xmlns="http://www.w3.org/2000/svg"', ""))


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("api.pages", "templates"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    made.globals |= {"say": say, "count": count, "look": look, "has_words": has_words}
    made.filters |= {"usd": usd, "drawing": drawing}
    return made
