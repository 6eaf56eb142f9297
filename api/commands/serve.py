"""Run the server until Ctrl-C."""

import socket
import ssl
from pathlib import Path
from typing import Any

from api.commands.codes import ALL_WELL, NOT_WRITTEN
from api.commands.exits import say
from api.settings import TILES, Settings
from routing.errors import BloomhaulError
from routing.record import Record

LOOPBACK = ("127.0.0.1", "localhost", "::1")


class Certificate(Record):
    """What a server shows to be who it says it is: files in PEM form."""

    chain: Path
    key: Path


def run_server(
    settings: Settings, host: str, *, port: int, browser: bool = False, certificate: Certificate | None = None
) -> int:
    """Serve at ``host`` and ``port`` (0: any free one) and return the exit code once stopped.

    With a certificate it speaks https, without which no telephone keeps a page for later.

    With ``browser`` the first page is shown in the browser of this machine, where it has one with windows.
    """
    import uvicorn

    from api.app import create_app

    try:
        # Bound here, so that a port in use is one sentence and an exit code of ours.
        listening = _bind(settings, host, port=port)
        config = uvicorn.Config(
            create_app(settings), log_level="warning", server_header=False, timeout_graceful_shutdown=5, **_shown(certificate)
        )
        config.load()
    except ssl.SSLError as error:
        say(f"The server cannot start: the certificate and its key do not fit or are no PEM files ({error}).")
        return NOT_WRITTEN
    except (BloomhaulError, OSError) as error:
        say(f"The server cannot start: {error}")
        return NOT_WRITTEN
    address = _address(host, port=listening.getsockname()[1], safe=certificate is not None)
    _greet(settings, host, address=address)
    if browser:
        # The socket takes the call already; it is answered once the server runs.
        _show(address)
    server = uvicorn.Server(config)
    try:
        server.run(sockets=[listening])
    except KeyboardInterrupt:
        say("Stopped.")
    return ALL_WELL if server.started else NOT_WRITTEN


def certificate_asked(chain: Path | None, key: Path | None) -> Certificate | None:
    """Return the certificate of two options of which neither stands alone; None for none.

    Raises
    ------
    typer.BadParameter
        If one is given without the other.
    """
    import typer

    if (chain is None) != (key is None):
        raise typer.BadParameter("found one of the two, allowed: both, or neither", param_hint="--certificate, --certificate-key")
    return Certificate(chain=chain, key=key) if chain and key else None


def tiles_asked(text: str) -> tuple[str, str]:
    """Return the address of map tiles and whom they are by, from ``URL NAME``; two empty texts for none.

    Raises
    ------
    typer.BadParameter
        If the address is not one that tiles can be had from.
    """
    import typer

    address, _, by = text.strip().partition(" ")
    if address and not (TILES.fullmatch(address) and all(part in address for part in ("{z}", "{x}", "{y}"))):
        told = f"found '{address[:80]}', allowed: http(s)://HOST/... with {{z}}, {{x}} and {{y}}"
        raise typer.BadParameter(told, param_hint="--tiles")
    return address, by.strip()[:200]


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


def _shown(certificate: Certificate | None) -> dict[str, Any]:
    return {"ssl_certfile": certificate.chain, "ssl_keyfile": certificate.key} if certificate else {}


def _address(host: str, *, port: int, safe: bool) -> str:
    # Listening everywhere is no address that a browser can go to.
    named = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)
    shown = f"[{named}]" if ":" in named else named
    return f"{'https' if safe else 'http'}://{shown}:{port}"


def _greet(settings: Settings, host: str, *, address: str) -> None:
    if host not in LOOPBACK:
        say(f"Anyone who reaches {host} can read and remove plans: there is no password.")
        if not address.startswith("https"):
            say("Without https (--certificate) no telephone keeps a driver's sheet: print the sheets.")
    say(f"Serving at {address}/ (the API is described at {address}/docs).")
    say(f"Plans are kept in {settings.store}. Ctrl-C stops.")


def _show(address: str) -> None:
    import webbrowser

    try:
        # Exactly this class is a browser that would take over the terminal.
        if type(webbrowser.get()) is not webbrowser.GenericBrowser:
            webbrowser.open(f"{address}/")
    except webbrowser.Error:
        say(f"No browser was found: open {address}/ in one.")
