"""Numbers and names as a person reads them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.finding import at_most, not_checked
from routing.sheets.words import (
    amount,
    counted,
    feet_and_inches,
    finding_words,
    hours_and_minutes,
    label_ranges,
    printable,
    slug,
)


def test_a_length_is_rounded_up_to_the_next_inch():
    assert feet_and_inches(150) == "12 ft 6 in"  # 12 x 12 + 6
    assert feet_and_inches(150.1) == "12 ft 7 in"
    assert feet_and_inches(143.0000000001) == "11 ft 11 in"
    assert feet_and_inches(0) == "0 ft 0 in"


def test_a_span_is_said_in_hours_and_minutes():
    assert hours_and_minutes(45.4) == "45 min"
    assert hours_and_minutes(59.6) == "1 h 00 min"
    assert hours_and_minutes(232) == "3 h 52 min"  # 3 x 60 + 52


def test_one_hive_is_not_one_hives():
    assert counted(1, "hive") == "1 hive"
    assert counted(1200, "colony", "colonies") == "1,200 colonies"


def test_an_amount_has_no_idle_decimals():
    assert amount(12300.0, "lb") == "12,300 lb"
    assert amount(0.5, "h") == "0.5 h"
    assert amount(-3.25, "") == "-3.25"


def test_runs_of_labels_are_joined_in_the_order_of_their_numbers():
    assert label_ranges(["A10", "A2", "A1", "A3", "B1", "net"]) == "A1 to A3, A10, B1, net"
    assert label_ranges([]) == ""


@given(st.lists(st.integers(min_value=1, max_value=60), unique=True, min_size=1))
def test_every_label_is_within_the_ranges_told(numbers):
    told = label_ranges(f"A{number}" for number in numbers)
    back: set[int] = set()
    for part in told.split(", "):
        first, _, last = part.replace("A", "").partition(" to ")
        back |= set(range(int(first), int(last or first) + 1))
    assert back == set(numbers)


def test_a_broken_limit_says_by_how_much():
    finding = at_most(
        "gross weight", "Old blue", measured=26400, limit=25900, unit="lb", force="law", source="x 1"
    )
    assert finding_words(finding) == (
        "LIMIT BROKEN: gross weight, Old blue: 26,400 lb against a limit of 25,900 lb, "
        "wrong by 500 lb. (law: x 1)"
    )


def test_a_check_that_was_not_made_says_so_first():
    finding = not_checked("bridges", "Old blue", force="law", source="x 2", note="no axle spread given")
    assert finding_words(finding).startswith("NOT CHECKED: bridges, Old blue: no axle spread given")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Old blue", "old-blue"),
        ("../../etc/passwd", "etc-passwd"),
        ("Söhne №5", "sohne-no5"),
        ("北京", ""),
        ("CON.", "con"),
    ],
)
def test_a_file_name_part_is_safe_everywhere(name, expected):
    assert slug(name) == expected


@given(st.text())
def test_a_file_name_part_has_only_letters_digits_and_inner_dashes(name):
    part = slug(name)
    assert set(part) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert len(part) <= 40
    assert part == part.strip("-")


def test_control_and_direction_characters_become_spaces():
    assert printable("a\x00b\r\nc\u202ed\u2028e") == "a b c d e"
