"""Short messages for a telephone."""

import pytest

from api.files.message import LONGEST, message_text, messages
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.drop_sheet import drop_sheets


def test_a_short_night_is_one_message():
    assert len(messages(drop_sheets(tiny_plan())[0])) == 1


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_no_message_is_too_long_and_each_says_which_truck_night_and_part(make_plan):
    for sheet in drop_sheets(make_plan()):
        parts = messages(sheet)
        for number, part in enumerate(parts, start=1):
            assert len(part) <= LONGEST
            head = part.splitlines()[0]
            assert sheet.short_night in head
            assert len(parts) == 1 or head.endswith(f"({number}/{len(parts)})")


def test_no_stop_is_torn_between_two_messages():
    sheet = drop_sheets(tiny_plan())[1]
    parts = messages(sheet)
    assert len(parts) == 2
    for stop in sheet.stops[1:]:
        holders = [part for part in parts if f"{stop.number}) {stop.arrive_words}" in part]
        assert len(holders) == 1
        if stop.doing_words:
            assert stop.coordinates in holders[0]
            assert f"then {stop.on_deck_after} on deck" in holders[0]


def test_a_stop_too_long_for_one_message_is_split_and_nothing_is_lost():
    sheet = drop_sheets(tiny_plan())[1]
    lots = tuple(sheet.stops[2].picked_up[0].model_copy(update={"lot": f"L{number}"}) for number in range(60))
    stops = (*sheet.stops[:2], sheet.stops[2].model_copy(update={"picked_up": lots}), *sheet.stops[3:])
    parts = messages(sheet.model_copy(update={"stops": stops}))
    assert max(map(len, parts)) <= LONGEST
    assert all(any(f"L{number}: " in part for part in parts) for number in range(60))


def test_after_midnight_and_trouble_numbers_are_in_the_text():
    text = message_text(drop_sheets(tiny_plan())[1]).decode("utf-8")
    assert "12:08 am EDT Wed May 12 AFTER MIDNIGHT Late blueberries" in text
    assert "SET DOWN A: L1, 6 loose hives; B: H1, 16 hives on 4 pallets" in text
    assert "Trouble: 911, then 555-0112" in text
    assert "Some checks were not made: read the drop sheet." in text
    assert "Call Q. Makebelieve, 555-0110" in text
    assert "Sprays, call first: Z. Fancy, 555-0114" in text
    assert "North gate, chain, no lock; 43.97850, -86.28900" in text


def test_a_broken_limit_is_not_told_as_a_check_that_was_not_made():
    sheet = drop_sheets(tiny_plan())[1]
    load = sheet.loads[0].model_copy(update={"problems": ("LIMIT BROKEN: gross weight",)})
    text = message_text(sheet.model_copy(update={"loads": (load,)})).decode("utf-8")
    assert "A LIMIT IS BROKEN: read the drop sheet before you roll." in text
    assert "were not made" not in text


def test_without_an_emergency_contact_no_other_number_takes_its_place():
    sheet = drop_sheets(tiny_plan())[1].model_copy(update={"emergency_contact": ""})
    assert message_text(sheet).decode("utf-8").rstrip().endswith("Trouble: 911")
