"""Run the server until Ctrl-C."""

from pathlib import Path

from api.commands.exits import ALL_WELL, NOT_WRITTEN, say
from api.settings import Settings

LOOPBACK = ("127.0.0.1", "localhost", "::1")


def run_server(settings: Settings, host: str, *, port: int) -> int:
    """Serve at ``host`` and ``port`` and return the exit code once stopped."""
    import uvicorn

    from api.app import create_app
    from api.store.schema import StoreError, hold, prepare

    try:
        prepare(settings.store)
        hold(settings.store).close()
    except (StoreError, OSError) as error:
        say(str(error))
        return NOT_WRITTEN
    if host not in LOOPBACK:
        say(f"Anyone who reaches {host} can read and remove plans: there is no password.")
    shown_host = f"[{host}]" if ":" in host else host
    say(f"Serving at http://{shown_host}:{port}/docs; plans are kept in {settings.store}. Ctrl-C stops.")
    server = uvicorn.Server(uvicorn.Config(
        create_app(settings), host=host, port=port, log_level="warning", server_header=False,
        timeout_graceful_shutdown=5,
    ))
    try:
        server.run()
    except KeyboardInterrupt:
        say("Stopped.")
    return ALL_WELL if server.started else NOT_WRITTEN


def default_store() -> Path:
    """Return where the plans of a server are kept when no file is named."""
    import typer

    return Path(typer.get_app_dir("bloomhaul")) / "plans.sqlite"
