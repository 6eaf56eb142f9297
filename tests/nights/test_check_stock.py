"""Each falsehood about lots, stock, pallets and yards is caught by its own rule."""

from collections.abc import Callable

import pytest

from fixtures.changed_plans import (
    APRIL,
    JUNE,
    MAY,
    carried_on,
    sent_twice,
    with_lot,
    with_night,
    with_row,
    with_stop,
)
from fixtures.tiny import tiny_plan
from routing.nights.check import check_plan
from routing.plan_record import Plan

Change = Callable[[Plan], Plan]


def _without_first_load(plan: Plan) -> Plan:
    return plan.model_copy(update={"loads": plan.loads[1:]})


def _without_april(plan: Plan) -> Plan:
    return plan.model_copy(update={"truck_nights": plan.truck_nights[MAY:]})


FALSEHOODS: tuple[tuple[str, Change, str], ...] = (
    ("a lot never leaves", lambda p: with_stop(p, (APRIL, 1), picked_up=()), "lots picked up and set down"),
    ("a lot never arrives", lambda p: with_stop(p, (APRIL, 2), set_down=()), "lots picked up and set down"),
    (
        "a lot arrives with a hive more",
        lambda p: with_stop(
            p,
            (MAY, 3),
            set_down=(
                p.truck_nights[MAY].stops[3].set_down[0].model_copy(update={"hives": 7}),
                p.truck_nights[MAY].stops[3].set_down[1],
            ),
        ),
        "lots picked up and set down",
    ),
    (
        "a lot says another origin",
        lambda p: with_lot(p, MAY, letter="B", origin="Home yard"),
        "lots picked up and set down",
    ),
    (
        "a lot says another destination",
        lambda p: with_lot(p, JUNE, letter="A", destination="Home yard"),
        "lots picked up and set down",
    ),
    ("a lot has another purpose", lambda p: with_lot(p, MAY, letter="B", purpose="in"), "purpose of a lot"),
    ("the group may not travel", lambda p: with_row(p, "hive_groups", may_travel=False), "group may travel"),
    ("a hive too many is taken", lambda p: with_lot(p, MAY, letter="A", hives=7), "hives are there"),
    ("the same hives are taken twice", sent_twice, "hives are there"),
    ("hives are taken on that never came", _without_april, "hives are there"),
    (
        "the hives stand in another yard",
        lambda p: with_row(p, "hive_groups", yard="Far yard"),
        "hives are there",
    ),
    ("a hive is moved twice in a night", carried_on, "one move a hive and night"),
    ("a pallet is a hive short", lambda p: with_lot(p, APRIL, letter="A", hives=15), "pallets whole"),
    ("hives ride on a pallet too many", lambda p: with_lot(p, APRIL, letter="A", pallets=5), "pallets whole"),
    (
        "loose hives are said to ride on pallets",
        lambda p: with_lot(p, MAY, letter="A", pallets=1),
        "pallets whole",
    ),
    (
        "the yard has room for one hive less",
        lambda p: with_row(p, "yards", index=1, capacity_hives=15),
        "room in the yard",
    ),
    ("hives have no place on the deck", _without_first_load, "deck plan for every hive"),
)


def _broken(plan: Plan) -> set[str]:
    return {finding.check for finding in check_plan(plan) if finding.status == "broken"}


@pytest.mark.parametrize(
    ("change", "check"), [row[1:] for row in FALSEHOODS], ids=[row[0] for row in FALSEHOODS]
)
def test_a_falsehood_about_hives_is_caught_by_its_rule(change: Change, check: str) -> None:
    assert check in _broken(change(tiny_plan()))


def test_a_yard_just_large_enough_is_large_enough() -> None:
    assert _broken(with_row(tiny_plan(), "yards", index=1, capacity_hives=16)) == set()


def test_a_yard_too_full_from_the_start_is_not_the_plans_fault_until_it_brings_more() -> None:
    # Home yard holds 30 at first; in June six come back to the eight that stayed: 14.
    assert _broken(with_row(tiny_plan(), "yards", capacity_hives=14)) == set()
    assert _broken(with_row(tiny_plan(), "yards", capacity_hives=13)) == {"room in the yard"}


def test_the_last_pallet_of_a_group_may_carry_fewer_hives() -> None:
    # Fifteen hives stand on four pallets: 4 + 4 + 4 + 3.
    plan = with_row(tiny_plan(), "hive_groups", hives=15)
    for index, letter in ((APRIL, "A"), (MAY, "B"), (JUNE, "A")):
        plan = with_lot(plan, index, letter=letter, hives=15)
    assert "pallets whole" not in _broken(plan)
    assert "hives are there" not in _broken(plan)
    assert "pallets whole" in _broken(with_lot(plan, APRIL, letter="A", hives=14))


def test_the_short_pallet_is_one_and_cannot_be_taken_twice() -> None:
    # Of fifteen hives on 4 + 4 + 4 + 3, two lots of one pallet with three hives each leave 9 on 2 pallets.
    plan = with_row(tiny_plan(), "hive_groups", hives=15)
    night = with_lot(plan, APRIL, letter="A", hives=3, pallets=1).truck_nights[APRIL]
    up, down = night.stops[1], night.stops[2]
    second = up.picked_up[0].model_copy(update={"lot": "B"})
    twice = with_night(
        plan,
        APRIL,
        stops=(
            night.stops[0],
            up.model_copy(update={"picked_up": (*up.picked_up, second)}),
            down.model_copy(update={"set_down": (*down.set_down, second)}),
            night.stops[3],
        ),
    )
    faults = [
        one.subject for one in check_plan(twice) if one.check == "pallets whole" and one.status == "broken"
    ]
    assert "H1 at Home yard, night of 2027-04-24" in faults
