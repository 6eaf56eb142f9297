"""What is said of loads that no deck plan carries: only where a promise suffers, and never over what is proven."""

import datetime as dt

from routing.feedback.taken_out import TakenOut, told_why
from routing.finding import Finding
from routing.loads.load import Load
from routing.loads.solve import BETTER
from routing.plan_record import Unkept

ROW = Unkept(contract="Cherries", kind="short", colonies=16, cost_usd=100.0, reason="Short.", remedies=("More.",), proven=False)


def broken(check, **figures):
    return Finding(check=check, subject="T", status="broken", force="advice", source="s", **figures)


def load(*findings):
    return Load(truck_night="T", number=1, truck="Wren", night=dt.date(2027, 5, 3), hives=16, placements=(), top_of_load_in=0.0,
                straps_needed=0, straps_available=0, states=(), rehandled=0, findings=findings)  # fmt: skip


SHARE = broken("most share of the trailer on the coupling", measured=0.1674, limit=0.15, unit="share")
PROVEN = broken(BETTER, note="proven: wherever its units stand, no deck plan keeps every weight limit")
OUT = TakenOut((load(SHARE, PROVEN, broken("tie-downs", measured=1.0, limit=2.0)),), frozenset({"Cherries"}))


def test_the_reason_names_load_night_and_limit_with_its_proof():
    (row,) = told_why([ROW], [OUT], frozenset({"Cherries"}))
    assert row.reason == (
        "Short. No deck plan was found that carries 16 hives on Wren on the night of 3 May 2027 as planned: most share of the "
        "trailer on the coupling (0.1674 for 0.15 share) (proven: wherever its units stand, no deck plan keeps every weight "
        "limit)."
    )
    assert row.remedies[0] == "More."
    assert "another truck or trailer than Wren" in row.remedies[1]


def test_a_promise_that_lost_nothing_by_it_is_told_as_before():
    assert told_why([ROW], [OUT], frozenset()) == (ROW,)
    assert told_why([ROW], [], frozenset()) == (ROW,)


def test_what_no_plan_can_keep_has_its_own_proof():
    proven = ROW.model_copy(update={"proven": True})
    assert told_why([proven], [OUT], frozenset({"Cherries"})) == (proven,)


def test_hives_that_were_to_come_on_from_there_are_told_so():
    (row,) = told_why([ROW.model_copy(update={"contract": "Squash"})], [OUT], frozenset({"Squash"}))
    assert "Its hives hang on a truck-night that could not go as planned." in row.reason


def test_of_many_limits_the_first_are_named_and_the_rest_counted():
    many = load(*(broken(f"limit {number}") for number in range(5)))
    (row,) = told_why([ROW], [TakenOut((many,), frozenset({"Cherries"}))], frozenset({"Cherries"}))
    assert "limit 0, limit 1 and limit 2 and 2 more." in row.reason
