"""What a yard makes ready for a night."""

import datetime as dt

from fixtures.tiny import tiny_plan
from routing.sheets.yard_sheet import yard_nights, yard_sheets

MAY, JUNE = dt.date(2027, 5, 11), dt.date(2027, 6, 5)


def test_only_nights_on_which_a_yard_gives_or_takes_hives_have_a_sheet():
    assert yard_nights(tiny_plan()) == (dt.date(2027, 4, 24), MAY, JUNE)


def test_the_yard_makes_its_leaving_groups_ready_and_no_others():
    sheet = yard_sheets(tiny_plan(), MAY)[0]
    assert sheet.yard == "Home yard"
    assert {task.group for task in sheet.tasks} == {"L1"}
    assert [task.hives for task in sheet.tasks] == [6, 6, 6]


def test_gear_is_counted_for_the_hives_that_leave_that_night():
    # L1: 6 hives with telescoping lids, not strapped, no way for air, loose; one truck.
    gear = {row.item: row.count for row in yard_sheets(tiny_plan(), MAY)[0].gear}
    assert gear == {"migratory lid": 6, "hive strap": 6, "entrance screen": 6, "load net": 1}
    # H1: 16 hives with migratory lids, strapped, no way for air, on pallets that are their floors.
    gear = {row.item: row.count for row in yard_sheets(tiny_plan(), dt.date(2027, 4, 24))[0].gear}
    assert gear == {"entrance screen": 16, "load net": 1}


def test_work_on_hives_that_never_move_stands_on_every_sheet_of_their_yard():
    plan = tiny_plan()
    weak = plan.tasks[0].model_copy(
        update={"group": "W1", "task": "combine", "by_night": dt.date(2027, 4, 20)}
    )
    plan = plan.model_copy(update={"tasks": (*plan.tasks, weak)})
    for night in yard_nights(plan):
        for sheet in yard_sheets(plan, night):
            assert ("combine" in {task.task for task in sheet.tasks}) == (sheet.yard == "Home yard")


def test_lots_leave_in_the_order_in_which_trucks_come():
    lot = yard_sheets(tiny_plan(), MAY)[0].leaving[0]
    assert (lot.order, lot.truck, lot.time_words, lot.lot, lot.other_end) == (
        1, "Old blue", "9:32 pm EDT", "A", "to Late blueberries",
    )  # fmt: skip


def test_hives_that_come_home_are_told_to_both_yards():
    home, far = yard_sheets(tiny_plan(), JUNE)
    assert (home.hives_coming, far.hives_coming) == (6, 16)
    assert home.ready_by_words == "No hive leaves tonight."
    assert home.gear == ()
    assert home.coming[0].date_words == "Sun Jun 6, AFTER MIDNIGHT"


def test_another_night_has_no_sheet():
    assert yard_sheets(tiny_plan(), dt.date(2027, 5, 12)) == ()
