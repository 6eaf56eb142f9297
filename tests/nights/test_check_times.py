"""Each falsehood about miles, minutes or hours is caught by its own rule."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.changed_plans import (
    APRIL,
    FIVE_MIN,
    JUNE,
    MAY,
    shifted,
    with_night,
    with_row,
    with_stop,
)
from fixtures.tiny import tiny_plan
from routing.inputs.operation import Constant
from routing.nights.check import check_plan
from routing.plan_record import Plan

Change = Callable[[Plan], Plan]


def _at(index: int, number: int, field: str) -> dt.datetime:
    return getattr(tiny_plan().truck_nights[index].stops[number], field)


def _told(plan: Plan, **fields: object) -> Plan:
    return plan.model_copy(update={"windows": (plan.windows[0].model_copy(update=fields), *plan.windows[1:])})


def _own(plan: Plan, name: str, *, value: float) -> Plan:
    row = Constant(name=name, value=value, source="invented for a test")
    return plan.model_copy(update={"operation": plan.operation.model_copy(update={"constants": (row,)})})


# Each row: what is made false, how, and the rule that must say so. Others may say so too: an hour changed is
# also a wage changed.
FALSEHOODS: tuple[tuple[str, Change, str], ...] = (
    (
        "a stop is reached five minutes early",
        lambda p: with_stop(p, (APRIL, 2), arrive=_at(APRIL, 2, "arrive") - FIVE_MIN),
        "time to drive",
    ),
    (
        "a stop is left five minutes early",
        lambda p: with_stop(p, (MAY, 2), leave=_at(MAY, 2, "leave") - FIVE_MIN),
        "time to work",
    ),
    (
        "loading begins before dusk is over",
        lambda p: shifted(p, APRIL, by=-dt.timedelta(minutes=2)),
        "work in the dark hours",
    ),
    (
        "hives are set down after dawn",
        lambda p: shifted(p, APRIL, by=dt.timedelta(hours=7, minutes=30), start=2),
        "work in the dark hours",
    ),
    ("a stop lacks a mile", lambda p: with_stop(p, (JUNE, 2), miles=29.0), "road miles"),
    ("the first stop has a mile", lambda p: with_stop(p, (JUNE, 0), miles=1.0), "road miles"),
    (
        "a stop lacks a minute of driving",
        lambda p: with_stop(p, (JUNE, 2), drive_min=49.0),
        "driving minutes",
    ),
    ("the sum of miles is too low", lambda p: with_night(p, JUNE, miles=69.0), "sums of a truck-night"),
    (
        "the sum of driving is too low",
        lambda p: with_night(p, JUNE, driving_min=114.0),
        "sums of a truck-night",
    ),
    ("the sum of duty is too low", lambda p: with_night(p, JUNE, duty_min=201.0), "sums of a truck-night"),
    (
        "the truck does not come home",
        lambda p: with_night(p, APRIL, stops=p.truck_nights[APRIL].stops[:3]),
        "order of stops",
    ),
    ("the truck starts elsewhere", lambda p: with_row(p, "trucks", base="Far yard"), "order of stops"),
    ("stops are numbered wrong", lambda p: with_stop(p, (APRIL, 2), number=3), "order of stops"),
    ("an orchard is called a yard", lambda p: with_stop(p, (APRIL, 2), kind="yard"), "order of stops"),
    ("a stop in between is called a base", lambda p: with_stop(p, (APRIL, 1), kind="base"), "order of stops"),
    (
        "a stop is left before it is reached",
        lambda p: with_stop(p, (APRIL, 2), leave=_at(APRIL, 2, "arrive") - FIVE_MIN),
        "order of stops",
    ),
    (
        "times are told in another zone",
        lambda p: with_stop(p, (APRIL, 2), arrive=_at(APRIL, 2, "arrive").astimezone(dt.UTC)),
        "time zone of a stop",
    ),
    (
        "the truck comes before the gate opens",
        lambda p: with_row(p, "contracts", open_from=dt.time(22, 30)),
        "opening hours",
    ),
    (
        "the truck stays after the gate is shut in the evening",
        lambda p: with_row(p, "contracts", open_until=dt.time(22, 45)),
        "opening hours",
    ),
    (
        "the truck stays after the gate is shut in the morning",
        lambda p: with_row(p, "contracts", index=1, open_until=dt.time(0, 30)),
        "opening hours",
    ),
    (
        "the driver may work three hours only",
        lambda p: with_row(p, "drivers", most_duty_hours=3.0),
        "duty in one night",
    ),
    ("the user allows three hours only", lambda p: _own(p, "fatigue_duty_h", value=3.0), "duty in one night"),
    (
        "the user allows one hour of driving",
        lambda p: _own(p, "fatigue_driving_h", value=1.0),
        "driving in one night",
    ),
    ("the user takes longer to set up", lambda p: _own(p, "stop_setup_min", value=11.0), "time to work"),
    ("the truck is slower", lambda p: with_row(p, "trucks", speed_factor=0.8), "time to drive"),
    ("no forklift rides along", lambda p: with_row(p, "trucks", lifting="hand"), "time to work"),
    (
        "the dark hours of a stop are not told",
        lambda p: p.model_copy(update={"windows": p.windows[1:]}),
        "dark hours told",
    ),
    (
        "the dark hours told begin too early",
        lambda p: _told(p, loading_from=p.windows[0].loading_from - FIVE_MIN),
        "dark hours told",
    ),
    (
        "the dark hours told end too late",
        lambda p: _told(p, set_down_until=p.windows[0].set_down_until + FIVE_MIN),
        "dark hours told",
    ),
)


@pytest.mark.parametrize(
    ("change", "check"), [row[1:] for row in FALSEHOODS], ids=[row[0] for row in FALSEHOODS]
)
def test_a_falsehood_about_time_is_caught_by_its_rule(change: Change, check: str) -> None:
    assert check in {
        finding.check for finding in check_plan(change(tiny_plan())) if finding.status == "broken"
    }


def test_by_hand_and_alone_lifting_takes_twice_as_long() -> None:
    # Stop 1 of April by hand: 10 + 16 hives x 2 min + 15 = 57 min, alone 10 + 64 + 15 = 89 min.
    by_hand = with_row(tiny_plan(), "trucks", lifting="hand")
    alone = with_row(by_hand, "trucks", helpers=0)
    limits = [
        next(one.limit for one in check_plan(plan) if one.check == "time to work" and one.status == "broken")
        for plan in (by_hand, alone)
    ]
    assert limits == [57.0, 89.0]


def test_where_the_sun_does_not_set_nothing_can_be_carried() -> None:
    # At 69 N the sun stays up all night in June.
    plan = with_row(tiny_plan(), "gates", index=2, latitude_deg=69.0)
    notes = [
        one.note
        for one in check_plan(plan)
        if one.check == "work in the dark hours" and one.status == "broken"
    ]
    assert "there is no night at this place on this date" in notes
