"""The words of ``bloomhaul bloom`` on the command line."""

from pathlib import Path
from typing import Annotated, Any

import typer

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Operation = Annotated[Path, typer.Argument(metavar="FILE", help="Workbook (.xlsx), JSON file, or a plan.json.", **_FILE)]
Weather = Annotated[
    list[Path] | None,
    typer.Option("--weather", metavar="CSV", **_FILE, help="Temperatures by hour or by day. Repeatable."),
]
Contract = Annotated[str | None, typer.Option("--contract", metavar="NAME", help="One contract; left out, every one.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the reports as JSON.")]
Out = Annotated[Path | None, typer.Option("--out", "-o", metavar="DIR", help="Folder for the figures (.svg).", file_okay=False)]


def bloom(
    operation: Operation,
    *,
    weather: Weather = None,
    contract: Contract = None,
    as_json: AsJson = False,
    out: Out = None,
) -> None:
    """Tell when each contract's crop blooms, how sure that is, and when hives go in and out.

    Without weather the forecast rests on notes and dates. With it, on chill and heat: your own sums, sums fitted to
    the bloom of your earlier years, or published ones. Stages that were seen count before all else.

    CSV files have a heading: date, hour, temperature [deg F]; or date, low [deg F], high [deg F]; [deg C] and [K] are
    read too, and a column place names the contract or yard. A date without a year (01-15) is the usual temperature of
    that day. Up to 6 hours or 3 days in a row that are missing lie on a straight line between those beside them; more
    is refused.

    \b
    Examples:
      bloomhaul bloom mine.xlsx --weather winter.csv
      bloomhaul bloom mine.json --weather winter.csv --weather usual.csv --contract "Lower pears" -o bloom
      bloomhaul bloom april/plan.json --json
    """
    from api.commands.bloom import tell_bloom

    code = tell_bloom(operation, tuple(weather or ()), contract=contract, as_json=as_json, out=out)
    raise typer.Exit(code)
