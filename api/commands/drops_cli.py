"""The words of ``bloomhaul drops`` on the command line."""

from pathlib import Path
from typing import Annotated, Any

import typer

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Operation = Annotated[Path, typer.Argument(metavar="OPERATION", help="Workbook (.xlsx) or JSON file.", **_FILE)]
Contract = Annotated[str, typer.Option("--contract", "-c", metavar="NAME", help="The contract whose drops are sited.")]
Maps = Annotated[
    list[Path] | None,
    typer.Option("--maps", metavar="FILE", **_FILE, help="Land: GeoJSON, GeoPackage, KML, zipped shapefile. Repeatable."),
]
MostStops = Annotated[int | None, typer.Option(metavar="N", min=1, max=30, help="Most drops; left out, as many as are worth it.")]
Farthest = Annotated[
    float | None, typer.Option(metavar="FEET", min=10, max=20000, help="No acre may lie farther from its hives.")
]
Write = Annotated[
    list[Path] | None,
    typer.Option("--write", "-w", metavar="FILE", dir_okay=False,
                 help="Write it: .json or .xlsx (the operation), .geojson, .gpkg, .gpx, .svg. Repeatable."),
]  # fmt: skip


def drops(
    operation: Operation, *, contract: Contract, maps: Maps = None, most_stops: MostStops = None, farthest: Farthest = None,
    write: Write = None,
) -> None:  # fmt: skip
    """Propose where the drops of one contract stand, and how many hives at each.

    Needs outlines of the blocks and a gate. Tracks, houses, water and what else hives keep away from come from the
    table of land features or from maps (property 'kind'). Without tracks, drops stand on the edges of the blocks.

    Prints the drops in the order of the drive, how near and how alike the acres are to their hives (mean, worst and
    deviation, weighted by hives), the curve of stops against evenness, a proven gap, and every check. Nothing is
    changed in OPERATION; --write puts the drops into a copy, from which the drop sheets take them in that order.
    Buffers come from one county's code and from practice: local codes go before them.

    \b
    Examples:
      bloomhaul drops mine.xlsx --contract "Lower pears"
      bloomhaul drops mine.json -c "Lower pears" --maps land.kml --most-stops 4 --write mine-drops.json --write pears.gpkg
    """
    from api.commands.drops import site_drops
    from api.commands.work import Given

    given = Given(operation, tuple(maps or ()), None)
    raise typer.Exit(site_drops(given, contract, write=tuple(write or ()), most_stops=most_stops, farthest_ft=farthest))
