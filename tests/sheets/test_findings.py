"""Broken limits stand out; checks that could not be made are told once, however often."""

from routing.finding import at_most, not_checked
from routing.sheets.findings import problems


def _unknown(check, subject, note="no figure"):
    return not_checked(check, subject, force="law", source="s 1", note=note)


def _broken(subject):
    return at_most("gross", subject, measured=3, limit=2, unit="lb", force="law", source="s 2")


def test_every_broken_limit_is_a_line_of_its_own_before_what_is_unknown():
    lines = problems([_unknown("hours", "a"), _broken("x"), _unknown("hours", "b"), _broken("y")])
    assert [line.partition(":")[0] for line in lines] == ["LIMIT BROKEN", "LIMIT BROKEN", "NOT CHECKED (2 times)"]
    assert ("x" in lines[0], "y" in lines[1]) == (True, True)


def test_checks_not_made_for_one_reason_share_a_line_that_names_and_counts_them():
    lines = problems([_unknown("hours", f"night {number}") for number in range(1, 7)])
    assert lines == (
        "NOT CHECKED (6 times): hours, night 1; night 2; night 3; night 4 and 2 more: no figure (law: s 1)",
    )


def test_another_reason_is_another_line():
    assert len(problems([_unknown("hours", "a"), _unknown("hours", "a", note="no driver")])) == 2


def test_words_that_all_checks_begin_with_are_told_once():
    lines = problems([_unknown(f"air for closed hives of {group}", "load 1") for group in ("BA", "SA")])
    assert lines == ("NOT CHECKED (2 times): air for closed hives of BA, SA, load 1: no figure (law: s 1)",)


def test_the_same_check_twice_is_one_check():
    assert problems([_unknown("hours", "a")] * 2) == ("NOT CHECKED: hours, a: no figure (law: s 1)",)


def test_the_subject_of_the_page_is_not_told_on_every_line():
    findings = [_unknown("hours", "load 1"), _unknown("air", "load 1", note="no figure given"), _broken("load 1")]
    assert [line.partition(" (")[0] for line in problems(findings, here="load 1")] == [
        "LIMIT BROKEN: gross: 3 lb against a limit of 2 lb, wrong by 1 lb.",
        "NOT CHECKED: hours: no figure", "NOT CHECKED: air: no figure given",
    ]  # fmt: skip
    assert ", load 1:" in problems(findings, here="load 2")[0]


def test_what_is_met_is_not_told():
    assert problems([at_most("gross", "x", measured=1, limit=2, force="law", source="s")]) == ()
