"""Papers: at hand and valid on the night, ending soon, over, missing, or not known; the cab's list by ratings."""

import datetime as dt

import pytest

from routing.inputs.example import example_operation, example_row
from routing.inputs.rigging import Paper
from routing.loads.on_the_way import counts_on, papers_of, road_limits_on
from routing.loads.papers import cab_list, paper_findings, papers_to_renew

NIGHT = dt.date(2027, 4, 12)


def told(**paper):
    (found,) = paper_findings([Paper(state="Example State", kind="entry permit", **paper)], NIGHT, "it")
    return found


@pytest.mark.parametrize(("paper", "status", "words"), [
    ({}, "unknown", "ask whether it is asked for"),
    ({"asked": "yes"}, "broken", "none is at hand"),
    ({"asked": "no"}, "ok", "not asked for, as you noted"),
    ({"number": "7", "valid_until": NIGHT}, "broken", "last day 2027-04-12"),
    ({"number": "7", "valid_until": dt.date(2027, 4, 13)}, "ok", "ends soon"),
    ({"number": "7", "valid_until": dt.date(2027, 4, 27)}, "ok", "ends soon"),
    ({"number": "7"}, "unknown", "its last day is not in the table"),
    ({"number": "7", "valid_from": dt.date(2027, 4, 13)}, "broken", "valid only from 2027-04-13"),
])  # fmt: skip
def test_a_paper_is_valid_until_the_morning_after_or_it_is_not(paper, status, words):
    found = told(**paper)
    assert found.status == status
    assert words in found.note


def test_a_paper_with_weeks_left_is_not_called_for(placement):
    far = dt.date(2027, 4, 28)
    found = told(number="7", valid_until=far)
    assert (found.status, found.measured) == ("ok", 15.0)
    assert "soon" not in found.note


def test_a_paper_that_ends_soon_is_to_be_renewed():
    last = dt.date(2027, 4, 20)
    rows = ((last, "yes"), (last, "no"), (dt.date(2027, 6, 1), "yes"), (NIGHT, "yes"), (None, "yes"))
    papers = [Paper(state="Example State", kind="entry permit", number="7", valid_until=day, asked=asked) for day, asked in rows]
    assert papers_to_renew(papers, NIGHT) == (
        "Renew the entry permit of Example State, no. 7: its last day is 2027-04-20.",
    )


def test_without_a_row_papers_are_unknown_and_the_kinds_are_named():
    (found,) = paper_findings([], NIGHT, "it")
    assert found.status == "unknown"
    assert "health certificate" in found.note


def test_rows_count_for_the_places_and_nights_that_they_name():
    operation = example_operation()
    paper = example_row("papers").model_copy(update={"places": "Lower pears"})
    thaw = example_row("road_limits").model_copy(update={"counts_from": NIGHT, "counts_until": NIGHT})
    operation = operation.model_copy(update={"papers": (paper,), "road_limits": (thaw,)})
    assert papers_of(operation, {"Home yard"}) == ()
    assert papers_of(operation, {"Home yard", "Lower pears"}) == (paper,)
    assert road_limits_on(operation, NIGHT, {"Home yard"}) == (thaw,)
    assert not counts_on(thaw, NIGHT + dt.timedelta(days=1))


@pytest.mark.parametrize(("rating_lb", "words"), [(26000.0, "ordinary"), (26001.0, "class B")])
def test_a_single_vehicle_asks_for_class_b_from_26001_lb(rig, rating_lb, words):
    """49 CFR 383.5, as J. J. Keller quotes it."""
    assert words in cab_list(rig(gross_rating_lb=rating_lb))[0].what


def test_a_combination_asks_for_class_a(semi):
    assert "class A" in cab_list(semi)[0].what


@pytest.mark.parametrize(("rating_lb", "told"), [(10000.0, False), (10001.0, True)])
def test_a_commercial_vehicle_begins_at_10001_lb(rig, rating_lb, told):
    """49 CFR 390.5, as J. J. Keller quotes it."""
    assert any("medical card" in one.what for one in cab_list(rig(gross_rating_lb=rating_lb))) == told
