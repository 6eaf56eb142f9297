"""Run the server until Ctrl-C."""

import socket
from pathlib import Path

from api.commands.codes import ALL_WELL, NOT_WRITTEN
from api.commands.exits import say
from api.settings import Settings
from routing.errors import BloomhaulError

LOOPBACK = ("127.0.0.1", "localhost", "::1")


def run_server(settings: Settings, host: str, *, port: int) -> int:
    """Serve at ``host`` and ``port`` (0: any free one) and return the exit code once stopped."""
    import uvicorn

    from api.app import create_app

    try:
        # Bound here, so that a port in use is one sentence and an exit code of ours.
        listening = _bind(settings, host, port=port)
    except (BloomhaulError, OSError) as error:
        say(f"The server cannot start: {error}")
        return NOT_WRITTEN
    _greet(settings, host, port=listening.getsockname()[1])
    server = uvicorn.Server(
        uvicorn.Config(create_app(settings), log_level="warning", server_header=False, timeout_graceful_shutdown=5)
    )
    try:
        server.run(sockets=[listening])
    except KeyboardInterrupt:
        say("Stopped.")
    return ALL_WELL if server.started else NOT_WRITTEN


def default_store() -> Path:
    """Return where the plans of a server are kept when no file is named."""
    import typer

    return Path(typer.get_app_dir("bloomhaul")) / "plans.sqlite"


def _bind(settings: Settings, host: str, *, port: int) -> socket.socket:
    from api.store.schema import hold, prepare

    prepare(settings.store)
    hold(settings.store).close()
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    return socket.create_server((host, port), family=family)


def _greet(settings: Settings, host: str, *, port: int) -> None:
    if host not in LOOPBACK:
        say(f"Anyone who reaches {host} can read and remove plans: there is no password.")
    shown = f"[{host}]" if ":" in host else host
    say(f"Serving at http://{shown}:{port}/docs; plans are kept in {settings.store}. Ctrl-C stops.")
