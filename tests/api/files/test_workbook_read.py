"""Workbooks as people and programs leave them: read as meant, or refused with sentences, never half-read."""

import datetime as dt
import io
import re
import zipfile
from collections.abc import Callable
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

from api.files.workbook import operation_workbook
from api.files.workbook_read import operation_from_workbook
from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.operation import Operation

EXAMPLE = operation_workbook(example_operation())


def slim(content: bytes) -> bytes:
    """Return a workbook without its rules for typing: quicker to change and to save."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    for sheet in book.worksheets:
        sheet.data_validations.dataValidation = []
        if sheet.max_row < 2:
            book.remove(sheet)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


SLIM = slim(EXAMPLE)


def changed(change: Callable[[Any], object], content: bytes = SLIM) -> bytes:
    """Return the worked example's workbook after a change made with another library."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    change(book)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def place(sheet: Worksheet, heading: str, row: int = 2) -> Any:
    """Return the cell of a row under a heading, given without its unit."""
    heads = [str(cell.value).split(" [")[0] for cell in sheet[1]]
    return sheet.cell(row, heads.index(heading) + 1)


def with_value(sheet: str, heading: str, value: object, number_format: str = "") -> bytes:
    def change(book: Any) -> None:
        cell = place(book[sheet], heading)
        cell.value = value
        if number_format:
            cell.number_format = number_format

    return changed(change)


def read(content: bytes) -> Operation:
    return operation_from_workbook(content, "bees.xlsx")


def faults(content: bytes) -> list[str]:
    with pytest.raises(OperationError) as refused:
        read(content)
    told = [str(fault) for fault in refused.value.faults]
    assert all(sentence.startswith("bees.xlsx") and sentence.endswith(".") for sentence in told)
    return told


def test_a_fault_names_file_sheet_row_column_found_and_allowed() -> None:
    assert faults(with_value("hive groups", "hives", -4)) == [
        "bees.xlsx, sheet hive groups, row 2, column hives: found -4, "
        "allowed: a whole number of at least 1 and at most 5000 [hives]."
    ]


MEANT = [
    ("hive groups", "hives", 24.0, "hive_groups", "hives", 24),
    ("hive groups", "hives", "24", "hive_groups", "hives", 24),
    ("hive groups", "frames seen", 8, "hive_groups", "frames_seen", "8"),
    ("hive groups", "inspected on", "2027-03-21", "hive_groups", "inspected_on", dt.date(2027, 3, 21)),
    ("blooms", "on", dt.datetime(2027, 4, 13), "blooms", "on", dt.date(2027, 4, 13)),
    ("hive groups", "may travel", False, "hive_groups", "may_travel", False),
    ("hive groups", "may travel", "No", "hive_groups", "may_travel", False),
    ("hive groups", "may travel", "TRUE", "hive_groups", "may_travel", True),
    ("hive groups", "may travel", None, "hive_groups", "may_travel", True),
    ("hive builds", "box frames", "10", "hive_builds", "box_frames", 10),
    ("hive builds", "box frames", 10.0, "hive_builds", "box_frames", 10),
    ("yards", "access", "  Straight   TRUCK ", "yards", "access", "straight truck"),
    ("yards", "loading", None, "yards", "loading", "hand"),
    ("yards", "phone", 5550100, "yards", "phone", "5550100"),
    ("yards", "open from", dt.time(20, 30), "yards", "open_from", dt.time(20, 30)),
    ("yards", "open from", "9:05", "yards", "open_from", dt.time(9, 5)),
    ("yards", "open from", dt.timedelta(hours=21), "yards", "open_from", dt.time(21)),
    ("contracts", "fee per colony", "62,5", "contracts", "fee_usd_per_colony", 62.5),
    ("contracts", "fee per colony", " 62.5 ", "contracts", "fee_usd_per_colony", 62.5),
    ("drivers", "nights away", dt.datetime(2027, 4, 16), "drivers", "nights_away", "2027-04-16"),
    ("drivers", "nights away", "2027-04-16, 2027-04-18", "drivers", "nights_away", "2027-04-16, 2027-04-18"),
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "heading", "typed", "table", "field", "meant"), MEANT)
def test_what_has_one_clear_meaning_is_read(
    sheet: str, heading: str, typed: object, table: str, field: str, meant: object
) -> None:
    row = getattr(read(with_value(sheet, heading, typed)), table)[0]
    assert getattr(row, field) == meant
    assert type(getattr(row, field)) is type(meant)


