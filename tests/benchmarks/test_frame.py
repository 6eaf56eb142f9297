"""The frame of the benchmarks: a NAME is a file, rows are flat, the file holds what the screen shows."""

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from routing.inputs.operation import Operation
from tests.benchmarks import door
from tests.benchmarks.__main__ import check_flat, main, names, show, table
from tests.benchmarks._record import Record, measured

ROOT = Path(__file__).parents[2]


def test_every_file_beside_the_frame_is_a_name_that_says_what_it_measures() -> None:
    found = names()
    assert {"demo", "door"} <= set(found)
    assert not [name for name, line in found.items() if name.startswith(("_", "test_")) or not line]


def test_the_table_shows_every_row_and_figures_stand_under_one_another() -> None:
    lines = table([{"name": "a", "gap": 0.0512}, {"name": "bc", "gap": 12.5, "note": None}]).split("\n")
    assert [line.split() for line in lines] == [["name", "gap", "note"], ["a", "0.0512"], ["bc", "12.50"]]
    assert len({len(line) for line in lines}) == 1


def test_a_row_that_is_not_flat_is_refused() -> None:
    with pytest.raises(TypeError, match="nights is a list"):
        check_flat([{"nights": [1, 2]}])  # type: ignore[dict-item]


def test_an_unknown_name_is_refused_with_the_names_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as refused:
        main(["nothing of the kind"])
    assert refused.value.code == 2
    assert "demo" in capsys.readouterr().err


def test_help_lists_every_name_from_the_command_line() -> None:
    command = [sys.executable, "-m", "tests.benchmarks", "--help"]
    shown = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert all(name in shown.stdout for name in names())


def test_memory_of_a_child_counts_as_long_as_it_lives() -> None:
    hold = "import time; held = bytearray(b'x') * (96 * 1024 * 1024); time.sleep(1)"
    with measured() as alone:
        pass
    with measured() as both:
        subprocess.run([sys.executable, "-c", hold], check=True)
    # 96 MiB held by the child, and its interpreter, above this process alone.
    assert both.peak_mib - alone.peak_mib > 90
    assert both.seconds > 1.0


def test_seconds_are_wall_time() -> None:
    with measured() as took:
        time.sleep(0.2)
    assert 0.2 <= took.seconds < 2.0


def test_the_json_file_holds_the_rows_on_the_screen(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "rows.json"
    rows: list[Record] = [{"case": "sound", "seconds": 1.25, "first_plan_s": None}]
    rows.append({"case": "faulty", "seconds": 2.0})
    show(rows, file)
    assert json.loads(file.read_text(encoding="utf-8")) == rows
    screen = capsys.readouterr().out.splitlines()
    assert [line.split() for line in screen] == [
        ["case", "seconds", "first_plan_s"], ["sound", "1.25"], ["faulty", "2.00"],
    ]  # fmt: skip


@pytest.mark.parametrize(("make", "outcome"), [(door.sound, "read"), (door.faulty, "refused")])
def test_the_door_reads_a_sound_workbook_and_refuses_a_faulty_one_with_every_fault(
    make: Callable[[int], Operation], outcome: str
) -> None:
    row = door.at_the_door(outcome, make(600))
    assert row["outcome"] == outcome
    # 600 cells are 100 drops of 6 fields; one more makes sure of the 600.
    assert (row["cells"], row["faults"]) == (606, 0 if outcome == "read" else 101)
