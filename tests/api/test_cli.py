"""The command line, as a person or a script calls it: what it prints, where, and how it ends."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from api.cli import app
from fixtures.tiny import tiny_operation, tiny_plan
from routing.inputs.operation import Operation
from routing.loads.typed import load_example
from routing.plan_record import Plan

ROOT = Path(__file__).parents[2]
COMMANDS = ("demo", "template", "check", "plan", "load", "sheets", "serve")


def bloomhaul(*words: object, timeout: float = 60.0) -> "subprocess.CompletedProcess[str]":
    """Call the command line in a process of its own."""
    command = [sys.executable, "-m", "api.cli", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, timeout=timeout, cwd=ROOT, check=False)


def called(*words: object) -> Result:
    """Call the command line within this process, where how a process ends is not the point."""
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture(scope="module")
def tiny_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tiny operation as a file."""
    file = tmp_path_factory.mktemp("operation") / "tiny.json"
    file.write_text(tiny_operation().model_dump_json())
    return file


@pytest.fixture(scope="module")
def planned(tiny_file: Path) -> "tuple[Path, subprocess.CompletedProcess[str]]":
    """The tiny operation planned: the folder, and what the command said."""
    out = tiny_file.parent / "new" / "april"
    return out, bloomhaul("plan", tiny_file, "--out", out, "--seconds", 4, "--steps", 2, "--seed", 3)


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_a_page_with_an_example(command: str) -> None:
    page = called(command, "--help")
    assert page.exit_code == 0
    assert "Example" in page.stdout
    assert f"bloomhaul {command}" in page.stdout
    assert "<class" not in page.stdout


def test_the_manual_lists_commands_and_exit_codes_and_comes_at_once() -> None:
    begun = time.monotonic()
    page = bloomhaul("--help")
    # Half a second on an idle machine; the tests may share theirs.
    assert time.monotonic() - begun < 2.0
    assert all(f"  {command} " in page.stdout for command in COMMANDS)
    assert all(f" {code}  " in page.stdout for code in (0, 1, 2, 3, 4, 130))


def test_the_manual_needs_nothing_heavy() -> None:
    heavy = {"pandas", "geopandas", "ortools", "fastapi", "typst", "routing", "rich"}
    code = (
        "import sys, api.cli; sys.argv = ['bloomhaul', '--help']\n"
        "try: api.cli.main()\n"
        f"except SystemExit: print(sorted({heavy} & set(sys.modules)))"
    )
    page = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert page.stdout.endswith("[]\n")


@pytest.mark.parametrize(
    "words",
    [
        ("plan", "nowhere.json", "--out", "x"),
        ("plan",),
        ("unheard-of",),
        ("check", ROOT),
        ("plan", "--what"),
        ("serve", "--port", "70000"),
    ],
)
def test_a_wrong_call_ends_with_2_and_nothing_on_standard_output(words: tuple[object, ...]) -> None:
    ended = called(*words)
    assert (ended.exit_code, ended.stdout) == (2, "")
    assert ended.stderr


def test_a_seed_or_time_out_of_range_ends_with_2(tiny_file: Path) -> None:
    for wrong in (
        ("--seconds", "0"),
        ("--seconds", "nan"),
        ("--seconds", "x"),
        ("--seed", "-1"),
        ("--steps", "0"),
    ):
        assert called("plan", tiny_file, "--out", tiny_file.parent / "no", *wrong).exit_code == 2
    assert not (tiny_file.parent / "no").exists()


def test_a_sound_operation_is_checked_with_0(tiny_file: Path) -> None:
    ended = bloomhaul("check", tiny_file)
    assert (ended.returncode, ended.stderr) == (0, "")
    assert ended.stdout.startswith("Tiny Bees: no fault found.")


def test_every_fault_is_a_line_on_standard_error_and_ends_with_3(tmp_path: Path) -> None:
    document = tiny_operation().model_dump(mode="json")
    document["yards"][0]["latitude_deg"] = 137.6
    document["hive_groups"][1]["build"] = "no such build"
    file = tmp_path / "broken.json"
    file.write_text(json.dumps(document))
    for words in (("check", file), ("plan", file, "--out", tmp_path / "out")):
        ended = called(*words)
        assert (ended.exit_code, ended.stdout) == (3, "")
        told = ended.stderr.splitlines()
        assert told[0] == f"{file}: 2 faults. Nothing was planned or written."
        assert any("yards[0].latitude_deg" in line and "137.6" in line for line in told)
        assert any("hive_groups[1].build" in line and "no such build" in line for line in told)
    assert not (tmp_path / "out").exists()


