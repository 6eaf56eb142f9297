"""What one load takes, just inside and just outside each limit; and ways over other places."""

from collections.abc import Callable

import pytest

from fixtures.tiny import DISTANCES, tiny_operation
from routing.inputs.fleet import Driver
from routing.inputs.operation import Constant, Distance, Operation
from routing.keepable.reach import Reach, Trip, nearest, shortest_ways
from routing.nights.problem import read_problem

HOME, FAR, CHERRIES, BLUEBERRIES = "Home yard", "Far yard", "Early cherries", "Late blueberries"


def reach(operation: Operation) -> Reach:
    return Reach(shortest_ways(read_problem(operation)))


def with_minutes(minutes: dict[frozenset[str], float]) -> Operation:
    """Return the tiny operation with other minutes; the blueberries lie too far off for a detour."""
    minutes = {frozenset((BLUEBERRIES, place)): 900.0 for place in (HOME, FAR, CHERRIES)} | minutes
    rows = tuple(
        one.model_copy(update={"minutes": minutes.get(frozenset((one.origin, one.destination)), one.minutes)})
        for one in DISTANCES
    )
    return tiny_operation().model_copy(update={"distances": rows})


def own_limit(name: str, value: float) -> Operation:
    row = Constant(name=name, value=value, source="test")
    return tiny_operation().model_copy(update={"constants": (row,)})


def comes(operation: Operation) -> bool:
    there = reach(operation)
    return there.fits(Trip(rig=0, kind=0, origin=HOME, destination=CHERRIES, night=4))


def test_one_pallet_takes_two_hours_and_a_minute_of_duty() -> None:
    there = reach(tiny_operation())
    trip = Trip(rig=0, kind=0, origin=HOME, destination=CHERRIES, night=4)
    times = there.clock(trip)
    assert times is not None
    # Home: 10 + 3 + 15; 36 / 0.9 = 40 out; cherries: 10 + 3; 40 back.
    assert times.duty_min == pytest.approx(28 + 40 + 13 + 40)
    assert there.driving_min(trip) == pytest.approx(80)


@pytest.mark.parametrize(("name", "minutes"), [("fatigue_duty_h", 121), ("fatigue_driving_h", 80)])
def test_a_load_comes_at_a_limit_and_not_a_minute_under_it(name: str, minutes: int) -> None:
    assert comes(own_limit(name, minutes / 60))
    assert not comes(own_limit(name, (minutes - 1) / 60))


def test_the_drivers_own_limit_counts(change: Callable[..., Operation]) -> None:
    assert comes(change(tiny_operation(), "drivers", most_duty_hours=121 / 60))
    assert not comes(change(tiny_operation(), "drivers", most_duty_hours=120 / 60))


def test_a_load_must_be_down_while_it_is_dark(change: Callable[..., Operation]) -> None:
    # 24 April: dark at home 21:10:08, at the cherries until 06:14:40, 544.5 min; work 28 + 13, road / 0.9.
    far = {frozenset((HOME, CHERRIES)): (544.5 - 41 + 1) * 0.9, frozenset((FAR, CHERRIES)): 900.0}
    near = {**far, frozenset((HOME, CHERRIES)): (544.5 - 41 - 1) * 0.9}
    row = Constant(name="fatigue_driving_h", value=24.0, source="test")
    long_days = {"constants": (row, row.model_copy(update={"name": "fatigue_duty_h"}))}
    trip = Trip(rig=0, kind=0, origin=HOME, destination=CHERRIES, night=4)
    times = [reach(with_minutes(way).model_copy(update=long_days)).clock(trip) for way in (far, near)]
    assert [one is None for one in times] == [True, False]


def test_a_way_over_another_place_may_be_shorter() -> None:
    # Straight 400; over Far yard 18 + 49.5 = 67.5.
    detour = with_minutes({frozenset((HOME, CHERRIES)): 400.0})
    assert shortest_ways(read_problem(detour)).roads.minutes(HOME, CHERRIES) == pytest.approx(67.5)
    assert comes(detour)


def test_hives_too_far_for_one_night_may_rest_in_a_yard_between() -> None:
    # Home to the cherries 300 over Far yard: 2 x 300 / 0.9 = 667 min at the wheel, of 540. In two nights
    # with a second truck in Far yard: 2 x 200 / 0.9 = 444, then 2 x 100 / 0.9 = 222.
    minutes = {frozenset((HOME, CHERRIES)): 500.0, frozenset((HOME, FAR)): 200.0,
               frozenset((FAR, CHERRIES)): 100.0}  # fmt: skip
    one_truck = with_minutes(minutes)
    second = one_truck.trucks[0].model_copy(update={"name": "New red", "base": FAR})
    two_trucks = one_truck.model_copy(update={"trucks": (*one_truck.trucks, second)})
    found = [reach(operation) for operation in (one_truck, two_trucks)]
    kinds = [there.kinds(there.problem.promises[CHERRIES], range(3, 8)) for there in found]
    assert kinds == [(), found[1].problem.promises[CHERRIES].kinds]


def test_a_night_needs_dark_hours_and_a_truck_with_a_driver(change: Callable[..., Operation]) -> None:
    nights = range(3, 8)
    assert reach(tiny_operation()).nights(CHERRIES, nights) == (3, 4, 5, 6, 7)
    away = change(tiny_operation(), "drivers", nights_away="2027-04-24")
    assert reach(away).nights(CHERRIES, nights) == (3, 5, 6, 7)
    two = away.model_copy(update={"drivers": (*away.drivers, Driver(name="B", wage_usd_per_hour=1.0,
                                                                    drives="semi"))})  # fmt: skip
    assert reach(two).nights(CHERRIES, nights) == (3, 4, 5, 6, 7)
    assert reach(change(tiny_operation(), "contracts", access="pickup")).nights(CHERRIES, nights) == ()


def test_kinds_are_told_nearest_first() -> None:
    operation = tiny_operation()
    groups = (operation.hive_groups[0], operation.hive_groups[1].model_copy(update={"yard": FAR}))
    problem = read_problem(operation.model_copy(update={"hive_groups": groups}))
    # Home yard is 24 miles away, Far yard 35.
    assert [problem.kinds[kind].group for kind in nearest(problem, CHERRIES, (1, 0))] == ["H1", "L1"]


def test_an_operation_without_places_has_no_ways() -> None:
    empty = {"yards": (), "hive_groups": (), "trucks": (), "gates": (), "distances": (), "axle_groups": ()}
    there = reach(tiny_operation().model_copy(update=empty))
    assert there.nights(CHERRIES, range(10)) == ()


def test_a_distance_known_one_way_only_is_used_that_way() -> None:
    one_way = Distance(origin=HOME, destination=CHERRIES, miles=24.0, minutes=10.0, both_ways=False)
    rows = (one_way, *(one for one in DISTANCES if {one.origin, one.destination} != {HOME, CHERRIES}))
    roads = shortest_ways(read_problem(tiny_operation().model_copy(update={"distances": rows}))).roads
    assert roads.minutes(HOME, CHERRIES) == 10.0
    assert roads.minutes(CHERRIES, HOME) > 10.0
