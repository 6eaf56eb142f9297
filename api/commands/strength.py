"""What the command strength does, once its words are understood."""

from pathlib import Path

from api.commands.codes import ALL_WELL
from api.commands.exits import faults_told, say, writing
from api.commands.printed import print_lines
from routing.inputs.operation import Operation


def strength_of(file: Path, out: Path | None, *, group: str | None, contract: str | None, as_json: bool) -> int:
    """Print the strength report of the operation in ``file``; write histograms to ``out`` if asked."""
    from api.files.open_operation import open_operation
    from routing.sheets.strength_lines import strength_lines
    from routing.sheets.strength_report import strength_report

    with faults_told(file):
        operation = open_operation(file)
        report = strength_report(operation, group=group, contract=contract)
    if as_json:
        print(report.model_dump_json(indent=1))
    else:
        print_lines(strength_lines(report))
    if out is not None:
        for path in _write(operation, out, [one.contract for one in report.contracts]):
            say(f"Written: {path}")
    return ALL_WELL


def _write(operation: Operation, out: Path, contracts: list[str]) -> list[Path]:
    from routing.sheets.strength_figure import strength_figure
    from routing.sheets.words import slug

    written = []
    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
        for number, name in enumerate(contracts, 1):
            path = out / f"strength-{slug(name) or number}.svg"
            path.write_text(strength_figure(operation, name), encoding="utf-8")
            written.append(path)
    return written
