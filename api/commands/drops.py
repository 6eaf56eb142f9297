"""Site the drops of one contract, print the proposal, and write it where asked."""

from collections.abc import Sequence
from pathlib import Path

from api.commands.codes import ALL_WELL, FAULTS, NOT_KEPT
from api.commands.exits import faults_told, say, writing
from api.commands.printed import print_lines
from api.commands.work import Given


def site_drops(
    given: Given, contract: str, *, write: Sequence[Path] = (), most_stops: int | None = None, farthest_ft: float | None = None
) -> int:
    """Print where the drops of a contract should stand, write it to files by their endings, return the exit code."""
    from api.files.open_operation import open_operation
    from api.files.sitings import SITING_FORMATS, siting_file
    from routing.drops.ground import contract_named
    from routing.drops.propose import propose_drops
    from routing.drops.reach import shared_bees
    from routing.drops.rules import siting_rules
    from routing.sheets.siting_lines import siting_lines

    unknown = [path for path in write if path.suffix.lower().removeprefix(".") not in SITING_FORMATS]
    for path in unknown:
        say(f"{path}: found the ending '{path.suffix}', allowed: .{', .'.join(SITING_FORMATS)}.")
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
            path.write_bytes(siting_file(operation, siting, path.suffix.lower().removeprefix(".")))
        say(f"Written: {path}")
    broken = any(finding.status == "broken" and finding.force != "advice" for finding in siting.findings)
    return NOT_KEPT if broken else ALL_WELL
