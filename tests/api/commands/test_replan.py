"""`bloomhaul replan` plans anew from a plan file, says who is to be told, and refuses in one sentence."""

import json
import subprocess
import sys

import pytest

from fixtures.tiny import tiny_operation
from routing.plan import make_plan


@pytest.fixture(scope="module")
def plan():
    return make_plan(tiny_operation(), seed=1, steps=2)


@pytest.fixture(scope="module")
def plan_file(plan, tmp_path_factory):
    file = tmp_path_factory.mktemp("was") / "plan.json"
    file.write_text(plan.model_dump_json(), encoding="utf-8")
    return file


def run(*words):
    command = [sys.executable, "-m", "api.cli", "replan", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def test_a_night_without_moves_is_planned_anew_and_told(plan, plan_file, tmp_path):
    night = plan.truck_nights[1].night
    done = run(plan_file, "--from", night, "--no-moves", night, "--steps", 2, "-o", tmp_path / "new")
    assert done.returncode in {0, 1}, done.stderr
    told = (tmp_path / "new" / "changes.txt").read_text(encoding="utf-8")
    assert f"  {night} {plan.truck_nights[1].truck}: called off: " in told
    assert "Growers to be told:" in told
    assert told in done.stdout
    new = json.loads((tmp_path / "new" / "plan.json").read_text(encoding="utf-8"))
    assert not [one for one in new["truck_nights"] if one["night"] == str(night)]
    assert new["truck_nights"][0]["stops"] == json.loads(plan.truck_nights[0].model_dump_json())["stops"]


@pytest.mark.parametrize(("words", "sentence"), [
    (["--bloom", "Late blueberries"], "--bloom: found 'Late blueberries', allowed: CONTRACT=DAYS"),
    (["--bloom", "Late blueberries=soon"], "--bloom: found 'Late blueberries=soon', allowed: CONTRACT=DAYS"),
    (["--lost", "H1=0"], "--lost: found 'H1=0', allowed: GROUP=HIVES with 1 to 5000 hives"),
    (["--truck-away", "Old blue=tomorrow"], "--truck-away: found 'Old blue=tomorrow', allowed: TRUCK=DATE"),
    (["--wanted", "Late bluberries=30"], "the nearest is 'Late blueberries'"),
])  # fmt: skip
def test_a_change_that_cannot_be_read_is_one_sentence_and_nothing_is_written(plan, plan_file, tmp_path, words, sentence):
    done = run(plan_file, "--from", plan.truck_nights[1].night, *words, "-o", tmp_path / "new")
    assert done.returncode == 3
    assert sentence in done.stderr
    assert not (tmp_path / "new").exists()
