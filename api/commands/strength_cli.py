"""The words of ``bloomhaul strength`` on the command line."""

from pathlib import Path
from typing import Annotated, Any

import typer

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Operation = Annotated[Path, typer.Argument(metavar="OPERATION", help="Workbook (.xlsx) or JSON file.", **_FILE)]


def strength(
    operation: Operation,
    *,
    group: Annotated[str | None, typer.Option("--group", "-g", metavar="NAME", help="One hive group; left out, all.")] = None,
    contract: Annotated[str | None, typer.Option("--contract", "-c", metavar="NAME", help="One contract; left out, all.")] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", metavar="DIR", help="Folder for a histogram of each contract (SVG).", file_okay=False),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the whole answer as JSON.")] = False,
) -> None:
    """Tell how strong hives are, what to open, and which lots pass.

    For each group: how many hives to open so that the average is known, the strength now, when to add a box, losses
    to expect. For each contract: the strength of each group on its first night, and the chance that a lot of it
    passes the grower's inspection as the contract samples it. Then which grades to send, so that the least strength
    is given away. With --group or --contract also: whether joining weak colonies or splitting strong ones pays.

    The figures behind it (growth by month, losses, coverage, confidence) are constants that you may replace.

    \b
    Examples:
      bloomhaul strength mine.xlsx
      bloomhaul strength mine.xlsx --contract "Lower pears" --out april
    """
    from api.commands.strength import strength_of

    raise typer.Exit(strength_of(operation, out, group=group, contract=contract, as_json=as_json))
