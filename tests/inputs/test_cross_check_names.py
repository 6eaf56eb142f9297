"""Names are told apart, and every reference leads somewhere."""

from collections.abc import Callable
from typing import Any

import pytest

from routing.inputs.cross_check_names import KEYS
from routing.inputs.tables import REFERENCES, table, tables

Told = Callable[[dict[str, Any]], list[str]]


def test_the_worked_example_has_no_fault(told: Told) -> None:
    assert told({}) == []


def test_a_name_twice_is_told_at_its_second_row_whatever_its_capitals(told: Told) -> None:
    assert told({"drivers": [{}, {"name": "s.  example"}]}) == [
        "drivers[1].name: 's.  example' again, as in the 1st row of drivers | each name once"
    ]


def test_two_contracts_may_have_a_gate_of_the_same_name(told: Told) -> None:
    rows = {"contracts": [{}, {"name": "Upper pears"}], "gates": [{}, {"contract": "Upper pears"}]}
    bloom = {"blooms": [{}, {}, {"contract": "Upper pears"}]}
    assert told(rows | bloom) == []


def test_a_contract_may_not_have_the_name_of_a_yard(told: Told) -> None:
    yards = [{}, {"name": "lower pears", "capacity_hives": 0}]
    assert told({"yards": yards}) == [
        "contracts[0].name: 'Lower pears', which is a yard too"
        " | a name that no yard has, since both are places on a tour"
    ]


@pytest.mark.parametrize(("name", "column"), list(REFERENCES))
def test_every_reference_to_nothing_is_told(told: Told, name: str, column: str) -> None:
    found = told({name: [{column: "Nowhere at all"}]})
    assert any(sentence.startswith(f"{name}[0].{column}: 'Nowhere at all' | ") for sentence in found)


def test_a_slip_of_the_hand_is_told_with_the_nearest_name(told: Told) -> None:
    (sentence,) = told({"hive_groups": [{"yard": "Hoem yard"}]})
    assert sentence == "hive_groups[0].yard: 'Hoem yard' | a name in yards; the nearest is 'Home yard'"


def test_a_reference_is_as_written_capitals_and_all(told: Told) -> None:
    (sentence,) = told({"trucks": [{"base": "home yard"}]})
    assert "the nearest is 'Home yard'" in sentence


def test_a_pallet_and_the_place_of_a_temperature_may_be_left_out(told: Told) -> None:
    assert told({"hive_groups": [{"pallet": None}], "temperatures": [{"place": ""}]}) == []


def test_an_unknown_figure_is_told_with_the_nearest_and_law_cannot_be_replaced(told: Told) -> None:
    (sentence,) = told({"constants": [{"name": "stop_setup_minutes"}]})
    assert "the nearest is 'stop_setup_min'" in sentence


@pytest.mark.parametrize(("value", "is_fault"), [(-0.1, True), (0.0, False), (600.0, False), (600.1, True)])
def test_a_figure_in_minutes_lies_between_0_and_600(told: Told, value: float, is_fault: bool) -> None:
    assert bool(told({"constants": [{"value": value}]})) is is_fault


def test_a_share_over_one_is_told_with_the_default(told: Told) -> None:
    (sentence,) = told({"constants": [{"name": "below_floor_share", "value": 10.0}]})
    assert sentence == "constants[0].value: 10 | from 0 to 1 share; the default is 0.1"


OWN_SIZES = [
    # Half to twice 16.25 in; a quarter to four times 40 lb.
    ("hive_box_width_10_in", 8.0, "8 | from 8.125 to 32.5 in; the default is 16.25"),
    ("hive_box_width_10_in", 8.125, ""),
    ("hive_box_width_10_in", 32.6, "32.6 | from 8.125 to 32.5 in; the default is 16.25"),
    ("hive_brood_deep_low_lb", 9.9, "9.9 | from 10 to 160 lb; the default is 40"),
    ("hive_brood_deep_low_lb", 10.0, ""),
]


@pytest.mark.parametrize(("name", "value", "words"), OWN_SIZES)
def test_a_hive_part_has_about_the_published_size_and_weight(told: Told, name: str, value: float, words: str) -> None:
    found = told({"constants": [{"name": name, "value": value}]})
    assert found == ([f"constants[0].value: {words}"] if words else [])


def test_keys_and_references_are_columns_that_exist() -> None:
    known = {(one.name, column.name) for one in tables() for column in one.columns}
    assert set(REFERENCES) <= known
    assert {(name, column) for name, key in KEYS.items() for column in key} <= known
    assert all(table(target).column("name") for targets in REFERENCES.values() for target in targets)
