"""Check one load that was typed in by hand, and print the findings as a table."""

from pathlib import Path

from api.commands.codes import ALL_WELL, NOT_KEPT
from api.commands.exits import faults_told, say
from routing.finding import Finding
from routing.loads.load import Load
from routing.sheets.words import amount, printable


def check_load(file: Path) -> int:
    """Check the load in ``file`` and return the exit code."""
    from routing.loads.typed import load_from_json

    with faults_told(file):
        load = load_from_json(file.read_text(encoding="utf-8"), file.name)
    print_load(load)
    unknown = sum(finding.status == "unknown" for finding in load.findings)
    if unknown:
        say(f"{unknown} checks could not be made; that is not the same as being well.")
    return NOT_KEPT if any(finding.status == "broken" for finding in load.findings) else ALL_WELL


def print_load(load: Load) -> None:
    """Print the load in a line and its findings in a table, the broken ones first."""
    from rich.console import Console
    from rich.table import Table

    console = Console(markup=False, highlight=False, emoji=False)
    table = Table("", "check", "on", "measured", "limit", "room left", "force and source", box=None)
    order = ("broken", "unknown", "ok")
    for finding in sorted(load.findings, key=lambda one: order.index(one.status)):
        table.add_row(*_cells(finding))
    console.print(
        printable(
            f"{load.truck}, {load.night}: {load.hives} hives, top of load {load.top_of_load_in:.0f} in,"
            f" {load.straps_needed} straps needed, {load.straps_available} there."
        )
    )
    console.print(table)


def _cells(finding: Finding) -> tuple[str, ...]:
    figures = (finding.measured, finding.limit, finding.margin)
    note = f" ({finding.note})" if finding.note else ""
    return tuple(
        printable(cell)
        for cell in (
            {"broken": "BROKEN", "unknown": "UNKNOWN", "ok": "ok"}[finding.status],
            finding.check + note,
            finding.subject,
            *("" if figure is None else amount(figure, finding.unit) for figure in figures),
            f"{finding.force}: {finding.source}",
        )
    )
