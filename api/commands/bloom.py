"""Tell when the crops of an operation bloom: reports on standard output, figures as files."""

import json
from collections.abc import Sequence
from pathlib import Path

from api.commands.codes import ALL_WELL, NOT_KEPT
from api.commands.exits import faults_told, say, writing
from api.commands.printed import print_lines
from routing.errors import OperationError
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.operation import Operation


def tell_bloom(file: Path, weather: Sequence[Path], *, contract: str | None, as_json: bool, out: Path | None) -> int:
    """Print the bloom of an operation or plan and return the exit code.

    Returns
    -------
    int
        ``NOT_KEPT`` when the bloom or the window of a contract cannot be found; what could be told is printed.
    """
    from routing.sheets.bloom_report import bloom_report, report_lines

    with faults_told(file):
        operation = _opened(file, weather)
        names = _names(operation, contract, file)
    _tell_notes(operation, weather)
    reports, unknown = [], []
    for one in operation.contracts:
        if one.name in names:
            try:
                reports.append(bloom_report(operation, one))
            except OperationError as error:
                unknown += [str(fault) for fault in error.faults]
    if as_json:
        print(json.dumps([report.model_dump(mode="json") for report in reports], indent=1))
    else:
        for number, report in enumerate(reports):
            print_lines([*([""] if number else []), *report_lines(report)])
    for sentence in unknown:
        say(sentence)
    if out is not None:
        _write_figures(operation, [report.contract for report in reports], out)
    return NOT_KEPT if unknown or any(report.window is None for report in reports) else ALL_WELL


def _opened(file: Path, weather: Sequence[Path]) -> Operation:
    from api.files.open_operation import open_operation

    if file.suffix.lower() == ".json" and _is_plan(file):
        return _of_plan(file, weather)
    return open_operation(file, weather=tuple(weather))


def _of_plan(file: Path, weather: Sequence[Path]) -> Operation:
    """Return the operation that a plan holds, with more weather behind its own."""
    from api.commands.plan_file import plan_from_file
    from api.files.weather import with_weather
    from routing.inputs.read import draft_from_json
    from routing.inputs.rows import operation_from_draft

    operation = plan_from_file(file).operation
    if not weather:
        return operation
    draft = draft_from_json(operation.model_dump_json(), file.name)
    for path in weather:
        draft = with_weather(draft, path.read_bytes(), path.name)
    return operation_from_draft(draft)


def _is_plan(file: Path) -> bool:
    """Return whether a JSON document is a plan, which holds its operation, rather than an operation."""
    try:
        document = json.loads(file.read_text(encoding="utf-8-sig"))
    except (ValueError, OSError, RecursionError):
        return False
    return isinstance(document, dict) and "truck_nights" in document and "operation" in document


def _names(operation: Operation, contract: str | None, file: Path) -> list[str]:
    names = [one.name for one in operation.contracts]
    if contract is None:
        return names
    folded = " ".join(contract.split()).casefold()
    found = [name for name in names if name.casefold() == folded]
    if not found:
        allowed = with_nearest("the name of a contract", contract, names)
        fault = Fault(file=file.name, column="contract", path="--contract", found=shown(contract), allowed=allowed)
        raise OperationError((fault,))
    return found


def _tell_notes(operation: Operation, weather: Sequence[Path]) -> None:
    """Tell what was filled or left out in the weather files."""
    from api.files.weather import weather_file

    places = [yard.name for yard in operation.yards] + [contract.name for contract in operation.contracts]
    for path in weather:
        for note in weather_file(path.read_bytes(), path.name, places=places, time_zone=operation.time_zone).notes:
            say(f"{path.name}: {note}.")


def _write_figures(operation: Operation, names: Sequence[str], out: Path) -> None:
    from routing.sheets.bloom_figure import bloom_figure
    from routing.sheets.words import slug

    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
        for name in names:
            path = out / f"bloom-{slug(name)}.svg"
            path.write_text(bloom_figure(operation, name), encoding="utf-8")
            say(f"Written: {path}")
