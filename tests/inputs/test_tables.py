"""Tables, headings and kinds are read off the records."""

import datetime as dt

from routing.inputs.operation import Operation
from routing.inputs.tables import table, tables


def test_every_list_of_the_operation_is_a_table_and_the_rest_is_its_own_row() -> None:
    names = [one.name for one in tables()]
    assert names[0] == "operation"
    own = [column.name for column in tables()[0].columns]
    assert sorted(own + names[1:]) == sorted(Operation.model_fields)


def test_headings_carry_the_unit_once() -> None:
    headings = {(one.name, column.name): column.heading for one in tables() for column in one.columns}
    assert headings["hive_groups", "hives"] == "hives [hives]"
    assert headings["contracts", "fee_usd_per_colony"] == "fee per colony [USD]"
    assert headings["trucks", "deck_length_in"] == "deck length [in]"
    assert headings["contracts", "in_from"] == "in from"
    assert headings["temperatures", "sunset_f"] == "sunset [deg F]"
    assert headings["axle_groups", "unit"] == "unit"


def test_no_two_headings_of_a_sheet_are_alike_and_sheets_have_names_that_a_workbook_takes() -> None:
    for one in tables():
        labels = [column.label.casefold() for column in one.columns]
        assert len(set(labels)) == len(labels)
        assert len(one.sheet) <= 31
        assert "skip" not in labels


def test_every_column_says_what_it_means() -> None:
    assert [column.name for one in tables() for column in one.columns if not column.meaning] == []


def test_kinds_choices_rules_and_examples_come_from_the_record() -> None:
    build = table("hive_builds")
    assert build.column("box_frames").choices == (8, 10)
    assert build.column("weight_low_lb").rules == {"ge": 10.0, "le": 500.0}
    assert build.column("weight_low_lb").optional
    assert not build.column("strapped").optional
    assert build.column("strapped").kind == "yes or no"
    assert table("hive_groups").column("inspected_on").example == dt.date(2027, 3, 20)
    assert table("yards").column("open_from").kind == "time"
    assert table("yards").column("loading").default == "hand"
    assert table("yards").column("name").required
