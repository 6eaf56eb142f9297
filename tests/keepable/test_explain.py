"""What the user is told of promises not kept: proven where it is proven, and never an exception."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.keepable.explain import explain_impossible, unkept
from routing.nights.draft import DraftNight, DraftStop
from routing.nights.problem import read_problem
from routing.plan_record import Unkept

HOME, FAR, CHERRIES, BLUEBERRIES = "Home yard", "Far yard", "Early cherries", "Late blueberries"
Change = Callable[..., Operation]
Draft = tuple[DraftNight, ...]


def only(rows: tuple[Unkept, ...], name: str, kind: str = "short") -> Unkept:
    found = [row for row in rows if (row.contract, row.kind) == (name, kind)]
    assert len(found) == 1
    return found[0]


def test_lantern_hill_is_proven_to_lack_twelve_colonies() -> None:
    rows = explain_impossible(demo_operation())
    assert [(row.contract, row.kind, row.colonies, row.proven) for row in rows] == [
        ("Lantern Hill sweets", "short", 12, True)
    ]
    # 12 x (88 fee + 10 penalty).
    assert rows[0].cost_usd == 1176.0
    assert "wants 24 colonies with an average of 10 frames or more" in rows[0].reason
    assert "only 12 such hives can be had (BX: 10.8 frames)" in rows[0].reason
    assert rows[0].reason.endswith("No plan can deliver more than 12.")


def test_more_missing_than_is_proven_is_not_called_proven() -> None:
    row = only(unkept(read_problem(demo_operation())), "Lantern Hill sweets")
    assert (row.colonies, row.proven) == (24, False)
    assert "At least 12 must be missing whatever the plan" in row.reason
    assert "No plan was found that brings the other 12 colonies" in row.reason
    may = "not certain, but may help: one more truck-night on 23 to 26 April 2027, beside the 0 planned"
    assert any(told.startswith(may) for told in row.remedies)


def test_a_promise_that_could_be_kept_is_never_called_proven() -> None:
    row = only(unkept(read_problem(tiny_operation())), CHERRIES)
    assert (row.colonies, row.proven) == (16, False)
    assert "that there is none is not proven" in row.reason


def test_the_tiny_plan_lacks_two_colonies_of_blueberries_and_no_plan_does_better(tiny_draft: Draft) -> None:
    rows = unkept(read_problem(tiny_operation()), tiny_draft)
    assert [(row.contract, row.colonies, row.proven) for row in rows] == [(BLUEBERRIES, 2, True)]
    assert "only 22 such hives can be had (H1: 8.7 frames and L1: 8.4 frames)" in rows[0].reason


def test_colonies_wanted_in_two_orchards_at_once_are_told_for_both_together(change: Change) -> None:
    # 16 and 8 in the same nights, of 22 hives: 2 must be missing, here or there.
    together = change(tiny_operation(), "contracts", BLUEBERRIES, colonies=8, in_from=dt.date(2027, 4, 23),
                      in_until=dt.date(2027, 4, 26), over_delivery="taken unpaid")  # fmt: skip
    assert explain_impossible(together) == ()
    stops = (DraftStop(HOME, picked_up=((0, 4), (1, 6))), DraftStop(CHERRIES, set_down=((0, 4),)),
             DraftStop(BLUEBERRIES, set_down=((1, 6),)))  # fmt: skip
    row = only(unkept(read_problem(together), (DraftNight(0, 4, stops),)), BLUEBERRIES)
    assert (row.colonies, row.proven) == (2, False)
    assert f"{CHERRIES} and {BLUEBERRIES} all hold their hives on the night of 27 April 2027" in row.reason
    assert "at least 2 must be missing among them, and no more are in this plan: 2 of them here" in row.reason
    # L1 (8.4 frames, loose) is nearest in strength to what the weaker contract asks for.
    assert row.remedies[0].endswith(f"none of them under 6 frames, for {CHERRIES} and {BLUEBERRIES} together")
    assert row.remedies[0].startswith("2 more colonies")


def test_hives_late_because_no_truck_is_there_in_time_are_proven_late(change: Change) -> None:
    late_truck = change(tiny_operation(), "trucks", available_from=dt.date(2027, 4, 27))
    stops = (DraftStop(HOME, picked_up=((0, 4),)), DraftStop(CHERRIES, set_down=((0, 4),)))
    draft = (DraftNight(0, 7, stops),)
    row = only(unkept(read_problem(late_truck), draft), CHERRIES, "late")
    # 16 hives, one night, 5 each.
    assert (row.colonies, row.cost_usd, row.proven) == (16, 80.0, True)
    assert "No plan can deliver any in time: no truck that gets in (Old blue) is at hand" in row.reason
    later = "a last night in time 1 night later, 27 April 2027"
    assert row.remedies == (f"{later}: no hive of this plan is then late",)
    could = only(unkept(read_problem(tiny_operation()), draft), CHERRIES, "late")
    assert (could.proven, len(could.remedies)) == (False, 2)


def test_a_weak_lot_is_proven_weak_when_no_choice_is_stronger(change: Change, tiny_draft: Draft) -> None:
    def row(average: float) -> Unkept:
        terms = {"min_average_frames": average, "weak_usd_per_frame": 1.0}
        weak = change(tiny_operation(), "contracts", CHERRIES, **terms)
        return only(unkept(read_problem(weak), tiny_draft), CHERRIES, "weak")

    # H1 counts for 8.74 and is the strongest: 9 is out of reach.
    assert row(9.0).proven
    assert "No plan can bring any with that average." in row(9.0).reason
    assert row(9.0).remedies[-1].startswith("a least average of 8.5 frames in place of 9 frames")


def test_a_weak_lot_is_not_proven_weak_when_stronger_hives_stand_elsewhere(change: Change) -> None:
    weak = change(tiny_operation(), "contracts", CHERRIES, min_average_frames=8.5, weak_usd_per_frame=1.0,
                  colonies=6)  # fmt: skip
    stops = (DraftStop(HOME, picked_up=((1, 6),)), DraftStop(CHERRIES, set_down=((1, 6),)))
    row = only(unkept(read_problem(weak), (DraftNight(0, 4, stops),)), CHERRIES, "weak")
    # 6 x (8.5 - 8.4); two pallets of H1 would do.
    assert (row.colonies, row.cost_usd, row.proven) == (6, 0.6, False)


def test_hives_left_in_are_proven_so_when_no_truck_can_come(change: Change, tiny_draft: Draft) -> None:
    gone = change(tiny_operation(), "trucks", available_until=dt.date(2027, 5, 20))
    row = only(unkept(read_problem(gone), tiny_draft[:2]), BLUEBERRIES, "not taken out in time")
    assert (row.colonies, row.proven) == (22, True)
    assert "No plan can take any out in time: no truck that gets in (Old blue)" in row.reason
    could = only(unkept(read_problem(tiny_operation()), tiny_draft[:2]), BLUEBERRIES, "not taken out in time")
    assert not could.proven


def test_an_orchard_that_can_be_filled_but_not_emptied_is_proven_unkeepable(change: Change) -> None:
    gone = change(tiny_operation(), "trucks", available_until=dt.date(2027, 5, 1))
    row = only(explain_impossible(gone), CHERRIES)
    assert (row.colonies, row.proven) == (16, True)
    assert "hives brought there could not be taken out in time: no truck that gets in" in row.reason
    assert row.reason.endswith("No plan can both bring colonies and take them out in time.")


ODD: tuple[tuple[str, dict[str, object], str], ...] = (
    ("no truck", {"trucks": (), "axle_groups": (), "tie_downs": ()}, "there is no truck"),
    ("no driver", {"drivers": ()}, "no driver is able to drive Old blue (a straight truck)"),
    ("no hives", {"hive_groups": ()}, "no group of hives that may travel and is strong enough"),
    ("no gate", {"gates": ()}, "no gate is known"),
    ("season past", {"first_night": dt.date(2027, 7, 1), "last_night": dt.date(2027, 7, 30)},
     "its nights, 23 to 27 April 2027, lie outside the season planned, 1 to 30 July 2027"),
    ("season before", {"first_night": dt.date(2027, 1, 1), "last_night": dt.date(2027, 2, 1)},
     "lie outside the season planned"),
    ("nothing at all", {"yards": (), "hive_groups": (), "trucks": (), "axle_groups": (), "tie_downs": (),
                        "distances": (), "drivers": (), "pallets": ()}, "there is no truck"),
)  # fmt: skip
CHANGED: tuple[tuple[str, tuple[str, dict[str, object]], str], ...] = (
    ("driver of a pickup", ("drivers", {"drives": "pickup"}), "no driver is able to drive Old blue"),
    ("orchard narrow", ("contracts", {"access": "pickup"}),
     "it lets in nothing larger than a pickup, and Old blue is a straight truck"),
    ("yard narrow", ("yards", {"access": "pickup"}),
     "Home yard lets in nothing larger than a pickup, too small for Old blue"),
    ("deck too small", ("trucks", {"deck_length_in": 20.0, "deck_width_in": 10.0}),
     "not one pallet of H1 fits on Old blue"),
    ("hives stay", ("hive_groups", {"may_travel": False}), "no group of hives that may travel"),
    ("truck away", ("trucks", {"available_until": dt.date(2027, 4, 22)}),
     "is at hand with a driver on a dark night"),
    ("driver away", ("drivers", {"nights_away": ", ".join(f"2027-04-{day}" for day in range(23, 28))}),
     "is at hand with a driver on a dark night"),
    ("far roads", ("distances", {"minutes": 400.0}),
     "takes 14 h 49 min at the wheel, and a driver may do 9 h 00 min"),
    ("short duty", ("drivers", {"most_duty_hours": 1.5}),
     "takes 2 h 01 min on duty, and a driver may do 1 h 30 min"),
    ("gate shut", ("contracts", {"open_from": dt.time(23, 59), "open_until": dt.time(0, 0)}),
     "hours in which both places may be served leave no room for one load from Home yard to Early cherries"),
)  # fmt: skip


def assert_impossible(operation: Operation, why: str) -> None:
    rows = explain_impossible(operation)
    row = only(rows, CHERRIES)
    assert why in row.reason
    assert (row.colonies, row.cost_usd, row.proven) == (16, 1200.0, True)
    # Told before planning or after, the row is the same.
    assert only(unkept(read_problem(operation)), CHERRIES) == row


@pytest.mark.parametrize(("values", "why"), [odd[1:] for odd in ODD], ids=[odd[0] for odd in ODD])
def test_an_operation_without_what_it_needs_gets_reasons(values: dict[str, object], why: str) -> None:
    assert_impossible(tiny_operation().model_copy(update=values), why)


@pytest.mark.parametrize(("row", "why"), [odd[1:] for odd in CHANGED], ids=[odd[0] for odd in CHANGED])
def test_an_operation_with_something_unfit_gets_reasons(
    change: Change, row: tuple[str, dict[str, object]], why: str
) -> None:
    assert_impossible(change(tiny_operation(), row[0], **row[1]), why)


def test_a_northern_midsummer_without_nights_gets_reasons(change: Change) -> None:
    # At 69.5 N the sun's centre is never 6 deg down from early May on.
    north = change(change(tiny_operation(), "gates", latitude_deg=69.5), "yards", latitude_deg=69.0)
    row = only(explain_impossible(north), BLUEBERRIES)
    assert "the sun does not go down far enough there for a night to be dark, 10 to 14 May 2027" in row.reason
    assert (row.colonies, row.proven) == (24, True)


def in_june(change: Change, latitude_deg: float, first: int, last: int, **values: object) -> Operation:
    """Return the tiny operation far north, its cherries wanted in June and hives staying there."""
    north = change(tiny_operation(), "gates", latitude_deg=latitude_deg)
    north = change(north, "yards", latitude_deg=latitude_deg)
    stay = {"petal_fall_on": None, "out_from": None, "out_until": None, "spray_on": None}
    dates = {"late_nights_allowed": 0, "in_from": dt.date(2027, 6, first), "in_until": dt.date(2027, 6, last)}
    return change(north, "contracts", CHERRIES, **stay, **dates, **values)


def test_a_night_too_short_for_one_load_is_told_in_hours(change: Change) -> None:
    row = only(explain_impossible(in_june(change, 61.2, 5, 5)), CHERRIES)
    # Home: 10 + 3 + 15; 36 / 0.9 = 40 min; 10 + 3 in the orchard: 81 min. Dark from 01:16 for 53 min.
    load = "to load, drive and set down one load from Home yard to Early cherries takes Old blue 1 h 21 min"
    assert f"{load}, and the night has 53 min" in row.reason
    # 80 min on 3 June do for a loose hive, not for a pallet; on 2 June it is dark for some 91.
    assert row.remedies == ("a window 3 nights longer, in from 2 June 2027",)


def test_a_gate_shut_before_the_late_dusk_is_told(change: Change) -> None:
    # At 60 N dusk comes at 00:38 on 8 June.
    row = only(explain_impossible(in_june(change, 60.0, 8, 9, open_until=dt.time(0, 0))), CHERRIES)
    why = "8 to 9 June 2027 has no dark hour in which its gate is open (until 00:00 in the morning)"
    assert why in row.reason
    assert row.remedies[0] == f"{CHERRIES} open to trucks from dusk to dawn"


def test_an_operation_without_contracts_breaks_no_promise() -> None:
    empty = tiny_operation().model_copy(update={"contracts": (), "gates": (), "blocks": (), "drops": ()})
    assert explain_impossible(empty) == unkept(read_problem(empty)) == ()
