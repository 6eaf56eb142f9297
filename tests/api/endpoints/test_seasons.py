"""Seasons, quotes and risks over the API: the same records as on the command line, problems in words."""

import json

import pytest

from api.endpoints.seasons import _WORKING, SeasonAnswer
from fixtures.tiny import tiny_operation
from routing.inputs.offers import with_contracts
from routing.quote.record import Quote
from routing.risk.record import Risk

JSON = {"content-type": "application/json"}


@pytest.fixture(scope="module")
def offered() -> str:
    """The tiny operation with its cherries as an offer."""
    tiny = tiny_operation()
    offer = tiny.contracts[0].model_copy(update={"signed": False, "fee_usd_per_colony": 30.0})
    return tiny.model_copy(update={"contracts": (offer, tiny.contracts[1])}).model_dump_json()


def test_a_season_is_chosen(client, offered):
    answer = client.post("/seasons?seconds=4", content=offered, headers=JSON)
    assert answer.status_code == 200, answer.text
    season = SeasonAnswer.model_validate_json(answer.text)
    assert [(one.contract, one.outcome) for one in season.choices] == [("Early cherries", "taken"), ("Late blueberries", "short")]


def test_its_calendar_is_drawn(client, offered):
    answer = client.post("/seasons/calendar.svg?seconds=5", content=offered, headers=JSON)
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert "Late blueberries" in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


def test_a_contract_is_quoted_for(client, offered):
    answer = client.post("/quotes?contract=Early cherries&seconds=4", content=offered, headers=JSON)
    assert answer.status_code == 200, answer.text
    # (974.30 - 674.90) / 16, as tests/quote/test_quote.py works it out.
    assert Quote.model_validate_json(answer.text).fee_usd_per_colony == pytest.approx(18.71)


def test_the_offer_is_meant_when_no_contract_is_named_and_there_must_be_one(client, offered):
    answer = client.post("/quotes?seconds=4", content=offered, headers=JSON)
    assert answer.json()["contract"] == "Early cherries"
    none = with_contracts(tiny_operation(), []).model_dump_json()
    assert client.post("/quotes", content=none, headers=JSON).json()["faults"][0]["found"] == "no contract"


def test_a_contract_that_is_not_there_is_a_fault(client, offered):
    answer = client.post("/quotes?contract=Pears&seconds=1", content=offered, headers=JSON)
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["found"] == "'Pears'"


def test_a_plan_is_run_through_seasons(client, put_done, tiny_plan_json):
    job = put_done(tiny_plan_json)
    answer = client.get(f"/plans/{job}/risk?seasons=100&seed=3")
    assert answer.status_code == 200, answer.text
    risk = Risk.model_validate_json(answer.text)
    assert (risk.seasons, risk.seed, len(risk.promises)) == (100, 3, 2)


def test_the_risk_of_no_plan_and_of_no_season_is_a_problem(client, put_done, tiny_plan_json):
    assert client.get("/plans/none/risk").status_code == 404
    job = put_done(tiny_plan_json)
    assert client.get(f"/plans/{job}/risk?seasons=0").json()["faults"][0]["path"] == "seasons"


def test_a_second_answer_waits_its_turn(client, offered):
    with _WORKING:
        answer = client.post("/seasons", content=offered, headers=JSON)
    assert answer.status_code == 429
    assert json.loads(answer.text)["type"] == "/problems/line-full"


def test_the_calendar_of_a_plan_is_among_its_sheets(client, put_done, tiny_plan_json):
    job = put_done(tiny_plan_json)
    listed = client.get(f"/plans/{job}/sheets").json()["sheets"]
    (season,) = (one for one in listed if one["name"] == "season")
    assert season["title"] == "Season calendar"
    assert client.get(season["formats"][0]["href"]).text.startswith("<svg")
