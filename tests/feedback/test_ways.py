"""Ways to plan a truck-night otherwise: each allows less, and only to the truck of that night."""

from dataclasses import replace

from routing.feedback.ways import by_itself, with_fewer_units, with_its_neighbours
from routing.nights.draft import DraftNight, delivered
from routing.nights.problem import Problem

Nights = tuple[DraftNight, ...]
CHERRIES, BLUEBERRIES = "Early cherries", "Late blueberries"


def test_what_the_truck_carries_is_never_more_than_its_deck_takes(tiny: Problem, draft: Nights) -> None:
    fit = {**tiny.rigs[0].fit, 0: 2}
    tried = {way.what: way.task for way in by_itself(tiny, draft, draft[0], fit=fit)}
    assert [*tried] == ["what the truck really carries", "0.8 of that", "0.5 of that", "one drop at a time", "on other trucks"]
    assert [task.problem.rigs[0].fit[0] for task in tried.values()] == [2, 1, 1, 2, tiny.rigs[0].fit[0]]
    assert all(task.fixed == draft[1:] for task in tried.values())
    assert tried["one drop at a time"].most_stops == 2


def test_the_first_place_looked_at_is_where_it_went(tiny: Problem, draft: Nights) -> None:
    for way in by_itself(tiny, draft, draft[0], fit=tiny.rigs[0].fit):
        assert [slot.was for slot in way.task.slots][:1] == [draft[0]]
        assert all(slot.was is None for slot in way.task.slots[1:])


def test_a_truck_that_carries_none_of_it_is_not_asked_again(tiny: Problem, draft: Nights) -> None:
    nothing = dict.fromkeys(tiny.rigs[0].fit, 0)
    assert [way.what for way in by_itself(tiny, draft, draft[0], fit=nothing)] == ["on other trucks"]
    assert list(with_fewer_units(tiny, draft, draft[2], fit=nothing)) == [draft[:2]]


def test_a_night_of_two_orchards_may_leave_out_either(tiny: Problem, draft: Nights) -> None:
    tried = {way.what: way.task for way in by_itself(tiny, draft, draft[1], fit=tiny.rigs[0].fit)}
    for name in (CHERRIES, BLUEBERRIES):
        assert tiny.rigs[0].places - tried[f"not to {name}"].problem.rigs[0].places == {name}
    assert tiny.rigs[0].places - tried["on other trucks"].problem.rigs[0].places == {CHERRIES, BLUEBERRIES}


def test_neighbours_share_an_orchard_and_are_not_done(tiny: Problem, draft: Nights) -> None:
    fit = tiny.rigs[0].fit
    assert {way.task.fixed for way in with_its_neighbours(tiny, draft, draft[0], fit=fit)} == {draft[2:]}
    begun = replace(tiny, next_night=draft[1].night)
    assert {way.task.fixed for way in with_its_neighbours(begun, draft, draft[1], fit=fit)} == {draft[:1]}
    assert list(with_its_neighbours(tiny, draft[:1], draft[0], fit=fit)) == []


def test_fewer_units_are_one_two_half_and_all_of_a_kind_and_nothing(tiny: Problem, draft: Nights) -> None:
    fewer = list(with_fewer_units(tiny, draft[:1], draft[0], fit=tiny.rigs[0].fit))
    assert [sum(delivered(nights, CHERRIES).values()) for nights in fewer] == [3, 2, 0, 0]
