"""All moves as CSV."""

import csv
import io

import pytest

from api.files.csv_moves import cell_text, moves_csv
from fixtures.nasty import NASTY_NAMES, nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.moves import Move, moves


def _rows(plan) -> list[dict[str, str]]:
    text = moves_csv(moves(plan)).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_a_figure_has_five_decimals_at_most():
    assert cell_text(33.522709449687184) == 33.52271
    assert cell_text(12) == 12


def test_the_file_begins_with_a_byte_order_mark_and_ends_lines_as_rfc_4180():
    data = moves_csv(moves(tiny_plan()))
    assert data.startswith(b"\xef\xbb\xbfnight,")
    assert data.count(b"\r\n") == data.count(b"\n") == 1 + 5


def test_every_move_is_a_row_with_every_column():
    rows = _rows(tiny_plan())
    assert list(rows[0]) == list(Move.model_fields)
    assert [int(row["hives"]) for row in rows] == [16, 6, 16, 16, 6]
    assert rows[0]["pick_up_arrive"] == "2027-04-24T21:11:00-04:00"


def test_negative_numbers_stay_numbers():
    assert float(_rows(tiny_plan())[0]["origin_longitude_deg"]) == -86.2031


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_text_that_a_spreadsheet_would_run_is_quoted(start):
    assert cell_text(f"{start}1+1") == f"'{start}1+1"
    assert cell_text(f"a{start}1") == f"a{start}1"


def test_no_cell_of_a_nasty_plan_starts_a_formula_and_no_name_is_lost():
    rows = _rows(nasty_plan())
    for row in rows:
        for name, cell in row.items():
            if not name.endswith("_deg"):
                assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert rows[0]["truck"] == "'" + NASTY_NAMES["Old blue"]
    assert rows[0]["driver"] == NASTY_NAMES["P. Nobody"]
    assert rows[3]["destination"] == "'" + NASTY_NAMES["Far yard"]
