"""The words of ``bloomhaul serve`` on the command line."""

import sys
from pathlib import Path
from typing import Annotated, Any

import typer

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Host = Annotated[str, typer.Option(metavar="ADDRESS", help="Address to listen at; any but the default is open to others.")]
Port = Annotated[int, typer.Option(metavar="N", min=0, max=65535, help="Port to listen at.")]
Store = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        dir_okay=False,
        help="SQLite file of the plans; left out, one in your settings folder.",
    ),
]
Processes = Annotated[int, typer.Option(metavar="N", min=1, max=32, help="Plans made at the same time.")]
AnswerTo = Annotated[
    list[str] | None,
    typer.Option("--answer-to", metavar="NAME", help="Another host name to answer to. Repeatable."),
]
Browser = Annotated[
    bool | None,
    typer.Option("--browser/--no-browser", help="Open the pages in the browser; left out, when started in a terminal."),
]
Tiles = Annotated[
    str,
    typer.Option(
        metavar="'URL NAME'", help="Map tiles, URL with {z}, {x}, {y}, and whom they are by; left out, the map needs no internet."
    ),
]

Certificate = Annotated[
    Path | None,
    typer.Option("--certificate", metavar="FILE", **_FILE, help="Certificate (PEM), to serve by https; see 'On a telephone'."),
]
CertificateKey = Annotated[
    Path | None, typer.Option("--certificate-key", metavar="FILE", **_FILE, help="The certificate's private key (PEM).")
]


def serve(
    *,
    host: Host = "127.0.0.1",
    port: Port = 8765,
    store: Store = None,
    processes: Processes = 1,
    answer_to: AnswerTo = None,
    browser: Browser = None,
    tiles: Tiles = "",
    certificate: Certificate = None,
    certificate_key: CertificateKey = None,
) -> None:
    """Serve the pages, and the JSON API, on this machine.

    Prints the address and, when started by hand in a terminal, opens it in the browser. It needs no internet.
    Operations and plans are kept in one file, which survives a restart; plans are made in processes of their
    own. The description of the API, to read and to try, is at /docs.

    There is no password: with the default host only this machine can connect. Ctrl-C stops the server; plans
    being made are kept as far as they are.

    On a telephone: each truck-night is a page at /drive, to be opened by link or code. For a telephone on the
    yard's Wi-Fi to reach it, listen to that network and name this machine as the telephone will call it, by name
    or by number. A browser keeps a page for where there is no signal only when it came by https: give a
    certificate for that name, by an authority that the telephones trust. Without one the page works as long as
    it stays open and the network reaches it; the printed drop sheet goes along in every case.

    \b
    Examples:
      bloomhaul serve --port 8765
      bloomhaul serve --host 0.0.0.0 --answer-to yard-pc.local
      bloomhaul serve --host 0.0.0.0 --answer-to yard-pc.local --certificate yard.pem --certificate-key yard.key
    """
    from api.commands.serve import certificate_asked, default_store, run_server, tiles_asked
    from api.settings import Settings

    hosts = (*Settings.model_fields["hosts"].default, host, *(answer_to or ()))
    kept_in = store or default_store()
    address, by = tiles_asked(tiles)
    settings = Settings(store=kept_in, hosts=hosts, planning_processes=processes, tiles=address, tiles_by=by)
    shown = sys.stderr.isatty() if browser is None else browser
    shows = certificate_asked(certificate, certificate_key)
    raise typer.Exit(run_server(settings, host, port=port, browser=shown, certificate=shows))
