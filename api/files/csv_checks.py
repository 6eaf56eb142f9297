"""Every check of a plan as CSV, for a spreadsheet."""

from collections.abc import Sequence

from api.files.csv_moves import table_csv
from routing.sheets.checks import CheckRow


def checks_csv(rows: Sequence[CheckRow]) -> bytes:
    """Return every check as CSV, in the form of ``moves_csv``."""
    return table_csv(CheckRow, rows)
