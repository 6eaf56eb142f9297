"""A promise that roads keep every truck from: why, and what would make it keepable."""

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.inputs.ways import ClosedPlace
from routing.keepable.offers_access import access_offers
from routing.keepable.offers_roads import closed_to_one_more, ways_found
from routing.plan import make_plan

CLOSED = ClosedPlace(truck="Old blue", place="Early cherries", why="bridge of 3 short tons on the only road")


def closed(*rows: ClosedPlace) -> Operation:
    return tiny_operation().model_copy(update={"closed_places": rows})


def test_no_truck_is_sent_where_roads_keep_it_out_and_the_reason_is_told() -> None:
    plan = make_plan(closed(CLOSED), seconds=5.0, steps=1)
    assert "Early cherries" not in {stop.place for night in plan.truck_nights for stop in night.stops}
    (unkept,) = [one for one in plan.unkept if one.contract == "Early cherries"]
    assert "Old blue cannot get to Early cherries and back: bridge of 3 short tons on the only road" in unkept.reason
    assert any("a way by road for Old blue to Early cherries and back" in remedy for remedy in unkept.remedies)
    assert not any("one more truck" in remedy for remedy in unkept.remedies)


def test_one_more_truck_is_kept_out_only_of_what_every_truck_is() -> None:
    two = closed(CLOSED).model_copy(update={"trucks": (*tiny_operation().trucks, _red())})
    assert closed_to_one_more(two, "new") == (CLOSED,)
    both = two.model_copy(update={"closed_places": (CLOSED, CLOSED.model_copy(update={"truck": "Old red"}))})
    assert [(row.truck, row.place) for row in closed_to_one_more(both, "new")][2:] == [("new", "Early cherries")]


def test_a_way_found_takes_away_the_one_row_that_it_is_about() -> None:
    far = CLOSED.model_copy(update={"place": "Late blueberries"})
    ((words, operation),) = ways_found(closed(CLOSED, far), "Early cherries")
    assert words == "a way by road for Old blue to Early cherries and back"
    assert operation.closed_places == (far,)


def test_without_closed_places_no_way_is_offered() -> None:
    assert not any("a way by road" in words for words in access_offers(tiny_operation(), "Early cherries"))


def _red():
    return tiny_operation().trucks[0].model_copy(update={"name": "Old red"})
