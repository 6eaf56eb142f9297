"""Axle weight limits against the printed table, the law's exception and an official example."""

import csv
from pathlib import Path

import pytest

from routing.formulas.bridge import AxleSet, axle_set_limits, bridge_table_lb

TABLE = Path(__file__).parent.parent / "fixtures" / "bridge_table.csv"


def _table() -> list[tuple[int, int, int]]:
    """Return length in feet, axles and limit in pounds of every filled cell."""
    lines = [line for line in TABLE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return [
        (int(row["length_ft"]), axles, int(row[str(axles)]))
        for row in csv.DictReader(lines) for axles in range(2, 10) if row[str(axles)]
    ]


def _run(positions_ft: list[float], first: int, last: int) -> AxleSet:
    return next(one for one in axle_set_limits(positions_ft) if (one.first, one.last) == (first, last))


def test_every_cell_of_the_bridge_table() -> None:
    cells = _table()
    assert len(cells) == 369
    assert [cell for cell in cells if bridge_table_lb(cell[0], cell[1]) != cell[2]] == []


@pytest.mark.parametrize(
    ("length_ft", "axles", "limit_lb"),
    [
        (20.0, 3, 51_000),  # 23 USC 127(a)(2): 500 (20 x 3/2 + 36 + 36)
        (9.0, 3, 42_500),  # raw 42,750, a tie; printed FHWA table
        (8.5, 3, 42_000),  # printed row over 8 and under 9 ft
        (8.5, 2, 38_000),  # the same row
        (51.0, 5, 80_000),  # raw 79,875
        (36.0, 4, 66_000), (37.0, 4, 66_500), (38.0, 4, 67_500),  # FHWA pamphlet: 66,000 to 67,500 lb
    ],
)
def test_cells_that_others_quote(length_ft: float, axles: int, limit_lb: int) -> None:
    assert bridge_table_lb(length_ft, axles) == limit_lb


def test_axles_up_to_forty_inches_apart_are_one_axle() -> None:
    # FHWA, Questions and answers, 23 CFR 658.17.
    assert _run([0.0, 40.0 / 12.0], 1, 2) == AxleSet(1, 2, 40.0 / 12.0, 20_000.0, "single axle")
    assert _run([0.0, 40.1 / 12.0], 1, 2).limit_lb == 34_000.0


def test_axles_up_to_ninety_six_inches_are_a_tandem_be_they_two_or_three() -> None:
    # FHWA, Questions and answers, 23 CFR 658.17.
    assert _run([0.0, 8.0], 1, 2) == AxleSet(1, 2, 8.0, 34_000.0, "tandem")
    assert _run([0.0, 4.0, 8.0], 1, 3) == AxleSet(1, 3, 8.0, 34_000.0, "tandem")
    assert _run([0.0, 8.0 + 0.1 / 12.0], 1, 2).limit_lb == 38_000.0
    assert _run([0.0, 4.0, 8.0 + 0.1 / 12.0], 1, 3).limit_lb == 42_000.0


def test_two_tandem_sets_thirty_six_feet_apart_may_weigh_sixty_eight_thousand() -> None:
    # 23 USC 127(a)(2): at 35 ft the formula's 65,500; from 36 ft 34,000 each.
    assert _run([0.0, 4.0, 31.0, 35.0], 1, 4) == AxleSet(1, 4, 35.0, 65_500.0, "bridge formula")
    assert _run([0.0, 4.0, 32.0 - 0.1, 36.0 - 0.1], 1, 4).limit_lb == 65_500.0
    assert _run([0.0, 4.0, 32.0, 36.0], 1, 4) == AxleSet(1, 4, 36.0, 68_000.0, "two tandem sets")
    assert _run([0.0, 4.0, 35.0, 39.0], 1, 4) == AxleSet(1, 4, 39.0, 68_000.0, "bridge formula")


def test_the_pamphlets_semi_fails_on_its_inner_axles_only() -> None:
    # FHWA pamphlet's example (from memory): 12,000 + 34,000 + 34,000 lb; axles 1-3 over 20 ft carry 46,000 of
    # 51,000, 1-5 over 51 ft 80,000 of 80,000, 2-5 over 35 ft 68,000 of 65,500.
    positions_ft = [0.0, 16.0, 20.0, 47.0, 51.0]
    weights_lb = [12_000.0, 17_000.0, 17_000.0, 17_000.0, 17_000.0]
    sets = axle_set_limits(positions_ft)
    assert len(sets) == 10  # 5 x 4 / 2
    over = [one for one in sets if sum(weights_lb[one.first - 1 : one.last]) > one.limit_lb]
    assert [(one.first, one.last, one.limit_lb) for one in over] == [(2, 5, 65_500.0)]
    assert _run(positions_ft, 1, 3).limit_lb == 51_000.0
    assert _run(positions_ft, 1, 5).limit_lb == 80_000.0
