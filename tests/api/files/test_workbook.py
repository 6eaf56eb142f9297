"""The workbook: what is written is read back equal, and the template is a valid small operation."""

import datetime as dt
import io
import warnings
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from api.files.workbook import meaning, operation_workbook, template_workbook, write_template
from api.files.workbook_read import draft_from_workbook, operation_from_workbook
from fixtures.tiny import tiny_operation
from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.operation import Operation
from routing.inputs.rows import read_row
from routing.inputs.tables import Column, table, tables


def without_marks(template: bytes) -> bytes:
    """Return the template as a person leaves it who empties 'skip' in the example rows."""
    book = openpyxl.load_workbook(io.BytesIO(template))
    for sheet in book.worksheets:
        for row in sheet.iter_rows(min_row=2, max_col=1):
            if row[0].value == "example":
                row[0].value = None
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def test_the_worked_example_of_the_template_is_a_valid_operation() -> None:
    assert operation_from_workbook(without_marks(template_workbook()), "bees.xlsx") == example_operation()


def test_the_rows_of_the_empty_template_are_not_read() -> None:
    with pytest.raises(OperationError) as refused:
        operation_from_workbook(template_workbook(), "bees.xlsx")
    (fault,) = refused.value.faults
    assert str(fault).startswith("bees.xlsx, sheet operation: found no row")


def test_a_template_has_a_sheet_a_table_with_units_in_the_headings() -> None:
    book = openpyxl.load_workbook(io.BytesIO(template_workbook()))
    assert book.sheetnames == ["notes", *(one.sheet for one in tables())]
    groups = [cell.value for cell in next(book["hive groups"].iter_rows(max_row=1))]
    assert "hives [hives]" in groups
    contracts = [cell.value for cell in next(book["contracts"].iter_rows(max_row=1))]
    assert "fee per colony [USD]" in contracts


def test_a_template_offers_lists_and_names_from_other_sheets() -> None:
    book = openpyxl.load_workbook(io.BytesIO(template_workbook()))
    rules = {rule.promptTitle: rule for rule in book["hive groups"].data_validations.dataValidation}
    # Row 1 headings, row 2 meanings: names stand from row 3, in the column behind 'skip'.
    assert rules["yard"].formula1 == "'yards'!$B$3:$B$2001"
    assert rules["may travel"].formula1 == '"yes,no"'
    trucks = {rule.promptTitle: rule for rule in book["trucks"].data_validations.dataValidation}
    assert trucks["vehicle class"].formula1 == '"pickup,pickup with trailer,straight truck,semi"'


def test_no_list_and_no_message_is_longer_than_the_file_format_takes() -> None:
    # The writing library leaves out, with a warning, what is too long for the format.
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert template_workbook()


def test_headings_stay_in_view_and_dates_are_dates() -> None:
    book = openpyxl.load_workbook(io.BytesIO(operation_workbook(example_operation())))
    sheet = book["hive groups"]
    assert sheet.freeze_panes == "C2"
    heads = [cell.value for cell in sheet[1]]
    cell = sheet.cell(2, heads.index("inspected on") + 1)
    assert (cell.value, cell.number_format) == (dt.datetime(2027, 3, 20), "yyyy-mm-dd")


def test_the_same_operation_gives_the_same_bytes() -> None:
    assert operation_workbook(tiny_operation()) == operation_workbook(tiny_operation())


def test_the_tiny_operation_is_read_back_equal() -> None:
    assert operation_from_workbook(operation_workbook(tiny_operation()), "tiny.xlsx") == tiny_operation()


def test_the_template_is_written_to_a_path_or_a_stream(tmp_path: Path) -> None:
    stream = io.BytesIO()
    write_template(stream)
    write_template(tmp_path / "template.xlsx")
    assert (tmp_path / "template.xlsx").read_bytes() == stream.getvalue() == template_workbook()


def test_a_meaning_tells_what_is_allowed_and_what_an_empty_cell_stands_for() -> None:
    assert meaning(table("yards").column("loading")) == (
        "Lifting gear that stays at the yard. One of: forklift, boom, hand. Empty: hand."
    )


def text(column: Column) -> st.SearchStrategy[str]:
    most = int(column.rules.get("max_length", 60))
    letters = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"), exclude_characters="\ufffe\uffff")
    awkward = st.sampled_from(
        ["=1+1", "_x0041_", "a\nb", "'quoted'", "007", "é ü", "-5", "<b>&amp;", "1,5", "yes"]
    )
    words = st.one_of(awkward, st.text(letters, max_size=min(most, 12)))
    return words.map(lambda word: word.strip()[:most].strip())


def value(column: Column) -> st.SearchStrategy[object]:
    """Return values that a column may hold, and nothing where it may stay empty."""
    rules = column.rules
    low, high = rules.get("ge", rules.get("gt", -1e6)), rules.get("le", rules.get("lt", 1e6))
    kinds: dict[str, st.SearchStrategy[object]] = {
        "whole number": st.integers(int(low), int(high)),
        "number": st.floats(low, high, exclude_min="gt" in rules, exclude_max="lt" in rules),
        "yes or no": st.booleans(),
        "date": st.dates(dt.date(2000, 1, 1), dt.date(2100, 12, 31)),
        "time": st.times(),
        "text": text(column).filter(lambda word: bool(word) or not column.required),
        "one of a list": st.sampled_from(column.choices or ("",)),
    }
    filled = kinds[column.kind]
    if column.optional:
        # An empty text and nothing at all are the same in a spreadsheet.
        return st.none() | filled.filter(lambda one: one != "")
    return filled


@st.composite
def operations(draw: st.DrawFn) -> Operation:
    """Draw operations whose rows are valid one by one; they need not fit each other."""
    own = {column.name: draw(value(column)) for column in table("operation").columns}
    for one in draw(st.lists(st.sampled_from(tables()[1:]), max_size=3, unique_by=lambda one: one.name)):
        rows = st.fixed_dictionaries({column.name: value(column) for column in one.columns})
        own[one.name] = tuple(one.record.model_validate(row) for row in draw(st.lists(rows, max_size=2)))
    return Operation.model_validate(own)


@settings(max_examples=25, deadline=None)
@given(operations())
def test_any_rows_that_are_written_are_read_back_equal(operation: Operation) -> None:
    draft = draft_from_workbook(operation_workbook(operation), "any.xlsx")
    assert draft.faults == ()
    for one in tables():
        written = (operation,) if one.name == "operation" else getattr(operation, one.name)
        read = [read_row(one, row, index) for index, row in enumerate(draft.rows[one.name])]
        assert [fault for row in read for fault in row.faults] == []
        names = [column.name for column in one.columns]
        assert [{name: getattr(row.record, name) for name in names} for row in read] == [
            {name: getattr(row, name) for name in names} for row in written
        ]
