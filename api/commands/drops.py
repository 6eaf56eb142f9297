"""Site the drops of one contract, print the proposal, and write it where asked."""

from collections.abc import Callable, Sequence
from pathlib import Path

from api.commands.codes import ALL_WELL, FAULTS, NOT_KEPT
from api.commands.exits import faults_told, say, writing
from api.commands.printed import print_lines
from api.commands.work import Given
from routing.drops.drop import Siting
from routing.inputs.operation import Operation

Maker = Callable[[Operation, Siting], bytes]


def site_drops(
    given: Given, contract: str, *, write: Sequence[Path] = (), most_stops: int | None = None, farthest_ft: float | None = None
) -> int:
    """Print where the drops of a contract should stand, write it to files by their endings, return the exit code."""
    from api.files.open_operation import open_operation
    from routing.drops.ground import contract_named
    from routing.drops.propose import propose_drops
    from routing.drops.reach import shared_bees
    from routing.drops.rules import siting_rules
    from routing.sheets.siting_lines import siting_lines

    makers = _makers()
    unknown = [path for path in write if path.suffix.lower() not in makers]
    for path in unknown:
        say(f"{path}: found the ending '{path.suffix}', allowed: {', '.join(makers)}.")
    if unknown:
        return FAULTS
    with faults_told(given.file):
        operation = open_operation(given.file, maps=given.maps, distances=given.distances)
        rules = siting_rules(operation, contract_named(operation, contract), most_stops=most_stops, farthest_ft=farthest_ft)
        siting = propose_drops(operation, contract, rules=rules)
    print_lines(siting_lines(siting, shared_bees(operation, contract)))
    for path in write:
        with writing(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(makers[path.suffix.lower()](operation, siting))
        say(f"Written: {path}")
    broken = any(finding.status == "broken" and finding.force != "advice" for finding in siting.findings)
    return NOT_KEPT if broken else ALL_WELL


def _makers() -> dict[str, Maker]:
    """Return what writes a siting, by the ending of the file."""
    from api.files.geojson import ground_geojson
    from api.files.geopackage import ground_geopackage
    from api.files.gpx import ground_gpx
    from api.files.workbook import operation_workbook
    from routing.drops.write import with_drops
    from routing.sheets.block_map import block_map

    return {
        ".json": lambda operation, siting: (with_drops(operation, siting).model_dump_json(indent=1) + "\n").encode("utf-8"),
        ".xlsx": lambda operation, siting: operation_workbook(with_drops(operation, siting)),
        ".geojson": lambda operation, siting: ground_geojson(with_drops(operation, siting), siting.contract),
        ".gpkg": lambda operation, siting: ground_geopackage(with_drops(operation, siting), siting.contract, siting=siting),
        ".gpx": lambda operation, siting: ground_gpx(with_drops(operation, siting), siting.contract),
        ".svg": lambda operation, siting: block_map(with_drops(operation, siting), siting.contract).encode("utf-8"),
    }
