"""Season, year, quote and risk on the command line: what they print, write and end with."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from api.cli import app
from fixtures.tiny import tiny_operation, tiny_plan
from routing.quote.record import Quote
from routing.risk.record import Risk
from routing.season.assignment import Season


def called(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture(scope="module")
def offered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tiny operation with its cherries as an offer."""
    tiny = tiny_operation()
    offer = tiny.contracts[0].model_copy(update={"signed": False, "fee_usd_per_colony": 30.0})
    file = tmp_path_factory.mktemp("season") / "offered.json"
    file.write_text(tiny.model_copy(update={"contracts": (offer, tiny.contracts[1])}).model_dump_json())
    return file


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tiny plan as a file."""
    file = tmp_path_factory.mktemp("plan") / "plan.json"
    file.write_text(tiny_plan().model_dump_json())
    return file


@pytest.mark.parametrize("command", ["season", "year", "quote", "risk", "steady"])
def test_each_command_has_a_page_with_an_example(command: str) -> None:
    page = called(command, "--help")
    assert page.exit_code == 0
    assert f"bloomhaul {command}" in page.stdout


def test_a_season_is_printed_and_its_calendar_written(offered: Path) -> None:
    done = called("season", offered, "--out", offered.parent / "out", "--seconds", 4)
    # Two of 24 colonies of blueberries are short: exit code 1.
    assert done.exit_code == 1
    assert "Early cherries (sweet cherry, offer): taken, 16 of 16 colonies" in done.stdout
    assert "proven: no season earns more than" in done.stdout
    assert {path.name for path in (offered.parent / "out").iterdir()} == {"season.svg", "season.json", "season.txt"}


def test_a_season_comes_as_json_that_reads_back(offered: Path) -> None:
    done = called("season", offered, "--seconds", 8, "--json")
    assert Season.model_validate_json(done.stdout).choices[0].outcome == "taken"


def test_a_year_writes_season_and_plan_and_says_whether_they_agree(offered: Path) -> None:
    out = offered.parent / "year"
    done = called("year", offered, "--out", out, "--seconds", 6, "--rounds", 2)
    assert done.exit_code == 1
    assert "Season and tours agree after 2 rounds" in done.stdout
    assert {"season.json", "season.txt", "plan.json", "season.svg"} <= {path.name for path in out.iterdir()}


def test_a_quote_tells_the_fee_its_interval_and_its_truck_nights(offered: Path) -> None:
    done = called("quote", offered, "--contract", "Early cherries", "--seconds", 4)
    assert done.exit_code == 0
    # (974.30 - 674.90) / 16, as tests/quote/test_quote.py works it out.
    assert "least fee $18.71 a colony for 16 of 16 colonies, worth taking at the $30.00" in done.stdout
    assert "Truck-nights more than without it: 1" in done.stdout


def test_a_quote_for_what_cannot_come_in_full_ends_with_1_and_comes_as_json(offered: Path) -> None:
    done = called("quote", offered, "-c", "Late blueberries", "--seconds", 3, "--json")
    assert done.exit_code == 1
    assert Quote.model_validate_json(done.stdout).verdict == "cannot be served"


def test_a_contract_that_is_not_there_is_one_sentence(offered: Path) -> None:
    done = called("quote", offered, "-c", "Erly cherries")
    assert done.exit_code == 3
    assert done.stderr.count("\n") == 2
    assert "found 'Erly cherries', allowed: the name of a contract or offer; the nearest is 'Early cherries'" in done.stderr


def test_a_risk_tells_shares_levers_and_rules(planned: Path) -> None:
    done = called("risk", planned, "--seasons", 200)
    assert done.exit_code == 0
    for words in ("200 seasons simulated, seed 0", "Late blueberries: 0.0%", "the plan itself is 2 short", "What would help most",
                  "Rule of repair"):  # fmt: skip
        assert words in done.stdout
    as_json = called("risk", planned, "--seasons", 200, "--json")
    assert Risk.model_validate_json(as_json.stdout).seasons == 200


def test_a_plan_for_the_seasons_that_may_come_is_written_with_what_it_was_chosen_from(offered: Path) -> None:
    out = offered.parent / "steady"
    done = called("steady", offered, "--out", out, "--seconds", 4, "--seasons", 100)
    assert done.exit_code == 1
    assert done.stdout.count("chosen") == 5
    assert {"plan.json", "risk.txt", "risk.json", "season.svg"} <= {path.name for path in out.iterdir()}


def test_a_file_that_is_no_plan_is_told(offered: Path, tmp_path: Path) -> None:
    assert called("risk", offered).exit_code == 3
    (tmp_path / "plan.json").write_text(json.dumps({"cost_usd": "much"}))
    done = called("risk", tmp_path / "plan.json")
    assert done.exit_code == 3
    assert "cost_usd: found 'much'" in done.stderr
