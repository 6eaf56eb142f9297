"""Flat rows of all moves and stops."""

import pytest

from fixtures.tiny import tiny_plan
from routing.sheets.moves import moves, stop_rows


def test_every_lot_is_one_row_from_where_it_is_lifted_to_where_it_is_set_down():
    rows = [
        (row.night.isoformat(), row.lot, row.group, row.hives, row.origin, row.destination)
        for row in moves(tiny_plan())
    ]
    assert rows == [
        ("2027-04-24", "A", "H1", 16, "Home yard", "Early cherries"),
        ("2027-05-11", "A", "L1", 6, "Home yard", "Late blueberries"),
        ("2027-05-11", "B", "H1", 16, "Early cherries", "Late blueberries"),
        ("2027-06-05", "A", "H1", 16, "Late blueberries", "Far yard"),
        ("2027-06-05", "B", "L1", 6, "Late blueberries", "Home yard"),
    ]


def test_miles_on_deck_are_those_between_picking_up_and_setting_down():
    # L1 rides 24 + 28 miles, H1 joins for the last 28.
    assert [row.miles_on_deck for row in moves(tiny_plan())] == [24.0, 24.0 + 28.0, 28.0, 30.0, 30.0 + 12.0]


def test_hives_picked_up_equal_hives_set_down_and_the_deck_is_empty_at_the_end():
    rows = stop_rows(tiny_plan())
    assert sum(row.hives_picked_up for row in rows) == sum(row.hives_set_down for row in rows) == 16 + 22 + 22
    assert [row.hives_on_deck_after for row in rows if row.truck_night == "2027-05-11 Old blue"] == [
        0,
        6,
        22,
        0,
        0,
    ]


def test_a_lot_that_is_never_set_down_is_an_error():
    plan = tiny_plan()
    night = plan.truck_nights[0]
    stops = tuple(stop.model_copy(update={"set_down": ()}) for stop in night.stops)
    torn = plan.model_copy(update={"truck_nights": (night.model_copy(update={"stops": stops}),)})
    with pytest.raises(ValueError, match="lot A is picked up at stop 1 and never set down"):
        moves(torn)
