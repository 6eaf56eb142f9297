"""Every check stands in the rows; the summary tells alike ones together."""

from collections import Counter

from fixtures.tiny import tiny_plan
from routing.finding import at_most, not_checked
from routing.sheets.checks import CHECKS_FILE, check_lines, check_rows


def _plan(*findings):
    """Return the tiny plan with these checks and no others."""
    plan = tiny_plan()
    nights = tuple(night.model_copy(update={"findings": ()}) for night in plan.truck_nights)
    return plan.model_copy(update={"findings": findings, "truck_nights": nights, "loads": ()})


def _unknown(check, subject, note="no figure", source="s 1"):
    return not_checked(check, subject, force="law", source=source, note=note)


def _lines(*findings):
    return [line.strip() for line in check_lines(_plan(*findings))[2:]]


def test_no_check_is_left_out_of_the_rows_and_the_broken_ones_come_first():
    plan = tiny_plan()
    every = [*plan.findings]
    every += [one for night in plan.truck_nights for one in night.findings]
    every += [one for load in plan.loads for one in load.findings]
    broken = at_most("gross", "x", measured=3.0, limit=2.0, unit="lb", force="law", source="s 2")
    rows = check_rows(plan.model_copy(update={"findings": (*plan.findings, broken, broken)}))
    wanted = Counter((one.check, one.subject, one.status, one.note) for one in (*every, broken, broken))
    assert Counter((row.check, row.subject, row.status, row.note) for row in rows) == wanted
    assert [row.status for row in rows] == sorted((row.status for row in rows), key=("broken", "unknown", "ok").index)
    assert (rows[0].made_on, rows[0].measured, rows[0].limit, rows[0].room_left) == ("plan", 3.0, 2.0, -1.0)


def test_a_row_says_which_load_of_which_night_it_was_made_on():
    made_on = {row.made_on for row in check_rows(tiny_plan())}
    assert "2027-04-24 Old blue, load 1" in made_on


def test_the_summary_says_where_every_check_stands():
    assert CHECKS_FILE in check_lines(tiny_plan())[1]


def test_many_alike_checks_not_made_are_one_line_that_counts_them():
    found = _lines(*(_unknown("hours", f"night {number}") for number in range(16)))
    assert found == ["NOT CHECKED (16 times): hours: no figure (law)"]


def test_a_few_are_named():
    assert _lines(_unknown("hours", "a"), _unknown("hours", "b")) == ["NOT CHECKED (2 times): hours, a; b: no figure (law)"]


def test_of_notes_that_differ_the_clause_they_share_is_told():
    found = _lines(
        _unknown("bloom", "pears", "rests on a forecast: from 2 May"),
        _unknown("bloom", "apples", "rests on a forecast: from 9 May"),
    )
    assert found == ["NOT CHECKED (2 times): bloom, pears; apples: rests on a forecast (law)"]


def test_of_notes_that_share_no_clause_one_is_told_as_one():
    found = _lines(_unknown("age", "H1", "seen on 1 May"), _unknown("age", "H2", "seen on 2 May"))
    assert found == ["NOT CHECKED (2 times): age, H1; H2: for one of them: seen on 1 May (law)"]


def test_another_source_or_another_reason_for_another_check_is_a_line_of_its_own():
    found = _lines(_unknown("hours", "a"), _unknown("hours", "a", source="s 2"), _unknown("gross", "a", note="no scale"))
    assert len(found) == 3


def test_every_broken_limit_is_a_whole_line_with_its_source():
    broken = [at_most("gross", name, measured=3.0, limit=2.0, unit="lb", force="law", source="s 2") for name in "xy"]
    found = _lines(_unknown("hours", "a"), *broken)
    assert [line.partition(":")[0] for line in found] == ["LIMIT BROKEN", "LIMIT BROKEN", "NOT CHECKED"]
    assert all("s 2" in line for line in found[:2])
