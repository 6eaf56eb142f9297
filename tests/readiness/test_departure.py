"""Departures: all hives of a group that leave one place on one night."""

import datetime as dt

from fixtures.tiny import tiny_operation, tiny_plan
from routing.readiness.departure import departures


def test_the_tiny_plan_has_five_departures_in_order() -> None:
    found = departures(tiny_operation(), tiny_plan().truck_nights)
    assert [
        (one.night, one.place, one.group.name, one.hives, one.pallets, one.from_home) for one in found
    ] == [
        (dt.date(2027, 4, 24), "Home yard", "H1", 16, 4, True),
        (dt.date(2027, 5, 11), "Early cherries", "H1", 16, 4, False),
        (dt.date(2027, 5, 11), "Home yard", "L1", 6, 0, True),
        (dt.date(2027, 6, 5), "Late blueberries", "H1", 16, 4, False),
        (dt.date(2027, 6, 5), "Late blueberries", "L1", 6, 0, False),
    ]


def test_lots_of_several_trucks_are_one_departure_with_all_its_destinations() -> None:
    plan = tiny_plan()
    (one, other) = (plan.truck_nights[0], plan.truck_nights[0].model_copy(update={"truck": "Old red"}))
    (found,) = departures(tiny_operation(), [one, other])
    assert (found.hives, found.destinations) == (32, ("Early cherries",))
