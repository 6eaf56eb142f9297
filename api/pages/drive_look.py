"""The script that keeps a driver's sheet on the telephone."""

from functools import cache
from importlib import resources

from api.pages.look import look


@cache
def worker_script() -> str:
    """Return the service worker; it changes when the queue that it shares with the page changes."""
    body = resources.files("api.pages").joinpath("static", "drive_worker.js").read_text(encoding="utf-8")
    return f'"use strict";\nimportScripts("{look("drive_queue.js")}");\n{body}'
