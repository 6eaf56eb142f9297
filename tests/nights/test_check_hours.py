"""Rest is held to; breaks and the week beyond the plain rule are unknown, never fine."""

import datetime as dt

from fixtures.changed_plans import APRIL, MAY, on_night, shifted, with_row, with_stop
from fixtures.tiny import tiny_plan
from routing.finding import Finding
from routing.nights.check import check_plan
from routing.nights.tour import TruckNight
from routing.plan_record import Plan


def _told(plan: Plan, check: str) -> list[Finding]:
    return [one for one in check_plan(plan) if one.check == check and one.status != "ok"]


def _rested(hours_min: tuple[int, int]) -> Plan:
    """Return the plan whose second night begins some hours and minutes after the first one's end, 23:30."""
    plan = on_night(tiny_plan(), MAY, days=-16)
    # The May night begins at 21:32, 22 h 2 min after 23:30 of the evening before.
    return shifted(plan, MAY, by=dt.timedelta(hours=hours_min[0] - 22, minutes=hours_min[1] - 2))


def test_a_driver_rests_ten_hours_between_two_nights() -> None:
    assert _told(_rested((10, 0)), "rest between nights") == []
    (fault,) = _told(_rested((9, 59)), "rest between nights")
    assert (fault.status, fault.limit) == ("broken", 10.0)
    assert fault.measured == 9 + 59 / 60


def _nights_in_a_row(count: int, *, hours: int) -> Plan:
    """Return the plan with the April night sent ``count`` nights in a row, each of so many hours."""
    plan = tiny_plan()
    first = plan.truck_nights[APRIL]
    start = first.stops[0].leave
    long = with_stop(plan, (APRIL, 3), arrive=start + dt.timedelta(hours=hours)).truck_nights[APRIL]
    nights: list[TruckNight] = []
    for number in range(count):
        moved = shifted(plan.model_copy(update={"truck_nights": (long,)}), 0, by=dt.timedelta(days=number))
        night = first.night + dt.timedelta(days=number)
        nights.append(moved.truck_nights[0].model_copy(update={"id": f"night {number}", "night": night}))
    return plan.model_copy(update={"truck_nights": tuple(nights)})


def test_seventy_hours_in_eight_days_hold_and_more_are_unknown() -> None:
    # 7 x 10 h = 70 h; 8 x 10 h = 80 h; nine nights of 7 h: any eight of them are 56 h.
    assert _told(_nights_in_a_row(7, hours=10), "duty in eight days") == []
    assert [one.status for one in _told(_nights_in_a_row(8, hours=10), "duty in eight days")] == ["unknown"]
    assert _told(_nights_in_a_row(9, hours=7), "duty in eight days") == []


def test_over_eight_hours_of_driving_without_a_break_is_unknown() -> None:
    # April drives 2 x 36 road minutes; its stop between them is 22 min and no break. At 0.2 of the speed
    # 72 / 0.2 = 360 min; at 0.14, 514 min: over 480. In June 46 min of work come before 63 / 0.14 = 450.
    assert _told(with_row(tiny_plan(), "trucks", speed_factor=0.2), "break from driving") == []
    faults = _told(with_row(tiny_plan(), "trucks", speed_factor=0.14), "break from driving")
    assert [(fault.status, fault.subject) for fault in faults] == [("unknown", "2027-04-24 Old blue")]


def test_half_an_hour_off_the_wheel_begins_the_count_anew() -> None:
    # Eight minutes more at the cherries make 30: the two ways of 257 min each stand alone.
    plan = with_row(tiny_plan(), "trucks", speed_factor=0.14)
    waited = shifted(plan, APRIL, by=dt.timedelta(minutes=8), start=3)
    leave = plan.truck_nights[APRIL].stops[2].leave + dt.timedelta(minutes=8)
    assert _told(plan, "break from driving") != []
    assert _told(with_stop(waited, (APRIL, 2), leave=leave), "break from driving") == []
