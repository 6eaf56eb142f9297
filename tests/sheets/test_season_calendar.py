"""The season calendar: every place in its row, moves on their nights, nothing but lines and hatching."""

import datetime as dt
import re
import xml.etree.ElementTree as ET

import pytest

from fixtures.tiny import tiny_operation, tiny_plan
from routing.season.choose import plan_season
from routing.sheets.season_calendar import season_calendar, season_figure
from routing.sheets.season_rows import Move, plan_rows, season_rows

SVG = "{http://www.w3.org/2000/svg}"


def texts(figure: str) -> list[str]:
    return [one.text or "" for one in ET.fromstring(figure).iter(f"{SVG}text")]


def test_a_plan_has_a_row_for_each_contract_by_its_first_night_in_and_for_each_yard() -> None:
    rows = plan_rows(tiny_plan())
    assert [(row.place, row.most, row.first) for row in rows] == [
        ("Early cherries", 16, 0), ("Late blueberries", 24, 0), ("Home yard", 40, 30), ("Far yard", 24, 0)
    ]  # fmt: skip
    # In on 24 April, on to the blueberries on 11 May with six loose ones, out on 5 June (fixtures/tiny_plan.py).
    assert rows[0].moves == (Move(dt.date(2027, 4, 24), 16), Move(dt.date(2027, 5, 11), -16))
    assert rows[1].moves == (Move(dt.date(2027, 5, 11), 22), Move(dt.date(2027, 6, 5), -22))
    assert sum(move.hives for move in rows[2].moves + rows[3].moves) == 0


def test_a_bloom_lies_between_its_spans() -> None:
    bloom = plan_rows(tiny_plan())[0].bloom
    assert bloom is not None
    assert bloom.open_span[0] < bloom.open < bloom.open_span[1]
    assert bloom.open <= bloom.over <= bloom.over_span[1]


def test_the_figure_names_places_hives_and_what_its_marks_mean() -> None:
    told = texts(season_calendar(tiny_plan()))
    assert {"Early cherries", "Late blueberries", "Home yard", "Far yard", "16", "22", "hives come", "hives leave"} <= set(told)
    assert "April" in told
    assert "May" in told


def test_the_figure_is_black_and_white_and_stays_on_its_paper() -> None:
    figure = season_calendar(tiny_plan())
    assert set(re.findall(r'(?:fill|stroke)="([^"]*)"', figure)) <= {"white", "black", "none"}
    wide = float(ET.fromstring(figure).get("width") or 0)
    for rect in ET.fromstring(figure).iter(f"{SVG}rect"):
        assert 0 <= float(rect.get("x") or 0) <= wide
        assert float(rect.get("x") or 0) + float(rect.get("width") or 0) <= wide + 0.1


def test_a_season_is_drawn_before_any_truck_night_is_planned_without_what_it_refuses() -> None:
    tiny = tiny_operation()
    poor = tiny.contracts[0].model_copy(update={"signed": False, "fee_usd_per_colony": 1.0})
    season = plan_season(tiny.model_copy(update={"contracts": (poor, tiny.contracts[1])}), seconds=5.0)
    assert [row.place for row in season_rows(season)][:1] == ["Late blueberries"]
    assert "Early cherries" not in texts(season_figure(season))


def test_hives_that_come_and_leave_in_one_night_are_both_shown() -> None:
    plan = tiny_plan()
    moves = plan_rows(plan)[1].moves
    assert sum(move.hives for move in moves if move.hives > 0) == 22


@pytest.mark.parametrize("name", ["<b>&\"'", "x" * 60])
def test_a_name_that_is_no_markup_and_a_long_one_stay_text(name: str) -> None:
    plan = tiny_plan()
    yards = (plan.operation.yards[0].model_copy(update={"name": name}), plan.operation.yards[1])
    groups = tuple(one.model_copy(update={"yard": name}) for one in plan.operation.hive_groups)
    operation = plan.operation.model_copy(update={"yards": yards, "hive_groups": groups})
    told = texts(season_calendar(plan.model_copy(update={"operation": operation, "truck_nights": ()})))
    assert any(one.startswith(name[:20]) for one in told)
