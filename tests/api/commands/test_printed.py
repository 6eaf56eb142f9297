"""Lines on a screen, and what is told of the files."""

from pathlib import Path

from api.commands.printed import fitted, print_lines, written_lines


def test_a_line_is_broken_between_words_and_goes_on_further_in():
    line = "  Why: " + " ".join(f"word{number}" for number in range(20))
    first, *rest = fitted(line, 60).splitlines()
    assert first.startswith("  Why: word0")
    assert all(one.startswith("      word") for one in rest)
    assert max(map(len, (first, *rest))) <= 60
    assert " ".join(fitted(line, 60).split()) == " ".join(line.split())


def test_a_short_line_and_an_empty_one_stay_as_they_are():
    assert [fitted(line, 80) for line in ("", "  miles: $12.00")] == ["", "  miles: $12.00"]


def test_what_is_not_a_screen_gets_whole_lines(capsys):
    print_lines(["x" * 30 + " " + "y" * 300])
    assert capsys.readouterr().out == "x" * 30 + " " + "y" * 300 + "\n"


def test_the_first_sheet_of_each_kind_is_named_and_the_others_counted():
    names = ("plan.json", "2027-05-11-old-blue.pdf", "2027-04-24-old-blue.pdf", "2027-04-24-old-blue.html",
             "2027-04-24-yards.pdf", "2027-04-24-loads.pdf")  # fmt: skip
    lines = list(written_lines([Path("out", name) for name in names], Path("out")))
    assert lines[:4] == [
        "6 files written to out",
        "  drop sheets, one a truck and night: 2027-04-24-old-blue.pdf and 1 more",
        "  load sheets: 2027-04-24-loads.pdf",
        "  yard sheets, one a night: 2027-04-24-yards.pdf",
    ]
    assert "checks.csv" in lines[4]


def test_a_plan_without_a_night_names_no_sheet():
    assert len(list(written_lines([Path("plan.json")], Path("out")))) == 2
