"""What each command does, once its words on the command line are understood. Each returns its exit code."""

import os
from dataclasses import dataclass
from pathlib import Path

from api.commands.codes import ALL_WELL, INTERRUPTED, NOT_KEPT
from api.commands.exits import faults_told, say, writing
from api.commands.planning import Budget, plan_in_view
from api.commands.printed import print_lines, written_lines
from api.plannable import plannable
from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.plan_record import Plan
from routing.sheets.words import counted

PLAN_FILE = "plan.json"


@dataclass(frozen=True)
class Given:
    """The files of an operation."""

    file: Path
    maps: tuple[Path, ...]
    distances: Path | None
    roads: Path | None = None
    """Folder of tiles that ways are measured on."""
    weather: tuple[Path, ...] = ()
    """Temperatures by the hour or by the day."""


def make_demo(folder: Path, budget: Budget) -> int:
    """Write the demo operation to ``folder``, plan it and write every sheet."""
    from api.files.workbook import operation_workbook
    from fixtures.demo import demo_operation
    from fixtures.demo_weather import demo_weather_csv

    operation = demo_operation()
    with writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
        _write(folder / "weather.csv", demo_weather_csv().encode())
        _write(folder / "operation.json", operation.model_dump_json(indent=1).encode())
        _write(folder / "operation.xlsx", operation_workbook(operation))
    return _plan_and_write(operation, folder, budget=budget, unkept_is_well=True)


def write_template(file: Path) -> int:
    """Write the empty workbook, or a load to type over when the file ends in ``.json``."""
    from api.files.workbook import template_workbook
    from routing.loads.typed import load_example

    if file.suffix.lower() == ".json":
        with writing(file):
            _write(file, load_example().encode("utf-8"))
        print(f"{file}: type over the example, then: bloomhaul load {file}")
        return ALL_WELL
    with writing(file):
        _write(file, template_workbook())
    print(f"{file}: fill in the sheets, then: bloomhaul check {file}")
    return ALL_WELL


def check_operation(given: Given) -> int:
    """Read the operation and tell what is in it, or all its faults."""
    operation = _open(given)
    colonies = sum(contract.colonies for contract in operation.contracts)
    hives = sum(group.hives for group in operation.hive_groups)
    print(
        f"{operation.name}: no fault found. {len(operation.yards)} yards, {hives} hives in"
        f" {len(operation.hive_groups)} groups, {len(operation.contracts)} contracts for {colonies} colonies,"
        f" {len(operation.trucks)} trucks, {len(operation.drivers)} drivers."
    )
    return ALL_WELL


def plan_operation(given: Given, out: Path, *, budget: Budget) -> int:
    """Plan the operation given and write the plan and every sheet to ``out``."""
    operation = _open(given)
    if given.roads is not None:
        from api.commands.roads import with_measured_roads

        operation = with_measured_roads(operation, given.roads)
    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
        if not os.access(out, os.W_OK):
            raise PermissionError(13, "no permission to write there", str(out))
    return _plan_and_write(operation, out, budget=budget, unkept_is_well=False)


def write_plan_sheets(file: Path, out: Path) -> int:
    """Write every sheet of the plan in ``file`` to ``out`` once more."""
    from api.commands.plan_file import plan_from_file

    with faults_told(file):
        plan = plan_from_file(file)
    _write_sheets(plan, out)
    return _code(plan, unkept_is_well=False)


def _open(given: Given) -> Operation:
    from api.files.open_operation import open_operation

    with faults_told(given.file):
        operation = open_operation(given.file, maps=given.maps, distances=given.distances, weather=given.weather)
        return plannable(operation, given.file.name)


def _plan_and_write(operation: Operation, out: Path, *, budget: Budget, unkept_is_well: bool) -> int:
    plan, interrupted = plan_in_view(operation, budget)
    return keep_plan(plan, out, interrupted=interrupted, unkept_is_well=unkept_is_well)


def keep_plan(plan: Plan, out: Path, *, interrupted: bool, unkept_is_well: bool) -> int:
    """Write the plan and its sheets to ``out``, print the summary and return the exit code.

    A search that Ctrl-C ended before its first move leaves an earlier plan in ``out`` as it was.
    """
    from routing.sheets.summary import nothing_planned, summary_lines

    if interrupted and nothing_planned(plan) and (out / PLAN_FILE).exists():
        print_lines(summary_lines(plan))
        say(f"{nothing_planned(plan)} The earlier plan in {out} is left as it was.")
        return INTERRUPTED
    with writing(out):
        # Before the sheets, so that no fault in a sheet can cost the plan.
        _write(out / PLAN_FILE, (plan.model_dump_json(indent=1) + "\n").encode())
    _write_sheets(plan, out)
    code = _code(plan, unkept_is_well=unkept_is_well)
    return INTERRUPTED if interrupted else code


def _write_sheets(plan: Plan, out: Path) -> None:
    from api.files.sheets import write_sheets
    from routing.sheets.summary import summary_lines

    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
        written = write_sheets(plan, out)
    print_lines(summary_lines(plan))
    print_lines(("", *written_lines(written, out)))


def _code(plan: Plan, *, unkept_is_well: bool) -> int:
    from routing.sheets.summary import nothing_planned

    if empty := nothing_planned(plan):
        say(empty)
        return NOT_KEPT
    broken = [finding for finding in all_findings(plan) if finding.status == "broken"]
    if broken:
        say(f"Broken: {counted(len(broken), 'check')}; the summary names what and where.")
    if plan.unkept:
        say(f"Not kept: {counted(len(plan.unkept), 'promise')}; the summary says why, and what would help.")
    return NOT_KEPT if broken or (plan.unkept and not unkept_is_well) else ALL_WELL


def all_findings(plan: Plan) -> tuple[Finding, ...]:
    """Return the findings of the plan, of its truck-nights and of its loads."""
    of_nights = (finding for night in plan.truck_nights for finding in night.findings)
    of_loads = (finding for load in plan.loads for finding in load.findings)
    return (*plan.findings, *of_nights, *of_loads)


def _write(file: Path, content: bytes) -> None:
    # Written beside and then renamed: a full disk leaves no half file under the right name.
    beside = file.with_name(f".{file.name}.part")
    try:
        beside.write_bytes(content)
        beside.replace(file)
    finally:
        beside.unlink(missing_ok=True)
