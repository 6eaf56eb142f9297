"""Each offer about trucks, ways, hours and windows, carried out: the promise is then keepable."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.fleet import Driver
from routing.inputs.operation import Operation
from routing.keepable.explain import explain_impossible
from routing.keepable.offers_access import access_offers, longer_window, missing_in, travel_offers

HOME, FAR, CHERRIES, BLUEBERRIES = "Home yard", "Far yard", "Early cherries", "Late blueberries"
Change = Callable[..., Operation]
DRIVER = "a driver able to drive a straight truck, there on a night of 23 to 27 April 2027"
TRUCK = "one more truck, hired or your own, no larger than a {}, its deck 96 in square or more"


def offers(operation: Operation, name: str = CHERRIES) -> tuple[str, ...]:
    return tuple(access_offers(operation, name))


def missing(operation: Operation, name: str = CHERRIES) -> int:
    return sum(row.colonies for row in explain_impossible(operation) if row.contract == name)


def test_an_orchard_that_trucks_reach_gets_no_offer() -> None:
    assert offers(tiny_operation()) == ()
    assert missing_in(tiny_operation(), CHERRIES) == 0


def test_a_truck_too_large_needs_a_smaller_one_or_a_wider_way(change: Change) -> None:
    narrow = change(tiny_operation(), "contracts", CHERRIES, access="pickup")
    assert offers(narrow) == (
        TRUCK.format("pickup"), f"a way for a straight truck to get into {CHERRIES} and turn",
    )  # fmt: skip
    assert missing(narrow) == 16
    assert missing(change(narrow, "contracts", CHERRIES, access="straight truck")) == 0
    smaller = narrow.trucks[0].model_copy(update={"name": "Small", "vehicle_class": "pickup"})
    assert missing(narrow.model_copy(update={"trucks": (*narrow.trucks, smaller)})) == 0


def test_a_yard_too_narrow_is_told_by_name(change: Change) -> None:
    narrow = change(tiny_operation(), "yards", HOME, access="pickup with trailer")
    assert f"a way for a straight truck to get into {HOME} and turn" in offers(narrow)
    # Hives in Far yard would do, but they stand in the yard that no truck gets into.
    assert f"hives strong enough that stand in {FAR} (35 miles away)" in offers(narrow)
    assert missing(change(narrow, "hive_groups", yard=FAR)) == 0


def test_a_truck_without_a_driver_needs_one(change: Change) -> None:
    nobody = change(tiny_operation(), "drivers", drives="pickup")
    assert offers(nobody)[0] == DRIVER
    more = Driver(name="B", wage_usd_per_hour=20.0, drives="straight truck")
    assert (missing(nobody), missing(nobody.model_copy(update={"drivers": (*nobody.drivers, more)}))) == (16, 0)


def test_a_truck_away_on_every_night_is_wanted_back(change: Change) -> None:
    away = change(tiny_operation(), "trucks", available_until=dt.date(2027, 4, 22))
    assert "Old blue at hand on a night of 23 to 27 April 2027" in offers(away)


def test_a_driver_away_on_every_night_needs_another(change: Change) -> None:
    nights = ", ".join(f"2027-04-{day}" for day in range(23, 28))
    away = change(tiny_operation(), "drivers", nights_away=nights)
    assert offers(away)[0] == DRIVER
    # One night free of five is enough.
    one = change(tiny_operation(), "drivers", nights_away=nights.removesuffix(", 2027-04-27"))
    assert missing(one) == 0


@pytest.mark.parametrize(("values", "offer"), [
    ({"first_night": dt.date(2027, 5, 1)}, "a season planned from 23 April 2027"),
    ({"last_night": dt.date(2027, 4, 22)}, "a season planned until 13 May 2027"),
    ({"last_night": dt.date(2027, 5, 9)}, "a season planned until 13 May 2027"),
])  # fmt: skip
def test_a_season_too_short_is_told_the_night_that_it_lacks(values: dict[str, dt.date], offer: str) -> None:
    operation = tiny_operation().model_copy(update=values)
    assert offers(operation) == (offer,)
    assert missing(operation) == 16
    wide = {"first_night": dt.date(2027, 4, 23), "last_night": dt.date(2027, 5, 13)}
    assert missing(operation.model_copy(update=wide)) == 0


def test_a_gate_shut_in_the_dark_should_open(change: Change) -> None:
    shut = {"open_from": dt.time(23, 59), "open_until": dt.time(0, 0)}
    early = change(tiny_operation(), "contracts", CHERRIES, **shut)
    assert missing(early) == 16
    assert f"{CHERRIES} open to trucks from dusk to dawn" in offers(early)


def test_a_midsummer_without_a_night_needs_an_earlier_window(change: Change) -> None:
    # At 61.2 N no night from 8 June; 80 min dark on 3 June and 102 on 1 June, and one load takes 81.
    north = change(change(tiny_operation(), "gates", latitude_deg=61.2), "yards", latitude_deg=61.2)
    june = {"in_from": dt.date(2027, 6, 10), "in_until": dt.date(2027, 6, 12), "late_nights_allowed": 0}
    june |= {"petal_fall_on": None, "out_from": None, "out_until": None, "spray_on": None}
    light = change(north, "contracts", CHERRIES, **june)
    assert missing(light) == 16
    assert offers(light) == ("a window 10 nights longer, in from 31 May 2027",)
    assert missing(change(light, "contracts", CHERRIES, in_from=dt.date(2027, 5, 31))) == 0
    # On 3 June a loose hive, with 1.5 min in place of 3 each time, can come; a pallet cannot: 16 - 6.
    assert missing(change(light, "contracts", CHERRIES, in_from=dt.date(2027, 6, 3))) == 10


def test_hives_that_cannot_be_taken_out_count_as_not_keepable(change: Change) -> None:
    stuck = change(tiny_operation(), "trucks", available_until=dt.date(2027, 5, 1))
    assert missing_in(stuck, CHERRIES) == 16
    assert "Old blue at hand on a night of 23 to 27 April 2027" in offers(stuck)


def test_a_group_that_may_not_travel_is_offered_where_it_helps(change: Change) -> None:
    stays = change(tiny_operation(), "hive_groups", "H1", may_travel=False)
    # L1 alone has 6 hives of 16; with H1 it is 22.
    assert missing(stays) == 10
    assert tuple(travel_offers(stays, CHERRIES)) == ("group H1 let travel",)
    assert tuple(travel_offers(tiny_operation(), CHERRIES)) == ()


def test_two_nights_more_are_told_when_a_load_can_come_on_them(change: Change) -> None:
    assert tuple(longer_window(tiny_operation(), CHERRIES)) == (
        "a window 2 nights longer, in until 28 April 2027", "a window 2 nights longer, in from 21 April 2027",
    )  # fmt: skip
    gone = change(tiny_operation(), "trucks", available_until=dt.date(2027, 4, 27))
    assert tuple(longer_window(gone, CHERRIES)) == ("a window 2 nights longer, in from 21 April 2027",)


def test_an_offer_that_helps_in_part_says_what_would_still_be_missing() -> None:
    no_truck = tiny_operation().model_copy(update={"trucks": (), "axle_groups": (), "tie_downs": ()})
    assert offers(no_truck, BLUEBERRIES) == (
        f"{TRUCK.format('straight truck')} (then 2 colonies would still be missing)",
    )
