"""What is arranged already lies in the season, takes whole pallets that were there, and has one place a stop."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

Told = Callable[[dict[str, list[dict[str, Any]]]], list[str]]
NEXT = {"operation": [{"next_night": dt.date(2027, 4, 20)}]}
DONE = {"done": True}


def test_a_lot_that_is_done_before_the_next_night_is_well(told: Told) -> None:
    assert told({**NEXT, "arranged": [DONE]}) == []


@pytest.mark.parametrize(("rows", "column", "words"), [
    ({"operation": [{"next_night": dt.date(2026, 4, 20)}]}, "operation[0].next_night", "a night from 2027-04-01 to 2027-07-31"),
    ({"arranged": [{"night": dt.date(2028, 4, 20)}]}, "arranged[0].night", "a night of the season, 2027-04-01 to 2027-07-31"),
    ({"arranged": [{"destination_stop": 2, "origin_stop": 2}]}, "arranged[0].destination_stop", "a stop after 2"),
    ({"arranged": [{"destination": "Home yard"}]}, "arranged[0].destination", "another place than the origin"),
    ({"arranged": [DONE]}, "arranged[0].done", "no for a night that is still to be planned"),
    ({**NEXT, "arranged": [DONE | {"hives": 6}]}, "arranged[0].hives", "hives of whole pallets of 4"),
    ({**NEXT, "arranged": [DONE | {"hives": 28}]}, "arranged[0].hives", "at most the 24 hives of H1 that stood at Home yard"),
    ({"arranged": [{}, {"origin": "Lower pears", "destination": "Home yard"}]}, "arranged[1].origin",
     "'Home yard', as another row has it for stop 1 of Old blue on 2027-04-14"),
])  # fmt: skip
def test_what_cannot_have_been_is_told(told: Told, rows: dict[str, Any], column: str, words: str) -> None:
    found = told(rows)
    assert [one for one in found if one.startswith(f"{column}: ") and words in one], found
