"""Limits: every row says its source and how sure it is; a row that does not is refused."""

import pytest

from routing.errors import SourceError
from routing.limits import limit, rows
from routing.limits.rows import _limit

ROW = {
    "name": "x_lb", "value": 3, "unit": "lb", "where": "here",
    "force": "law", "source": "a book", "status": "read",
}


def test_every_row_names_unit_place_and_source() -> None:
    for row in rows().values():
        assert row.unit.strip(), row.name
        assert row.where.strip(), row.name
        assert row.source.strip(), row.name


def test_a_row_that_is_whole_loads_and_takes_a_whole_number_for_its_value() -> None:
    assert _limit("x.toml", dict(ROW)).value == 3.0


@pytest.mark.parametrize(
    "wrong",
    [{"source": " "}, {"source": None}, {"force": "talk"}, {"status": "sure"}, {"value": "3"}, {"tint": ""}],
)
def test_a_row_without_source_or_with_a_fault_names_file_and_row(wrong: dict[str, object]) -> None:
    with pytest.raises(SourceError, match=r"x\.toml: the limit x_lb"):
        _limit("x.toml", {**ROW, **wrong})


def test_law_is_never_a_fact_of_the_trade() -> None:
    law = [row for row in rows().values() if row.force == "law"]
    assert law
    assert not [row.name for row in law if row.status == "common practice, no source"]
    assert not [row.name for row in law if "no source" in row.source]


def test_tongue_weight_as_a_trailer_maker_prints_it() -> None:
    # Intech Trailers, gooseneck manual, section 3.1: ball 10-15 %, gooseneck and fifth wheel 20-25 %.
    names = ("ball_low", "ball_high", "gooseneck_low", "gooseneck_high")
    assert [limit(f"coupling_share_{name}").value for name in names] == [0.10, 0.15, 0.20, 0.25]
    assert {limit(f"coupling_share_{name}").force for name in names} == {"advice"}


def test_a_limit_that_is_not_there_is_an_error_and_not_nothing() -> None:
    with pytest.raises(SourceError, match="No limit is called widest_dream"):
        limit("widest_dream")


@pytest.mark.parametrize(
    ("name", "value", "unit"),
    [
        ("single_axle_lb", 20_000, "lb"), ("tandem_axle_lb", 34_000, "lb"), ("gross_lb", 80_000, "lb"),
        ("single_axle_within_in", 40, "in"), ("tandem_within_in", 96, "in"),
        ("two_tandem_sets_from_ft", 36, "ft"), ("vehicle_width_in", 102, "in"), ("height_in", 162, "in"),
        ("commercial_vehicle_from_lb", 10_001, "lb"), ("licence_single_from_lb", 26_001, "lb"),
        ("hours_break_after_driving_h", 8, "h"), ("hours_break_min", 30, "min"),
        ("tie_down_light_lb", 1_100, "lb"),
    ],
)
def test_published_figures_as_printed(name: str, value: float, unit: str) -> None:
    # 23 USC 127, 23 CFR 658, 49 CFR 383.5, 390.5, 393.110 and 395.3, as quoted in each row's source.
    row = limit(name)
    assert (row.value, row.unit, row.force) == (value, unit, "law")
