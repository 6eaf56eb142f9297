"""Hitches fit their trailer, straps have a rating, road limits and papers name real places."""

from collections.abc import Callable
from typing import Any

import pytest

from routing.inputs.example import example_row
from routing.inputs.fleet import AxleGroup

Told = Callable[[dict[str, list[dict[str, Any]]]], list[str]]
HITCH = example_row("hitches")
TRAILER = AxleGroup(truck="Old blue", position=3, unit="trailer", axles=2, centre_in=440.0, spread_in=49.0, empty_lb=9000.0,
                    rating_lb=34000.0)  # fmt: skip
SLIDE = {"slide_from_in": 400.0, "slide_until_in": 490.0, "slide_step_in": 6.0, "trailer_empty_lb": 13500.0, "sliding_lb": 3900.0}
TRAILER_ROWS = {
    "trucks": [{"coupling_in": 100.0}],
    "axle_groups": [{}, {}, TRAILER.model_dump()],
}


def test_a_hitch_of_a_trailer_is_well(told: Told) -> None:
    assert told({**TRAILER_ROWS, "hitches": [SLIDE]}) == []


@pytest.mark.parametrize(("change", "column", "words"), [
    ({"trailer_empty_lb": 8999.0}, "trailer_empty_lb", "at least the empty weight on the trailer's axle groups, 9,000 lb"),
    ({"least_share": 0.2, "most_share": 0.1, "share_source": "maker"}, "least_share", "at most the 0.1 of most share"),
    ({"least_share": 0.1}, "share_source", "no figure without its source"),
    ({"slide_from_in": 400.0}, "slide_from_in", "foremost pin, rearmost pin and step, or none of them"),
    (SLIDE | {"slide_until_in": 390.0}, "slide_until_in", "at least the 400 in of the foremost pin"),
    (SLIDE | {"slide_until_in": 430.0}, "slide_from_in", "pins that take in the 440 in of its axle group"),
    (SLIDE | {"sliding_lb": None}, "sliding_lb", "both move weight with the pins"),
    (SLIDE | {"sliding_lb": 9001.0}, "sliding_lb", "at most the empty weight on the axle group that slides"),
])  # fmt: skip
def test_a_hitch_that_cannot_be_is_told(told: Told, change: dict[str, Any], column: str, words: str) -> None:
    found = told({**TRAILER_ROWS, "hitches": [change]})
    assert [one for one in found if one.startswith(f"hitches[0].{column}: ") and words in one]


def test_a_hitch_without_a_trailer_is_told(told: Told) -> None:
    (sentence,) = told({"hitches": [{}]})
    assert sentence == "hitches[0].truck: 'Old blue' | a truck that has an axle group with unit 'trailer'"


def test_what_rides_on_no_trailer_is_told(told: Told) -> None:
    (sentence,) = told({"carried": [{"unit": "trailer"}]})
    assert sentence.startswith("carried[0].unit: 'trailer' | 'truck'")


@pytest.mark.parametrize(("kind", "size"), [("webbing strap", "odd"), ("webbing strap", "1 in"), ("chain", "")])
def test_a_strap_without_a_rating_is_told(told: Told, kind: str, size: str) -> None:
    (sentence,) = told({"tie_downs": [{"kind": kind, "size": size, "wll_lb": None}]})
    assert sentence.startswith(f"tie_downs[0].wll_lb: nothing, for a {kind} of size '{size}' | the limit marked on it")


def test_an_unmarked_strap_of_a_size_in_the_table_is_well(told: Told) -> None:
    assert told({"tie_downs": [{"size": "2 in", "wll_lb": None}]}) == []


@pytest.mark.parametrize("table", ["road_limits", "papers"])
def test_places_that_are_none_are_told_with_the_nearest(told: Told, table: str) -> None:
    (sentence,) = told({table: [{"places": "Home yard, Lowr pears"}]})
    assert sentence == f"{table}[0].places: 'Lowr pears' | names of yards and contracts; the nearest is 'Lower pears'"
