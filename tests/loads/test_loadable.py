"""What a truck really carries of one kind: found by planning the deck, not by counting places."""

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.rigging import RoadLimit
from routing.loads.capacity import units_that_fit
from routing.loads.loadable import numbers_to_try, units_that_ride

TINY = tiny_operation()


def rated(rear_lb):
    steer, rear = TINY.axle_groups
    return TINY.model_copy(update={"axle_groups": (steer, rear.model_copy(update={"rating_lb": rear_lb}))})


@pytest.mark.parametrize(("rear_lb", "rides"), [(17500.0, 12), (7000.0, 2), (6400.0, 0)])
def test_the_axles_say_how_many_pallets_ride(rear_lb, rides):
    # 60 + 18.5 in: a row at the headboard puts 78.5 / 190 = 0.413 of its weight on the rear axle, the next (115.5) 0.608.
    # 600 lb are left at 7,000: two pallets of 522 lb put 431 lb there, a third 317 lb more.
    operation, most = rated(rear_lb), units_that_fit(TINY, TINY.trucks[0], TINY.hive_groups[0])
    found = units_that_ride(operation, "Old blue", "H1", most=most)
    assert (most, found) == (12, rides)


def test_a_listed_height_counts_where_it_stands():
    low = RoadLimit(where="underpass", kind="height", value=60.0, source="the sign")
    assert units_that_ride(TINY, "Old blue", "H1", most=4) == 4
    assert units_that_ride(TINY, "Old blue", "H1", most=4, road_limits=(low,)) == 0


def test_nothing_fits_and_so_nothing_rides():
    assert units_that_ride(TINY, "Old blue", "H1", most=0) == 0


def test_numbers_go_down_one_by_one_and_then_by_halves():
    assert numbers_to_try(4) == [4, 3, 2]
    assert numbers_to_try(1) == []
    assert numbers_to_try(101) == [101, 100, 99, 49, 24, 12, 6, 3]
