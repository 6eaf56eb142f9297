"""All moves and stops as a workbook, read back by another library."""

import datetime as dt
import io

import openpyxl

from api.files.xlsx_moves import moves_xlsx
from fixtures.nasty import NASTY_NAMES, nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.moves import moves, stop_rows


def _book(plan) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(moves_xlsx(moves(plan), stop_rows(plan))))


def _column(sheet, heading: str) -> list:
    names = [cell.value for cell in sheet[1]]
    return [row[names.index(heading)] for row in sheet.iter_rows(min_row=2)]


def test_both_sheets_hold_every_row():
    book = _book(tiny_plan())
    assert book.sheetnames == ["moves", "stops"]
    assert [cell.value for cell in _column(book["moves"], "hives")] == [16, 6, 16, 16, 6]
    assert book["stops"].max_row == 1 + 4 + 5 + 5


def test_times_are_dates_of_the_place_and_their_zone_stands_beside():
    book = _book(tiny_plan())
    assert _column(book["moves"], "set down arrive")[1].value == dt.datetime(2027, 5, 12, 0, 8)
    assert _column(book["moves"], "set down zone")[1].value == "EDT"
    assert _column(book["moves"], "night")[1].value == dt.datetime(2027, 5, 11)


def test_negative_numbers_stay_numbers():
    cell = _column(_book(tiny_plan())["moves"], "origin longitude deg")[0]
    assert (cell.data_type, cell.value) == ("n", -86.2031)


def test_numbers_are_shown_without_idle_digits_and_kept_whole():
    cell = _column(_book(tiny_plan())["moves"], "miles on deck")[0]
    assert cell.number_format == "0.0"
    assert cell.value == moves(tiny_plan())[0].miles_on_deck
    assert _column(_book(tiny_plan())["stops"], "latitude deg")[0].number_format == "0.00000"
    assert _column(_book(tiny_plan())["stops"], "hives picked up")[0].number_format == "General"


def test_no_text_becomes_a_formula_or_a_link():
    sheet = _book(nasty_plan())["moves"]
    assert not [cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f" or cell.hyperlink]
    cell = _column(sheet, "truck")[0]
    assert (cell.data_type, cell.value, cell.quotePrefix) == ("s", NASTY_NAMES["Old blue"], True)


def test_the_same_rows_are_the_same_bytes():
    rows = moves(tiny_plan()), stop_rows(tiny_plan())
    assert moves_xlsx(*rows) == moves_xlsx(*rows)


def test_a_plan_without_moves_is_a_workbook_with_headings():
    book = openpyxl.load_workbook(io.BytesIO(moves_xlsx((), ())))
    assert book["moves"].max_row == 1
