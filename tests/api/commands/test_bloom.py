"""``bloomhaul bloom`` as a person calls it: from files, from a plan, with weather, with what is wrong."""

import datetime as dt
import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner, Result

from api.cli import app
from fixtures.bloom import ORCHARD, bloom_operation
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.nights.check import check_plan
from routing.plan import make_plan
from routing.plan_record import Plan
from routing.sheets.bloom_report import BloomReport, bloom_report

SEEN = bloom_operation(seen_to=dt.date(2027, 4, 20))


def called(*words: object) -> Result:
    return CliRunner().invoke(app, ["bloom", *[str(word) for word in words]])


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An operation without weather, its weather seen and usual as two CSV files."""
    folder = tmp_path_factory.mktemp("bloom")
    _save(SEEN.model_copy(update={"weather": ()}), folder / "mine.json")
    seen = [f"{row.on},{row.low_f},{row.high_f}" for row in SEEN.weather if row.kind == "seen"]
    usual = [f"{row.on:%m-%d},{row.low_f},{row.high_f}" for row in SEEN.weather if row.kind == "normal"]
    for name, lines in (("seen.csv", seen), ("usual.csv", usual)):
        (folder / name).write_text("\n".join(["date,low [deg F],high [deg F]", *lines]), encoding="utf-8")
    return folder


def _save(operation: Operation, path: Path) -> None:
    path.write_text(operation.model_dump_json(), encoding="utf-8")


def test_weather_beside_the_operation_gives_the_report_of_its_own_table(files: Path) -> None:
    told = called(files / "mine.json", "--weather", files / "seen.csv", "--weather", files / "usual.csv", "--json")
    assert told.exit_code == 0
    reports = [BloomReport.model_validate_json(json.dumps(one)) for one in json.loads(told.stdout)]
    assert reports == [bloom_report(SEEN, contract) for contract in SEEN.contracts]


def test_one_contract_is_told_in_words_and_drawn(files: Path) -> None:
    weather = ("--weather", files / "seen.csv", "--weather", files / "usual.csv")
    told = called(files / "mine.json", *weather, "--contract", "EARLY cherries", "--out", files / "figures")
    assert told.exit_code == 0
    assert "sums fitted to your own earlier years" in told.stdout
    assert "Late blueberries" not in told.stdout
    figure = (files / "figures" / "bloom-early-cherries.svg").read_text(encoding="utf-8")
    assert ElementTree.fromstring(figure).tag.endswith("svg")


def test_without_weather_dates_are_told(files: Path) -> None:
    told = called(files / "mine.json")
    assert told.exit_code == 0
    assert "dates and notes, not weather" in told.stdout


def test_an_unknown_contract_is_a_fault_with_the_nearest_name(files: Path) -> None:
    told = called(files / "mine.json", "--contract", "Early chery")
    assert told.exit_code == 3
    assert "found 'Early chery', allowed: the name of a contract; the nearest is 'Early cherries'" in told.stderr


def test_a_weather_file_with_a_fault_is_told_and_nothing_printed(files: Path) -> None:
    wrong = files / "wrong.csv"
    wrong.write_text("date,hour,temp [F]\n2027-01-05,0,293\n", encoding="utf-8")
    told = called(files / "mine.json", "--weather", wrong)
    assert (told.exit_code, told.stdout) == (3, "")
    assert "wrong.csv, row 2: found 293 deg F" in told.stderr
    assert "looks like kelvin" in told.stderr


def test_hours_that_were_filled_are_told(files: Path) -> None:
    hourly = files / "hourly.csv"
    hours = "".join(f"2027-01-05,{hour},30\n" for hour in range(24) if hour != 9)
    hourly.write_text(f"date,hour,temp [F]\n{hours}", encoding="utf-8")
    told = called(files / "mine.json", "--weather", hourly)
    assert "hourly.csv: 1 hour on a straight line between those beside (up to 6 in a row)." in told.stderr


def test_a_bloom_of_which_nothing_is_known_is_told_and_the_others_are_printed(files: Path) -> None:
    about = {"in_from": None, "in_until": None, "petal_fall_on": None, "in_at_percent_bloom": 10.0}
    contract = tiny_operation().contracts[0].model_copy(update=about)
    operation = SEEN.model_copy(update={"contracts": (contract, SEEN.contracts[1]), "past_blooms": ()})
    _save(operation, files / "bare.json")
    told = called(files / "bare.json")
    assert told.exit_code == 1
    assert "nothing that tells when it blooms; not from weather: no heat sum to bloom is published" in told.stderr
    assert "Late blueberries: highbush blueberry" in told.stdout


def test_a_plan_made_from_a_forecast_is_judged_and_foretold_from_the_plan_alone(files: Path) -> None:
    # The plan file carries the weather that its windows rest on: read again, they come out the same.
    plan = make_plan(bloom_operation(seen_to=dt.date(2027, 4, 20)), seconds=10.0, steps=1)
    assert plan.truck_nights
    file = files / "plan.json"
    file.write_text(plan.model_dump_json(), encoding="utf-8")
    again = Plan.model_validate_json(file.read_text(encoding="utf-8"))
    assert [finding for finding in check_plan(again) if finding.status == "broken"] == [
        finding for finding in check_plan(plan) if finding.status == "broken"
    ] == []
    delivery = next(one for one in again.deliveries if one.contract == ORCHARD)
    told = called(file, "--contract", ORCHARD, "--json")
    (report,) = json.loads(told.stdout)
    assert report["window"]["in_from"] == str(delivery.in_from)
    assert any(finding.check == "bloom" and "foretold" in finding.note for finding in again.findings)
