"""Check one load that was typed in by hand, and print the findings as a table."""

import textwrap
from pathlib import Path

from api.commands.codes import ALL_WELL, NOT_KEPT
from api.commands.exits import faults_told, say, writing
from routing.finding import Finding
from routing.loads.document import LoadDocument
from routing.loads.load import Load
from routing.sheets.words import amount, counted, printable


def check_load(file: Path, out: Path | None = None) -> int:
    """Check the load in ``file``, write its sheet to ``out`` if asked, and return the exit code."""
    from routing.loads.typed import document_from_json, load_of

    with faults_told(file):
        document = document_from_json(file.read_text(encoding="utf-8"), file.name)
    load = load_of(document)
    print_load(load)
    if out is not None:
        for path in _write_sheet(document, out, file.stem):
            say(f"Written: {path}")
    unknown = sum(finding.status == "unknown" for finding in load.findings)
    if unknown:
        say(f"Could not be made: {counted(unknown, 'check')}. That is not the same as being well.")
    return NOT_KEPT if any(finding.status == "broken" for finding in load.findings) else ALL_WELL


def _write_sheet(document: LoadDocument, out: Path, stem: str) -> tuple[Path, ...]:
    from api.files.load_sheets import typed_load_sheet

    sheets = {out / f"{stem}.pdf": typed_load_sheet(document, "pdf"), out / f"{stem}.html": typed_load_sheet(document, "html")}
    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
        for path, content in sheets.items():
            path.write_bytes(content)
    return tuple(sheets)


def print_load(load: Load) -> None:
    """Print the load in a line and its findings in a table, the broken ones first."""
    print(
        printable(
            f"{load.truck}, {load.night}: {load.hives} hives, top of load {load.top_of_load_in:.0f} in,"
            f" {load.straps_needed} straps needed, {load.straps_available} there."
        )
    )
    for line in load.to_do:
        print(printable(f"To do: {line}"))
    print(_HEADING)
    order = ("broken", "unknown", "ok")
    for finding in sorted(load.findings, key=lambda one: order.index(one.status)):
        print("\n".join(_lines(finding)))


def _lines(finding: Finding) -> list[str]:
    """Return the figures in columns, and under them what the check goes by, at most 80 letters wide."""
    figures = ("" if one is None else amount(one, finding.unit) for one in _figures(finding))
    first, *rest = textwrap.wrap(printable(finding.check), _CHECK) or [""]
    note = f" {finding.note}." if finding.note else ""
    source = f"{finding.force}: {finding.source.rstrip('.')}.{note}"
    return [
        _row(finding.status if finding.status == "ok" else finding.status.upper(), first, *figures),
        *(f"{'':8}{line}" for line in rest),
        *(f"{'':10}{line}" for line in textwrap.wrap(printable(source), 68)),
    ]


def _figures(finding: Finding) -> tuple[float | None, float | None, float | None]:
    return finding.measured, finding.limit, finding.margin


def _row(status: str, check: str, measured: str, limit: str, left: str) -> str:
    return f"{status:<8}{check:<{_CHECK}}{measured:>12}{limit:>12}{left:>13}".rstrip()


_CHECK = 35
"""Width of the column of checks. [letters]"""
_HEADING = _row("", "check", "measured", "limit", "room left")