def test_ten_percent_typed_as_a_percentage_is_ten() -> None:
    operation = read(with_value("contracts", "in at percent bloom", 0.1, "0%"))
    assert operation.contracts[0].in_at_percent_bloom == 10.0


UNCLEAR = [
    ("contracts", "fee per colony", "1,200", "'1,200'"),
    ("contracts", "fee per colony", "$62", "'$62'"),
    ("contracts", "fee per colony", True, "true (yes)"),
    ("contracts", "fee per colony", dt.datetime(2027, 1, 1), "2027-01-01"),
    ("contracts", "spray on", "5/5/2027", "'5/5/2027'"),
    ("contracts", "in from", 46512, "46512"),
    ("contracts", "spray on", dt.datetime(2027, 5, 5, 12), "2027-05-05T12:00:00"),
    ("hive groups", "hives", 24.5, "24.5"),
    ("hive groups", "may travel", 1, "1"),
    ("hive groups", "may travel", "perhaps", "'perhaps'"),
    ("hive groups", "frames seen", dt.datetime(2027, 9, 8), "a text in which '2027-09-08' is neither"),
    ("yards", "open from", "half past eight", "'half past eight'"),
    ("yards", "name", None, "nothing"),
    ("yards", "name", "   ", "nothing"),
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "heading", "typed", "found"), UNCLEAR)
def test_what_could_mean_two_things_or_nothing_is_refused(
    sheet: str, heading: str, typed: object, found: str
) -> None:
    told = faults(with_value(sheet, heading, typed))
    assert any(f"sheet {sheet}, row 2, column {heading}: found {found}" in sentence for sentence in told)


def test_columns_may_stand_in_any_order_and_unneeded_ones_may_go() -> None:
    def change(book: Any) -> None:
        sheet = book["yards"]
        columns = [[cell.value for cell in column] for column in sheet.iter_cols(max_row=2)]
        kept = [column for column in reversed(columns) if column[0] not in ("skip", "open from", "time zone")]
        sheet.delete_cols(1, sheet.max_column)
        for at, column in enumerate(kept, 1):
            for row, value in enumerate(column, 1):
                sheet.cell(row, at, value)

    assert read(changed(change)) == example_operation()


def test_headings_may_lack_their_unit_or_be_written_otherwise() -> None:
    def change(book: Any) -> None:
        place(book["contracts"], "fee per colony", 1).value = "  Fee  per Colony "
        place(book["yards"], "latitude", 1).value = "latitude_deg"
        book["hive groups"].title = "Hive_Groups"

    assert read(changed(change)) == example_operation()


def test_blank_rows_and_rows_marked_skip_are_not_read() -> None:
    def change(book: Any) -> None:
        sheet = book["drivers"]
        sheet.cell(9, 1, "next year")
        sheet.cell(9, 2, 12345)
        sheet.cell(7, 2, "  ")
        book.create_sheet("Notes of my own")["A1"] = "call the land owner"

    assert read(changed(change)) == example_operation()


def test_a_misspelled_heading_is_told_once_with_the_nearest() -> None:
    def change(book: Any) -> None:
        place(book["yards"], "access", 1).value = "acess"

    assert faults(changed(change)) == [
        "bees.xlsx, sheet yards, row 1: found the unknown heading 'acess', "
        "allowed: a heading of this sheet; the nearest is 'access'."
    ]


