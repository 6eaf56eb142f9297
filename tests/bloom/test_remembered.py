"""Answers are remembered as long as the tables that they rest on are the same, and no longer."""

import datetime as dt

from fixtures.bloom import bloom_operation, usual_weather
from routing.bloom.predict import bloom_forecast
from routing.bloom.remembered import KEPT, remembered
from routing.inputs.contract import Bloom, Contract
from routing.inputs.operation import Operation

SEEN = bloom_operation(years=0)
CHERRIES = SEEN.contracts[0]


def test_the_same_tables_give_the_same_answer_without_work() -> None:
    calls: list[str] = []

    @remembered
    def work(operation: Operation, contract: Contract) -> str:
        calls.append(contract.name)
        return contract.name

    renamed = SEEN.model_copy(update={"name": "Another name"})
    assert work(SEEN, CHERRIES) == work(renamed, CHERRIES) == CHERRIES.name
    assert len(calls) == 1
    work(SEEN.model_copy(update={"weather": usual_weather()}), CHERRIES)
    work(SEEN, SEEN.contracts[1])
    work(SEEN.model_copy(update={"first_night": SEEN.first_night - dt.timedelta(days=1)}), CHERRIES)
    assert len(calls) == 4


def test_more_answers_than_are_kept_drop_the_oldest_and_stay_right() -> None:
    calls: list[int] = []

    @remembered
    def work(operation: Operation, contract: Contract) -> int:
        calls.append(contract.colonies)
        return contract.colonies

    contracts = [CHERRIES.model_copy(update={"colonies": number}) for number in range(1, KEPT + 3)]
    assert [work(SEEN, one) for one in contracts] == [one.colonies for one in contracts]
    assert work(SEEN, contracts[0]) == 1
    assert len(calls) == KEPT + 3


def test_a_note_that_comes_in_changes_the_forecast_at_once() -> None:
    row = Bloom(contract=CHERRIES.name, percent_bloom=10.0, on=dt.date(2027, 5, 2))
    before = SEEN.model_copy(update={"blooms": (row,)})
    after = SEEN.model_copy(update={"blooms": (row.model_copy(update={"on": dt.date(2027, 5, 6), "seen": True}),)})
    found = [bloom_forecast(one, CHERRIES).stage("10 % bloom") for one in (before, after)]
    assert [one.day for one in found if one is not None] == [dt.date(2027, 5, 2), dt.date(2027, 5, 6)]
