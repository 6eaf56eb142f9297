"""Each falsehood about trucks, drivers and decks is caught by its own rule."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.changed_plans import APRIL, sent_twice, with_night, with_row
from fixtures.tiny import tiny_plan
from routing.nights.check import check_plan
from routing.plan_record import Plan

Change = Callable[[Plan], Plan]


def _first_night(plan: Plan, night: dt.date) -> Plan:
    return plan.model_copy(update={"operation": plan.operation.model_copy(update={"first_night": night})})


FALSEHOODS: tuple[tuple[str, Change, str], ...] = (
    (
        "the season begins a day later",
        lambda p: _first_night(p, dt.date(2027, 4, 25)),
        "night of the planning period",
    ),
    (
        "the truck is away",
        lambda p: with_row(p, "trucks", nights_away="2027-05-11, 2027-05-12"),
        "truck available",
    ),
    (
        "the truck comes later in the year",
        lambda p: with_row(p, "trucks", available_from=dt.date(2027, 4, 25)),
        "truck available",
    ),
    (
        "the truck has gone by June",
        lambda p: with_row(p, "trucks", available_until=dt.date(2027, 6, 4)),
        "truck available",
    ),
    ("the driver is away", lambda p: with_row(p, "drivers", nights_away="2027-05-11"), "driver available"),
    ("the driver drives pickups only", lambda p: with_row(p, "drivers", drives="pickup"), "driver able"),
    ("nobody has the driver's name", lambda p: with_night(p, APRIL, driver="X. Nowhere"), "driver able"),
    ("an own driver drives the hired truck", lambda p: with_row(p, "trucks", hired=True), "driver able"),
    ("a truck goes out twice in one night", sent_twice, "one truck-night a truck and night"),
    ("a driver goes out twice in one night", sent_twice, "one truck-night a driver and night"),
    ("helpers are told that are not there", lambda p: with_night(p, APRIL, helpers=2), "helpers"),
    (
        "the lane lets in nothing longer than a pickup with its trailer",
        lambda p: with_row(p, "contracts", access="pickup with trailer"),
        "access",
    ),
    ("the truck is a semi", lambda p: with_row(p, "trucks", vehicle_class="semi"), "access"),
    ("the deck is too short", lambda p: with_row(p, "trucks", deck_length_in=80.0), "room on the deck"),
    ("no pallet fits the deck", lambda p: with_row(p, "trucks", deck_length_in=20.0), "room on the deck"),
    # Four pallets and 16 hives weigh 4 x 42 + 16 x 120 = 2088 lb.
    ("the payload is a pound too small", lambda p: with_row(p, "trucks", payload_lb=2087.0), "payload"),
    (
        "the loader behind the cab takes the payload",
        lambda p: with_row(p, "trucks", lifting_weight_lb=10000.0, lifting_mount="behind cab"),
        "payload",
    ),
)


def _faults(plan: Plan, check: str) -> list[str]:
    return [one.subject for one in check_plan(plan) if one.check == check and one.status == "broken"]


@pytest.mark.parametrize(
    ("change", "check"), [row[1:] for row in FALSEHOODS], ids=[row[0] for row in FALSEHOODS]
)
def test_a_falsehood_about_the_fleet_is_caught_by_its_rule(change: Change, check: str) -> None:
    assert _faults(change(tiny_plan()), check)


def test_the_payload_counts_pallets_and_the_heaviest_hives() -> None:
    # April: 16 hives of 120 lb on 4 pallets of 42 lb; later six loose hives more. Towed gear does not ride,
    # one helper of 200 lb does: 2,288 - 200 = 2,088 = 16 x 120 + 4 x 42.
    findings = check_plan(with_row(tiny_plan(), "trucks", payload_lb=2288.0, lifting_weight_lb=5000.0))
    broken = [one for one in findings if one.check == "payload" and one.status == "broken"]
    assert [one.subject.split(",")[0] for one in broken] == ["2027-05-11 Old blue", "2027-06-05 Old blue"]


def test_a_semi_gets_in_where_a_semi_gets_in() -> None:
    plan = with_row(tiny_plan(), "trucks", vehicle_class="semi")
    for table, index in (("contracts", 0), ("yards", 0)):
        plan = with_row(plan, table, index=index, access="semi")
    assert {subject.split("stop ")[1][2:] for subject in _faults(plan, "access")} == {
        "Late blueberries",
        "Far yard",
    }
