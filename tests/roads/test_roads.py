"""The road table: the user's rows first, then a road graph if there is one, then the estimate."""

import datetime as dt
from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.inputs.operation import Distance, Operation
from routing.inputs.places import Place, places
from routing.inputs.yard import Yard
from routing.roads.leg import Leg, RoadProvider
from routing.roads.roads import Roads, join_roads, road_table

COORDINATES = {"Home": (44.0, -90.0), "Hill": (44.2, -90.1), "Marsh": (44.1, -90.5)}


class OneWayGraph:
    """A road graph that knows a single way."""

    def legs(self, places: Sequence[Place]) -> Mapping[tuple[str, str], Leg]:
        return {("Home", "Hill"): Leg(16.0, 25.0, "a road graph")}


def test_a_pair_that_is_not_in_the_table_is_estimated_and_says_so() -> None:
    roads = road_table(operation())
    assert roads.basis("Home", "Hill").startswith("estimated")
    assert roads.miles("Home", "Hill") > 14.0  # 0.2 degrees of latitude are 13.8 miles


def test_the_users_own_row_is_believed_in_its_direction() -> None:
    roads = road_table(operation(row("Home", "Hill", 19.0, 31.0, both_ways=False)))
    assert (roads.miles("Home", "Hill"), roads.minutes("Home", "Hill")) == (19.0, 31.0)
    assert roads.basis("Home", "Hill") == "your own table"
    assert roads.basis("Hill", "Home").startswith("estimated")


def test_a_row_for_both_ways_holds_for_the_way_back() -> None:
    roads = road_table(operation(row("Home", "Hill", 19.0, 31.0)))
    assert (roads.miles("Hill", "Home"), roads.minutes("Hill", "Home")) == (19.0, 31.0)
    assert roads.basis("Hill", "Home") == "your own table, the way back"


@pytest.mark.parametrize("order", [1, -1])
def test_a_row_of_its_own_counts_before_the_way_back_of_another(order: int) -> None:
    rows = [row("Home", "Hill", 19.0, 31.0), row("Hill", "Home", 23.0, 36.0, both_ways=False)]
    roads = road_table(operation(*rows[::order]))
    assert (roads.miles("Home", "Hill"), roads.miles("Hill", "Home")) == (19.0, 23.0)


def test_a_road_graph_is_believed_after_the_users_rows_and_before_the_estimate() -> None:
    graph: RoadProvider = OneWayGraph()
    assert road_table(operation(), providers=[graph]).miles("Home", "Hill") == 16.0
    assert road_table(operation(), providers=[graph]).basis("Hill", "Home").startswith("estimated")
    own = operation(row("Home", "Hill", 19.0, 31.0))
    assert road_table(own, providers=[graph]).miles("Home", "Hill") == 19.0


def test_a_place_is_no_way_from_itself_even_when_the_user_says_so() -> None:
    roads = road_table(operation(row("Home", "Home", 5.0, 9.0)))
    assert (roads.miles("Home", "Home"), roads.minutes("Home", "Home")) == (0.0, 0.0)


def test_a_row_about_an_unknown_place_changes_nothing() -> None:
    assert road_table(operation(row("Home", "Nowhere", 5.0, 9.0))) == road_table(operation())


def test_asking_for_an_unknown_place_names_it() -> None:
    with pytest.raises(LookupError, match="Nowhere"):
        road_table(operation()).miles("Home", "Nowhere")


def test_providers_that_leave_a_way_out_are_refused() -> None:
    with pytest.raises(LookupError, match="No way is known from 'Home' to 'Marsh'"):
        join_roads(tuple(places(operation()).values()), [OneWayGraph()])


def test_an_operation_without_places_has_an_empty_table() -> None:
    assert road_table(operation(yards=())) == Roads((), (), (), ())


@given(miles=st.floats(0.0, 500.0), minutes=st.floats(0.0, 900.0), both_ways=st.booleans())
def test_whatever_the_row_says_every_other_pair_keeps_its_estimate(
    miles: float, minutes: float, both_ways: bool
) -> None:
    plain, own = (
        road_table(operation()),
        road_table(operation(row("Home", "Hill", miles, minutes, both_ways))),
    )
    for a, b in [("Home", "Marsh"), ("Marsh", "Home"), ("Hill", "Marsh"), ("Marsh", "Hill")]:
        assert own.miles(a, b) == plain.miles(a, b)
    assert own.miles("Home", "Hill") == miles
    assert own.minutes("Home", "Hill") == minutes


def row(origin: str, destination: str, miles: float, minutes: float, both_ways: bool = True) -> Distance:
    return Distance(origin=origin, destination=destination, miles=miles, minutes=minutes, both_ways=both_ways)


def operation(*distances: Distance, yards: Sequence[str] = tuple(COORDINATES)) -> Operation:
    return Operation(
        name="Roads",
        time_zone="America/Chicago",
        first_night=dt.date(2027, 4, 1),
        last_night=dt.date(2027, 4, 30),
        distances=distances,
        yards=tuple(
            Yard(
                name=name,
                latitude_deg=COORDINATES[name][0],
                longitude_deg=COORDINATES[name][1],
                access="semi",
                capacity_hives=10,
            )
            for name in yards
        ),
    )
