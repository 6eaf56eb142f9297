"""Hives alive on a day: published losses of winter and summer, by the day."""

import datetime as dt
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.inspections import InspectionRow
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.strength.losses import hives_on

TINY = tiny_operation()


def group(**changed: Any) -> HiveGroup:
    return TINY.hive_groups[0].model_copy(update={"hives": 100, "inspected_on": dt.date(2026, 10, 1)} | changed)


def own(*rows: InspectionRow, **figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants, "inspections": rows})


def test_a_whole_winter_takes_the_published_share() -> None:
    # Survey of 2022-23: 37.4 % from 1 October to 1 April.
    found = hives_on(own(), group(), dt.date(2027, 4, 1))
    assert found.expected == pytest.approx(62.6)
    assert found.share_lost == pytest.approx(0.374)
    # sd: sqrt(100 x 0.626 x 0.374 + (100 x 0.06)^2) = 7.71; 62.6 - 0.8416 x 7.71 = 56.1.
    assert found.sd == pytest.approx(7.708, abs=1e-3)
    assert found.at_least == 56


def test_half_a_winter_takes_less_than_half_and_two_halves_the_whole() -> None:
    # 91 of the 182 days of this winter: (1 - 0.374)^(1/2) = 0.7912.
    half = hives_on(own(), group(), dt.date(2026, 12, 31))
    assert half.expected == pytest.approx(100 * 0.626**0.5)


def test_winter_and_summer_follow_each_other() -> None:
    found = hives_on(own(), group(), dt.date(2027, 10, 1))
    assert found.expected == pytest.approx(100 * (1 - 0.374) * (1 - 0.198))


def test_a_plan_counts_on_the_hives_of_the_table_until_told_otherwise() -> None:
    spring = dt.date(2027, 4, 1)
    assert hives_on(own(), group(), spring).counted == 100
    assert hives_on(own(loss_counted_share=0.5), group(), spring).counted == 81
    assert hives_on(own(loss_counted_share=1.0), group(), spring).counted == 62


def test_hives_counted_anew_are_where_losses_begin() -> None:
    row = InspectionRow(group="H1", inspected_on=dt.date(2027, 2, 1), frames_seen="6x8", hives_alive=70)
    found = hives_on(own(row), group(), dt.date(2027, 2, 1))
    assert (found.expected, found.sd, found.since, found.counted) == (70.0, 0.0, dt.date(2027, 2, 1), 70)
    assert hives_on(own(row), group(), dt.date(2027, 1, 31)).expected < 100.0


def test_before_the_count_nothing_is_lost() -> None:
    assert hives_on(own(), group(), dt.date(2026, 9, 1)).expected == 100.0