def test_a_missing_heading_is_told_once_and_not_for_every_row() -> None:
    def change(book: Any) -> None:
        sheet = book["hive groups"]
        sheet.delete_cols(place(sheet, "inspected on", 1).column)
        sheet.append([None, "H2", "Home yard", "double deep 10", "four-way", 4, "8x2"])

    assert faults(changed(change)) == [
        "bees.xlsx, sheet hive groups, row 1, column inspected on: found no such heading, "
        "allowed: a column with the heading 'inspected on'."
    ]


def test_a_heading_in_another_unit_is_refused() -> None:
    def change(book: Any) -> None:
        place(book["pallets"], "weight", 1).value = "weight [kg]"

    assert faults(changed(change)) == [
        "bees.xlsx, sheet pallets, row 1: found the heading 'weight [kg]', "
        "allowed: the heading 'weight [lb]' once."
    ]


def test_a_heading_twice_is_refused() -> None:
    def change(book: Any) -> None:
        book["pallets"].cell(1, 20, "name")

    (sentence,) = faults(changed(change))
    assert "sheet pallets, row 1: found the heading 'name' twice" in sentence


def test_a_value_without_a_heading_is_not_lost_in_silence() -> None:
    def change(book: Any) -> None:
        book["pallets"].cell(2, 20, "only in dry weather")

    (sentence,) = faults(changed(change))
    assert "row 2: found 'only in dry weather' in a column without a heading" in sentence


@pytest.mark.parametrize(("place", "found"), [("IV1", "the unknown heading"), ("IW1", "the far cell IW1"),
                                              ("XFD9", "the far cell XFD9")])  # fmt: skip
def test_a_value_far_to_the_right_is_not_lost_in_silence(place: str, found: str) -> None:
    (sentence,) = faults(changed(lambda book: book["pallets"].__setitem__(place, "fragile")))
    assert sentence.startswith("bees.xlsx, sheet pallets")
    assert found in sentence


def test_a_misspelled_sheet_is_told_with_the_nearest() -> None:
    def change(book: Any) -> None:
        book["drivers"].title = "drvers"

    (sentence,) = faults(changed(change))
    assert "sheet drvers: found an unknown sheet" in sentence
    assert "the nearest is 'drivers'" in sentence


def test_an_empty_sheet_of_any_name_is_no_fault() -> None:
    assert read(changed(lambda book: book.create_sheet("Sheet1"))) == example_operation()


def test_a_missing_or_doubled_row_of_the_operation_is_told() -> None:
    (none,) = faults(changed(lambda book: book["operation"].delete_rows(2)))
    (two,) = faults(
        changed(lambda book: book["operation"].append([cell.value for cell in book["operation"][2]]))
    )
    assert "sheet operation: found no row" in none
    assert "sheet operation: found 2 rows" in two


def test_merged_cells_are_refused_because_all_but_one_are_empty() -> None:
    (sentence, *_) = faults(changed(lambda book: book["drops"].merge_cells("B2:B3")))
    assert "sheet drops: found the merged cells B2:B3" in sentence


