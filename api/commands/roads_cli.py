"""The words of ``bloomhaul roads`` on the command line."""

from pathlib import Path
from typing import Annotated, Any, Literal

import typer

roads = typer.Typer(
    name="roads", no_args_is_help=True, rich_markup_mode=None,
    help="""Real miles and minutes for your trucks, from a map on this machine or from a road server.

\b
To begin:
  bloomhaul roads build my-state.osm.pbf --into roads     once for each map
  bloomhaul roads measure mine.xlsx --tiles roads -o mine-roads.json
  bloomhaul plan mine-roads.json --out april

Posted limits of height, weight, axle weight, length, width and no trucks are obeyed as the map has them. No map
has them all: what comes out is no permit, and the signs on the road count.""",
)  # fmt: skip

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Extract = Annotated[Path, typer.Argument(metavar="EXTRACT", help="OpenStreetMap extract of your region (.osm.pbf).", **_FILE)]
Into = Annotated[Path, typer.Option("--into", metavar="DIR", help="Folder for the tiles; made if missing.")]
Country = Annotated[
    str | None,
    typer.Option(metavar="CODE", help="Country of the map, two letters, by which weights on signs are read; left out: US."),
]
Operation = Annotated[Path, typer.Argument(metavar="OPERATION", help="Workbook (.xlsx) or JSON file.", **_FILE)]
Tiles = Annotated[Path | None, typer.Option(metavar="DIR", help="Folder that 'roads build' made.")]
Interface = Literal["osrm", "valhalla"]
ServerAt = Annotated[str | None, typer.Option("--server", metavar="URL", help="Address of a road server, in place of tiles.")]
Spoken = Annotated[Interface, typer.Option("--interface", help="What the road server speaks.")]
Against = Annotated[
    str | None,
    typer.Option(metavar="URL", help="A road server to compare with; none of its figures is used."),
]
AgainstSpoken = Annotated[Interface, typer.Option("--against-interface", help="What that server speaks.")]
Out = Annotated[
    Path,
    typer.Option("--out", "-o", metavar="FILE", dir_okay=False,
                 help="The operation with its ways (.json or .xlsx), or the distances alone (.csv)."),
]  # fmt: skip
Lines = Annotated[Path | None, typer.Option(metavar="FILE", dir_okay=False, help="Also write the roads' lines, as GeoJSON.")]
Paved = Annotated[bool, typer.Option("--paved", help="Keep to paved roads, but for the two ends of a way.")]
Seconds = Annotated[float, typer.Option("--timeout", metavar="S", min=0.1, max=600.0, help="Longest wait for a road server.")]


@roads.command("build")
def build(extract: Extract, *, into: Into, country: Country = None) -> None:
    """Make a folder of roads from a map, and test how it reads signs.

    Short tons are read as such only inside the boundary of the United States, which most extracts cut; so one is put
    around the map. Before anything is kept, trucks just under and just over known signs (a
    bridge of 20 short tons, one of 12 ft 6 in and others) are sent over a road built with the same boundary, and so
    are all texts that the map's own signs are written in. When a truck that is too large crosses, no folder is made.

    \b
    Example:
      bloomhaul roads build michigan.osm.pbf --into roads
    """
    from api.commands.roads import build_folder

    raise typer.Exit(build_folder(extract, into, country=country))


@roads.command("measure")
def measure(
    operation: Operation,
    *,
    out: Out,
    tiles: Tiles = None,
    server: ServerAt = None,
    interface: Spoken = "valhalla",
    against: Against = None,
    against_interface: AgainstSpoken = "osrm",
    lines: Lines = None,
    paved: Paved = False,
    timeout: Seconds = 30.0,
) -> None:
    """Measure the ways between all places of an operation, for each of its trucks.

    Each truck is measured at its worst: tallest load, most weight, heaviest axle; a pickup as a truck too, so that a
    sign for no trucks keeps it out. A row for every truck has the most
    miles and minutes that any of them needs; a truck with a shorter way has a row of its own. Your own rows of
    distances stay and count first. Told by name: places that no road reaches, places that a truck cannot get to and
    back from with the sign that keeps it out, ferries, and signs on the way that were not checked.

    \b
    Examples:
      bloomhaul roads measure mine.xlsx --tiles roads -o mine-roads.json
      bloomhaul roads measure mine.json --server http://127.0.0.1:5000 --interface osrm -o roads.csv
    """
    from api.commands.roads import Asked, measure_operation

    asked = Asked(tiles, (server, interface), (against, against_interface), paved=paved, timeout_s=timeout)
    raise typer.Exit(measure_operation(operation, out, asked=asked, lines=lines))
