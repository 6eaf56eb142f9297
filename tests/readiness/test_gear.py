"""Lids, straps, screens, reducers, pallets and nets: the most needed at once."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.fleet import Gear
from routing.inputs.operation import Operation, Temperature
from routing.nights.tour import TruckNight
from routing.plan_record import GearNeed
from routing.readiness.make_ready import readiness

Night = Callable[..., TruckNight]
HOME, CHERRIES, BLUES, FAR = "Home yard", "Early cherries", "Late blueberries", "Far yard"
TINY = tiny_operation()


def test_lids_stay_on_hives_that_are_out_so_later_ones_need_more(truck_night: Night) -> None:
    nights = [truck_night(4, 24, ("L1", 4, HOME, CHERRIES)), truck_night(5, 11, ("L1", 2, HOME, BLUES))]
    assert need("migratory lid", nights).needed == 4 + 2


def test_lids_of_hives_that_came_home_are_used_again(truck_night: Night) -> None:
    nights = [
        truck_night(4, 24, ("L1", 4, HOME, CHERRIES)),
        truck_night(5, 10, ("L1", 4, CHERRIES, HOME)),
        truck_night(5, 11, ("L1", 2, HOME, BLUES)),
    ]
    assert need("migratory lid", nights).needed == 4


def test_lids_that_come_home_on_the_night_itself_come_too_late(truck_night: Night) -> None:
    nights = [
        truck_night(4, 24, ("L1", 4, HOME, CHERRIES)),
        truck_night(5, 10, ("L1", 2, HOME, BLUES), ("L1", 4, CHERRIES, HOME)),
    ]
    assert need("migratory lid", nights).needed == 6


def test_hives_that_rest_in_another_yard_keep_their_lids(truck_night: Night) -> None:
    nights = [
        truck_night(4, 24, ("L1", 4, HOME, CHERRIES)),
        truck_night(5, 10, ("L1", 4, CHERRIES, FAR)),
        truck_night(5, 11, ("L1", 2, HOME, BLUES), ("L1", 4, FAR, BLUES)),
    ]
    assert need("migratory lid", nights).needed == 6


def test_screens_come_back_each_night(truck_night: Night) -> None:
    nights = [
        truck_night(4, 24, ("H1", 16, HOME, CHERRIES)),
        truck_night(5, 11, ("H1", 16, CHERRIES, BLUES), ("L1", 6, HOME, BLUES)),
    ]
    assert need("entrance screen", nights) == GearNeed(item="entrance screen", needed=22, on_hand=20, short=2)


def test_no_screens_are_needed_for_a_cool_night(truck_night: Night) -> None:
    cool = Temperature(night=dt.date(2027, 4, 24), sunset_f=50.0, low_f=35.0, sunrise_f=38.0)
    nights = [truck_night(4, 24, ("H1", 16, HOME, CHERRIES))]
    assert "entrance screen" not in needs(nights, TINY.model_copy(update={"temperatures": (cool,)}))


def test_builds_that_have_lid_and_strap_need_none(truck_night: Night) -> None:
    assert set(needs([truck_night(4, 24, ("H1", 16, HOME, CHERRIES))])) == {"entrance screen", "load net"}


def test_one_net_for_each_truck_that_carries_hives_on_one_night(truck_night: Night) -> None:
    nights = [
        truck_night(4, 24, ("H1", 8, HOME, CHERRIES)),
        truck_night(4, 24, ("H1", 8, HOME, CHERRIES), truck="Old red"),
        truck_night(4, 24, truck="Old green"),
        truck_night(5, 10, ("H1", 16, CHERRIES, FAR)),
    ]
    assert need("load net", nights).needed == 2


def test_pallets_count_where_they_are_not_the_hives_own_floor(truck_night: Night) -> None:
    on_pallets = group("L1", pallet="four-way")
    nights = [truck_night(4, 24, ("L1", 6, HOME, CHERRIES), ("H1", 16, HOME, CHERRIES))]
    assert need("pallet", nights, on_pallets).needed == 2  # 6 hives, 4 on a pallet
    assert "pallet" not in needs(nights, build("home hive 10", bottom_board="pallet"))


@pytest.mark.parametrize(("at_hand", "needed"), [(True, 0), (False, 8)])
def test_reducers_are_needed_for_open_weak_hives_without_one_at_hand(at_hand: bool, needed: int) -> None:
    operation = build("single deep 10", entrance="open", entrance_reducer=at_hand)
    found = needs([], operation)
    assert (found["entrance reducer"].needed if found else 0) == needed


def test_a_shed_that_was_not_counted_is_told_apart_from_an_empty_one(truck_night: Night) -> None:
    nights = [truck_night(4, 24, ("H1", 16, HOME, CHERRIES))]
    assert need("load net", nights).on_hand is None
    empty = TINY.model_copy(update={"gear": (Gear(item="load net", on_hand=0),)})
    assert need("load net", nights, empty) == GearNeed(item="load net", needed=1, on_hand=0, short=1)


def needs(nights: list[TruckNight], operation: Operation = TINY) -> dict[str, GearNeed]:
    return {one.item: one for one in readiness(operation, nights).gear}


def need(item: str, nights: list[TruckNight], operation: Operation = TINY) -> GearNeed:
    return needs(nights, operation)[item]


def group(name: str, **change: Any) -> Operation:
    rows = tuple(one.model_copy(update=change) if one.name == name else one for one in TINY.hive_groups)
    return TINY.model_copy(update={"hive_groups": rows})


def build(name: str, **change: Any) -> Operation:
    rows = tuple(one.model_copy(update=change) if one.name == name else one for one in TINY.hive_builds)
    return TINY.model_copy(update={"hive_builds": rows})