def test_dates_that_only_planning_finds_wrong_end_with_3(tmp_path: Path) -> None:
    document = tiny_operation().model_dump(mode="json")
    document["contracts"][0] |= {"in_from": None, "in_until": "2027-04-20", "in_at_percent_bloom": 10.0}
    document["blooms"] = [{"contract": "Early cherries", "percent_bloom": 10.0, "on": "2027-04-24"}]
    (tmp_path / "dates.json").write_text(json.dumps(document))
    for words in (("check", tmp_path / "dates.json"), ("plan", tmp_path / "dates.json", "--out", tmp_path / "o")):
        ended = called(*words)
        assert ended.exit_code == 3
        assert "dates.json, contracts[0].in_until: found 2027-04-20, before the first night in, 2027-04-24" in ended.stderr
        assert "(contract Early cherries), allowed: 2027-04-24 or later" in ended.stderr


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"[[[[", b"[" * 100_000, b"{}"])
def test_a_file_that_is_no_operation_load_or_plan_ends_with_3(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "odd.json"
    file.write_bytes(content)
    for words in (("check", file), ("load", file), ("sheets", file, "--out", tmp_path / "out")):
        ended = called(*words)
        assert (ended.exit_code, ended.stdout) == (3, ""), ended.exception
        assert "odd.json" in ended.stderr


def test_the_template_is_written_and_then_checked(tmp_path: Path) -> None:
    assert bloomhaul("template", tmp_path / "mine.xlsx").returncode == 0
    assert called("check", tmp_path / "mine.xlsx").exit_code in (0, 3)


def test_where_nothing_can_be_written_the_command_ends_with_4(tmp_path: Path, tiny_file: Path) -> None:
    in_the_way = tmp_path / "a file"
    in_the_way.write_text("")
    for words in (
        ("template", in_the_way / "mine.xlsx"),
        ("demo", in_the_way / "demo", "--seconds", 1),
        ("plan", tiny_file, "--out", in_the_way / "out", "--seconds", 1),
    ):
        ended = called(*words)
        assert ended.exit_code == 4, ended.stderr
        assert "cannot be written" in ended.stderr


def test_a_plan_is_written_with_its_figures_at_the_top(
    planned: "tuple[Path, subprocess.CompletedProcess[str]]",
) -> None:
    out, ended = planned
    document = json.loads((out / "plan.json").read_text())
    top = ["cost_usd", "lower_bound_usd", "gap", "bound_covers", "unkept", "seconds"]
    assert list(document)[:6] == top
    plan = Plan.model_validate_json((out / "plan.json").read_text())
    assert plan.seed == 3
    # The tiny operation has 22 strong hives for a contract of 24: one promise cannot be kept.
    assert plan.unkept
    assert ended.returncode == 1, ended.stderr
    assert "Not kept: 1 promise;" in ended.stderr


def test_the_summary_goes_to_standard_output_and_progress_does_not(
    planned: "tuple[Path, subprocess.CompletedProcess[str]]",
) -> None:
    out, ended = planned
    assert ended.stdout.startswith("Tiny Bees: ")
    assert f"files written to {out}" in ended.stdout
    assert ", bound $" not in ended.stdout
    assert {path.suffix for path in out.rglob("*")} >= {
        ".pdf",
        ".html",
        ".txt",
        ".csv",
        ".xlsx",
        ".geojson",
        ".gpx",
        ".ics",
    }


def test_the_same_seed_and_steps_give_the_same_plan(
    tmp_path: Path,
    tiny_file: Path,
    planned: "tuple[Path, subprocess.CompletedProcess[str]]",
) -> None:
    bloomhaul("plan", tiny_file, "--out", tmp_path, "--seconds", 30, "--steps", 2, "--seed", 3)
    first, second = (json.loads((out / "plan.json").read_text()) for out in (planned[0], tmp_path))
    for plan in (first, second):
        # The bound is raised beside the search, for as long as that lasts.
        for timed in ("seconds", "lower_bound_usd", "gap"):
            plan.pop(timed)
    assert first == second


def test_sheets_are_written_once_more_from_a_plan(tmp_path: Path) -> None:
    plan = tmp_path / "plan.json"
    plan.write_text(tiny_plan().model_dump_json())
    ended = called("sheets", plan, "--out", tmp_path / "again")
    # The hand-made plan is two colonies short of a promise, and says so.
    assert ended.exit_code == 1, ended.stderr
    assert ended.stdout.startswith("Tiny Bees: ")
    assert len(list((tmp_path / "again").rglob("*.pdf"))) >= 3


def test_a_plan_with_a_changed_type_is_refused(tmp_path: Path) -> None:
    plan = tiny_plan().model_dump(mode="json") | {"cost_usd": False}
    (tmp_path / "plan.json").write_text(json.dumps(plan))
    ended = called("sheets", tmp_path / "plan.json", "--out", tmp_path / "out")
    assert ended.exit_code == 3
    assert "plan.json, cost_usd: found false" in ended.stderr


def test_a_plan_that_names_what_its_operation_has_not_is_refused(tmp_path: Path) -> None:
    plan = tiny_plan().model_dump(mode="json")
    plan["operation"]["trucks"][0]["name"] = "Old green"
    plan["deliveries"][0]["contract"] = "Early chreries"
    (tmp_path / "plan.json").write_text(json.dumps(plan))
    ended = called("sheets", tmp_path / "plan.json", "--out", tmp_path / "out")
    assert ended.exit_code == 3
    assert "truck_nights[0].truck: found 'Old blue', allowed: a truck of the plan's operation" in ended.stderr
    assert "the nearest is 'Early cherries'" in ended.stderr
    assert not (tmp_path / "out").exists()


def test_ctrl_c_writes_the_best_plan_so_far_and_ends_with_130(tmp_path: Path, busy: Operation) -> None:
    (tmp_path / "busy.json").write_text(busy.model_dump_json())
    command = [
        sys.executable,
        "-m",
        "api.cli",
        "plan",
        str(tmp_path / "busy.json"),
        "--out",
        str(tmp_path / "out"),
        "--seconds",
        "600",
    ]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    assert process.stderr is not None
    lines = []
    promised = sum(contract.colonies for contract in busy.contracts)
    for line in process.stderr:
        lines.append(line)
        unkept = re.search(r"(\d+) colonies not kept", line)
        if unkept and int(unkept[1]) < promised:
            break
    process.send_signal(signal.SIGINT)
    begun = time.monotonic()
    out, rest = process.communicate(timeout=60)
    assert process.returncode == 130, rest
    assert time.monotonic() - begun < 45
    assert "Stopping with the best plan so far" in rest
    plan = Plan.model_validate_json((tmp_path / "out" / "plan.json").read_text())
    assert plan.truck_nights
    assert plan.stopped_early
    assert out.startswith(plan.operation.name)
    assert any("cost $" in line and "bound " in line and "gap" in line for line in lines)


def test_ctrl_c_twice_ends_at_once_without_a_plan(tmp_path: Path, busy: Operation) -> None:
    (tmp_path / "busy.json").write_text(busy.model_dump_json())
    command = [
        sys.executable,
        "-m",
        "api.cli",
        "plan",
        str(tmp_path / "busy.json"),
        "--out",
        str(tmp_path / "out"),
        "--seconds",
        "600",
    ]
    process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    assert process.stderr is not None
    process.stderr.readline()
    os.kill(process.pid, signal.SIGINT)
    assert "Stopping" in "".join(process.stderr.readline() for _ in range(2))
    os.kill(process.pid, signal.SIGINT)
    assert process.wait(10) == 130
    assert not (tmp_path / "out" / "plan.json").exists()
    process.stderr.close()


def test_a_load_is_checked_with_its_findings_in_a_table(tmp_path: Path) -> None:
    (tmp_path / "load.json").write_text(load_example())
    ended = bloomhaul("load", tmp_path / "load.json")
    assert ended.returncode in (0, 1), ended.stderr
    assert ended.stdout.startswith("Old blue, 2027-04-14: 16 hives")
    assert "measured" in ended.stdout
    assert "\nok  " in ended.stdout


def test_a_load_to_type_over_is_written_and_then_checked(tmp_path: Path) -> None:
    assert called("template", tmp_path / "tonight.json").exit_code == 0
    assert called("load", tmp_path / "tonight.json").exit_code == 0


def test_the_sheet_of_a_load_is_written_as_pdf_and_html(tmp_path: Path) -> None:
    (tmp_path / "tonight.json").write_text(load_example())
    ended = called("load", tmp_path / "tonight.json", "--out", tmp_path / "out")
    assert ended.exit_code == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["tonight.html", "tonight.pdf"]


def test_a_load_too_heavy_for_its_truck_ends_with_1_and_the_breach_first(tmp_path: Path) -> None:
    document = json.loads(load_example())
    for unit in document["units"]:
        unit |= {"weight_low_lb": 9000, "weight_high_lb": 9500}
    (tmp_path / "load.json").write_text(json.dumps(document))
    ended = called("load", tmp_path / "load.json")
    assert ended.exit_code == 1
    assert "BROKEN" in ended.stdout.splitlines()[2]


def test_a_check_of_a_load_that_could_not_be_made_is_told(tmp_path: Path) -> None:
    document = json.loads(load_example())
    document["axle_groups"] = []
    (tmp_path / "load.json").write_text(json.dumps(document))
    ended = called("load", tmp_path / "load.json")
    assert "UNKNOWN" in ended.stdout
    assert "Could not be made: " in ended.stderr
