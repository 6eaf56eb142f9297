"""The command line: ``bloomhaul``. Only words and their meaning are here; the work is in ``api.commands``.

Nothing heavy is imported until a command runs, so that ``--help`` answers at once.
"""

import sys
import traceback
from pathlib import Path
from typing import Annotated, Any

import typer

from api.commands.bloom_cli import bloom
from api.commands.codes import INTERRUPTED, PROGRAM_FAILED
from api.commands.drops_cli import drops
from api.commands.replan_cli import replan
from api.commands.roads_cli import roads
from api.commands.season_cli import COMMANDS
from api.commands.serve_cli import serve
from api.commands.strength_cli import strength

_ABOUT = """Plan pollination moves: which hives, which truck, which night, which stops.

You describe your operation (hives, yards, contracts, trucks, drivers) in one workbook or JSON file. Bloomhaul
answers with a plan, a proven bound on how much better any other plan could be, every promise that cannot be
kept with its reason, and the sheets for the drivers and the yards.

\b
To begin:
  bloomhaul demo demo            plan an invented operation, look at its sheets
  bloomhaul template mine.xlsx   a workbook to fill in
  bloomhaul check mine.xlsx      all its faults at once
  bloomhaul plan mine.xlsx --out april

\b
Exit codes, of every command:
    0  all is well
    1  a promise is not kept, or a check is broken; the plan is written all the same
    2  the call is wrong: an unknown option, a file that is not there
    3  the operation, load or plan has faults; all are printed, one sentence each
    4  a file could not be written, or the server could not start
    5  the program itself failed; what it says then is for those who mend it
  130  stopped by Ctrl-C; the best plan so far is written

What is asked for goes to standard output, progress and faults go to standard error.
"""

app = typer.Typer(
    name="bloomhaul",
    help=_ABOUT,
    no_args_is_help=True,
    rich_markup_mode=None,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Operation = Annotated[Path, typer.Argument(metavar="OPERATION", help="Workbook (.xlsx) or JSON file.", **_FILE)]
Out = Annotated[
    Path,
    typer.Option("--out", "-o", metavar="DIR", help="Folder to write to; made if missing.", file_okay=False),
]
Seconds = Annotated[float, typer.Option(metavar="N", min=0.1, max=86400, help="Planning time.")]
Seed = Annotated[int, typer.Option(metavar="N", min=0, max=2**31 - 1, help="Same operation, seed and steps: same plan.")]
Steps = Annotated[int | None, typer.Option(metavar="N", min=1, help="Most search steps; left out, time alone decides.")]
Maps = Annotated[
    list[Path] | None,
    typer.Option("--maps", metavar="FILE", **_FILE, help="Land: GeoJSON, GeoPackage, KML, zipped shapefile. Repeatable."),
]
Distances = Annotated[
    Path | None,
    typer.Option("--distances", metavar="FILE", help="Miles and minutes between places (.csv).", **_FILE),
]
Weather = Annotated[
    list[Path] | None,
    typer.Option("--weather", metavar="FILE", **_FILE, help="Temperatures by hour or by day (.csv). Repeatable."),
]
Roads = Annotated[
    Path | None,
    typer.Option("--roads", metavar="DIR", file_okay=False, help="Measure ways on the roads that 'roads build' made."),
]


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder to write to; made if missing.", file_okay=False)],
    *,
    seconds: Seconds = 60.0,
    seed: Seed = 0,
    steps: Steps = None,
) -> None:
    """Plan an invented operation and write every sheet.

    Writes the demo operation as operation.json and operation.xlsx and its weather as weather.csv, plans it, writes
    plan.json and the sheets, and prints the summary. One contract of the demo cannot be kept in full, on purpose:
    here a promise that is not kept leaves the exit code at 0.

    \b
    Examples:
      bloomhaul demo demo --seconds 30
      bloomhaul bloom demo/operation.json --weather demo/weather.csv    when its crops bloom
    """
    from api.commands.planning import Budget
    from api.commands.work import make_demo

    raise typer.Exit(make_demo(folder, Budget(seconds, seed, steps)))


