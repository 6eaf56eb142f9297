"""Every check as CSV."""

import csv
import io

from api.files.csv_checks import checks_csv
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.checks import CheckRow, check_rows


def _read(content):
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_every_row_comes_back_under_its_headings():
    rows = check_rows(tiny_plan())
    head, *body = _read(checks_csv(rows))
    assert head == list(CheckRow.model_fields)
    assert len(body) == len(rows) > 10
    assert [dict(zip(head, line, strict=True))["check"] for line in body] == [row.check for row in rows]
    assert body[0][head.index("status")] in ("broken", "unknown")


def test_no_cell_is_run_as_a_formula():
    body = _read(checks_csv(check_rows(nasty_plan())))
    assert not [cell for line in body for cell in line if cell.startswith(("=", "+", "@"))]