def formula_workbook(kept: object) -> bytes:
    """Return a workbook whose hive count is a formula, with the value that a program kept of it."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    source = openpyxl.load_workbook(io.BytesIO(SLIM))
    for sheet in source.worksheets:
        target = book.add_worksheet(sheet.title)
        for row in sheet.iter_rows():
            for cell in row:
                at = (cell.row - 1, cell.column - 1)
                if isinstance(cell.value, dt.datetime):
                    target.write_datetime(*at, cell.value, book.add_format({"num_format": "yyyy-mm-dd"}))
                elif (
                    sheet.title == "hive groups"
                    and cell.row == 2
                    and str(sheet.cell(1, cell.column).value).startswith("hives [")
                ):
                    target.write_formula(*at, "=6*4", None, kept)
                else:
                    target.write(*at, cell.value)
    book.close()
    return stream.getvalue()


def test_a_formula_counts_with_the_value_that_was_saved_with_it() -> None:
    assert read(formula_workbook(24)) == example_operation()


def test_a_formula_without_a_value_is_refused() -> None:
    (sentence,) = faults(formula_workbook(""))
    assert "row 2, column hives: found the formula '=6*4' without a value" in sentence


def test_a_formula_that_gives_an_error_is_refused() -> None:
    (sentence,) = faults(formula_workbook("#DIV/0!"))
    assert "row 2, column hives: found the error #DIV/0!" in sentence


def test_an_error_typed_into_a_text_column_is_not_taken_for_text() -> None:
    (sentence,) = faults(with_value("yards", "hazards", "#N/A"))
    assert "column hazards: found the error #N/A" in sentence


def rezipped(change: Callable[[str, bytes], bytes], **extra: bytes) -> bytes:
    """Return the example's archive with parts changed and added."""
    stream = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(EXAMPLE)) as old,
        zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
        for name, content in extra.items():
            new.writestr(name, content)
    return stream.getvalue()


def same(name: str, content: bytes) -> bytes:
    return content


def only(part: str, change: Callable[[bytes], bytes]) -> Callable[[str, bytes], bytes]:
    """Return a change of the parts whose name holds ``part``."""
    return lambda name, content: change(content) if part in name else content


BOMB = {"xl/worksheets/bomb.xml": b" " * 30_000_000}
DOCTYPE = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa">]>'
BROKEN_FILES = [
    (b"", "an empty file"),
    (b"name,hives\nHome,4\n", "a file of another kind"),
    (b'{"name": "Example"}', "a file of another kind"),
    (EXAMPLE[: len(EXAMPLE) // 2], "cut short or damaged"),
    (EXAMPLE[:100], "cut short or damaged"),
    (EXAMPLE[:3000] + b"\x00" * 500 + EXAMPLE[3500:], "workbook"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 512, "an old or password-protected workbook"),
    (rezipped(same, **{"xl/vbaProject.bin": b"x"}), "a workbook with macros"),
    (rezipped(same, **BOMB), "unpacks to more than a hundred times its size"),
    (rezipped(only("xl/workbook.xml", lambda old: DOCTYPE + old)), "a document type of its own"),
    (rezipped(only("sheet5.xml", lambda old: b"<worksheet>")), "parts cannot be read"),
    (rezipped(only("sharedStrings", lambda old: b"")), "parts cannot be read"),
    (
        rezipped(only("sheet3.xml", lambda old: re.sub(rb"<v>\d+</v>", b"<v>99999</v>", old))),
        "cannot be read",
    ),
]


@pytest.mark.parametrize(("content", "found"), BROKEN_FILES, ids=range(len(BROKEN_FILES)))
def test_a_file_that_is_no_sound_workbook_is_refused_in_one_sentence(content: bytes, found: str) -> None:
    (sentence,) = faults(content)
    assert found in sentence


def test_an_archive_of_another_kind_is_refused() -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    (sentence,) = faults(stream.getvalue())
    assert "an archive that is no workbook" in sentence


def test_too_many_bytes_unpacked_are_refused_before_they_are_unpacked() -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for number in range(7):
            archive.writestr(f"xl/{number}.xml", b" " * 30_000_000)
    (sentence,) = faults(stream.getvalue())
    assert "210,000,000 bytes when unpacked" in sentence


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(EXAMPLE) - 1), st.binary(min_size=1, max_size=30))
def test_damage_anywhere_is_read_through_or_refused_but_never_crashes(at: int, junk: bytes) -> None:
    content = EXAMPLE[:at] + junk + EXAMPLE[at + len(junk) :]
    try:
        outcome: object = read(content)
    except OperationError as error:
        outcome = error.faults
    assert outcome