@app.command()
def template(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Workbook (.xlsx) or load (.json).", dir_okay=False)],
) -> None:
    """Write a workbook to fill in, or one load to type over.

    The workbook has a sheet for each table, units in the headings, lists to choose from, a worked example row in
    each sheet. A FILE that ends in .json is one load, for `bloomhaul load`.

    \b
    Example:
      bloomhaul template mine.xlsx
    """
    from api.commands.work import write_template

    raise typer.Exit(write_template(file))


@app.command()
def check(operation: Operation, *, maps: Maps = None, distances: Distances = None, weather: Weather = None) -> None:
    """Read an operation and tell all its faults at once.

    Each fault is one sentence on standard error: which file, sheet, row and column, what was found, what is
    allowed. Nothing is planned or written.

    \b
    Example:
      bloomhaul check mine.xlsx --maps blocks.geojson
    """
    from api.commands.work import Given, check_operation

    given = Given(operation, tuple(maps or ()), distances, weather=tuple(weather or ()))
    raise typer.Exit(check_operation(given))


@app.command()
def plan(  # noqa: PLR0913
    operation: Operation,
    *,
    out: Out,
    seconds: Seconds = 60.0,
    seed: Seed = 0,
    steps: Steps = None,
    maps: Maps = None,
    distances: Distances = None,
    roads: Roads = None,
    weather: Weather = None,
) -> None:
    """Plan an operation and write the plan and every sheet.

    Writes plan.json and the sheets to DIR and prints the summary: cost, proven bound, gap, every promise that
    is not kept with its reason and what would make it keepable.

    While it works, a line on standard error tells cost, bound and gap. Ctrl-C stops the search and writes the
    best plan so far (exit code 130); Ctrl-C a second time ends at once and writes nothing. When it comes before
    the first move is planned, the plan is empty, which is said, and an earlier plan in DIR is left as it was.

    plan.json begins with cost_usd, lower_bound_usd, gap, bound_covers (the plans that the bound holds for),
    unkept (promises not kept, each with its reason) and seconds.

    \b
    Examples:
      bloomhaul plan mine.xlsx --out april
      bloomhaul plan mine.json -o april --seconds 120 --maps blocks.gpkg --distances roads.csv
      bloomhaul plan mine.json -o again --steps 200 --seed 7    the same plan every time
      bloomhaul plan mine.json -o april --roads roads
    """
    from api.commands.planning import Budget
    from api.commands.work import Given, plan_operation

    budget = Budget(seconds, seed, steps)
    given = Given(operation, tuple(maps or ()), distances, roads, weather=tuple(weather or ()))
    raise typer.Exit(plan_operation(given, out, budget=budget))


app.command("replan")(replan)
app.command("bloom")(bloom)
app.command("drops")(drops)
app.command("strength")(strength)
for _one in COMMANDS:
    app.command(_one.__name__)(_one)
app.add_typer(roads)

LoadOut = Annotated[
    Path | None,
    typer.Option("--out", "-o", metavar="DIR", help="Folder for the load sheet, PDF and HTML.", file_okay=False),
]


@app.command()
def load(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The load, as JSON.", **_FILE)],
    *,
    out: LoadOut = None,
) -> None:
    """Check one load that was typed in by hand.

    Prints a table of every check: axle groups, gross weight, coupling, height, tie-downs, room on the deck,
    bees, papers; each with what was measured, its limit, the room left and where the limit comes from. A check
    that could not be made is UNKNOWN, never ok. With --out it also writes the load sheet, front and back of one
    paper, with the deck from above and from the side.

    \b
    Example:
      bloomhaul load tonight.json --out tonight
    """
    from api.commands.load import check_load

    raise typer.Exit(check_load(file, out))


@app.command()
def sheets(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json written earlier.", **_FILE)],
    *,
    out: Out,
) -> None:
    """Write every sheet of a plan once more.

    Drop sheets (PDF, HTML, text for a phone message), yard sheets, every check as CSV, all moves as CSV, XLSX,
    GeoJSON, GPX and ICS. Prints the summary.

    \b
    Example:
      bloomhaul sheets april/plan.json --out april
    """
    from api.commands.work import write_plan_sheets

    raise typer.Exit(write_plan_sheets(plan, out))


app.command()(serve)


def main() -> None:
    """Run the command line and end the process with the exit code."""
    try:
        app()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except Exception:
        # Python's own code for this is 1, which here says that a plan was written.
        traceback.print_exc()
        sys.exit(PROGRAM_FAILED)


if __name__ == "__main__":
    main()
