"""bloomhaul strength, as typed."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from api.cli import app
from fixtures.tiny import tiny_operation
from routing.sheets.strength_report import StrengthReport


@pytest.fixture
def tiny_file(tmp_path: Path) -> Path:
    path = tmp_path / "tiny.json"
    path.write_text(tiny_operation().model_dump_json(), encoding="utf-8")
    return path


def run(*words: str | Path) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["strength", *map(str, words)])
    return done.exit_code, done.stdout, done.stderr


def test_the_report_is_printed(tiny_file: Path) -> None:
    code, out, _ = run(tiny_file)
    assert code == 0
    assert out.startswith("Strength of Tiny Bees\n")
    assert "Early cherries, first night 2027-04-23" in out


def test_json_is_the_whole_answer(tiny_file: Path) -> None:
    code, out, _ = run(tiny_file, "--json", "--group", "H1")
    assert (code, [one.group for one in StrengthReport.model_validate_json(out).groups]) == (0, ["H1"])


def test_histograms_are_written_where_asked(tiny_file: Path, tmp_path: Path) -> None:
    code, _, err = run(tiny_file, "--out", tmp_path / "april")
    assert code == 0
    written = sorted(path.name for path in (tmp_path / "april").iterdir())
    assert written == ["strength-early-cherries.svg", "strength-late-blueberries.svg"]
    assert err.count("Written: ") == 2


def test_a_name_that_is_not_there_ends_with_3_and_names_the_nearest(tiny_file: Path) -> None:
    code, _, err = run(tiny_file, "--contract", "Early cherry")
    assert code == 3
    assert "found no contract called 'Early cherry'" in err
    assert "the nearest is 'Early cherries'" in err


def test_faults_of_the_file_end_with_3(tiny_file: Path) -> None:
    document = json.loads(tiny_file.read_text())
    document["inspections"] = [{"group": "W1", "inspected_on": "2027-04-01", "frames_seen": "14"}]
    tiny_file.write_text(json.dumps(document))
    code, _, err = run(tiny_file)
    assert code == 3
    assert "inspections[0].frames_seen: found a hive of 14 frames, allowed: at most the 8 frames of build 'single deep 10'" in err


def test_a_folder_that_cannot_be_written_ends_with_4(tiny_file: Path) -> None:
    code, _, err = run(tiny_file, "--out", tiny_file / "below")
    assert (code, "cannot be written" in err) == (4, True)
