"""What a yard makes ready for a night."""

import datetime as dt

from fixtures.tiny import tiny_plan
from routing.sheets.yard_sheet import yard_nights, yard_sheets
from routing.sheets.yard_tasks import yard_tasks

MAY, JUNE = dt.date(2027, 5, 11), dt.date(2027, 6, 5)


def test_only_nights_on_which_a_yard_gives_or_takes_hives_have_a_sheet():
    assert yard_nights(tiny_plan()) == (dt.date(2027, 4, 24), MAY, JUNE)


def test_the_yard_makes_its_leaving_groups_ready_and_no_others():
    sheet = yard_sheets(tiny_plan(), MAY)[0]
    assert sheet.yard == "Home yard"
    assert [[(one.group, one.hives) for one in task.groups] for task in sheet.tasks] == [[("L1", 6)]] * 3


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


def _with_tasks(*changes):
    plan = tiny_plan()
    first = next(task for task in plan.tasks if task.group == "L1")
    return plan.model_copy(update={"tasks": tuple(first.model_copy(update=one) for one in changes)})


def test_groups_with_the_same_work_share_a_line_that_stands_after_the_work_of_each():
    # L1: strap, then screen; L2 only screens. L2 leaves with L1.
    plan = _with_tasks({"task": "screen", "group": "K1"}, {"task": "strap"}, {"task": "screen"})
    tasks, sources = yard_tasks(plan, "Home yard", MAY, leaving={"K1", "L1"})
    assert [(task.task, [one.group for one in task.groups]) for task in tasks] == [
        ("strap", ["L1"]), ("screen", ["K1", "L1"]),
    ]  # fmt: skip
    assert [task.source_number for task in tasks] == [1] * len(tasks)
    assert len(sources) == 1


def test_work_of_a_lot_that_left_on_an_earlier_night_is_not_asked_for_again():
    # H1 leaves home on April 24; had it left again on May 11, the work of April would be done.
    plan = _with_tasks({"task": "old", "group": "H1", "by_night": dt.date(2027, 4, 24)},
                       {"task": "new", "group": "H1"})  # fmt: skip
    tasks, _ = yard_tasks(plan, "Home yard", MAY, leaving={"H1"})
    assert [task.task for task in tasks] == ["new"]


def test_work_that_was_due_before_tonight_says_so():
    plan = _with_tasks({"task": "combine", "group": "W1", "by_night": dt.date(2027, 4, 20)})
    tasks, _ = yard_tasks(plan, "Home yard", MAY, leaving=set())
    assert [task.by_words for task in tasks] == ["was due Tue Apr 20: done?"]


def test_the_yard_is_told_the_dark_hours_and_whom_to_call():
    sheet = yard_sheets(tiny_plan(), MAY)[0]
    assert sheet.dark_words.startswith("Lift no hive before 9:3")
    assert [call.number for call in sheet.calls] == ["911", "555-0112", "555-0120"]
    home, _ = yard_sheets(tiny_plan(), JUNE)
    assert home.dark_words.startswith("Every hive on the ground by ")


def test_gear_is_told_as_many():
    words = {row.count_words for row in yard_sheets(tiny_plan(), MAY)[0].gear}
    assert words == {"6 migratory lids", "6 hive straps", "6 entrance screens", "1 load net"}


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
