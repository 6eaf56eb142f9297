"""Crops: every row has its source, stages follow one another, names lead to one crop."""

import pytest

from routing.errors import SourceError
from routing.limits.crop_rows import OTHER, Chill, _row, chills, crop_named, crops, heat_sums, kill_at, kills

ROW = {"crop": "pear", "cultivar": "Example", "low_portions": 40, "high_portions": 44, "source": "a book", "status": "read"}


def test_every_row_names_its_source() -> None:
    for row in (*crops(), *chills(), *heat_sums(), *kills()):
        assert row.source.strip()
    assert all(crop.marks_source.strip() for crop in crops())


@pytest.mark.parametrize("wrong", [{"source": ""}, {"status": "sure"}, {"low_portions": "40"}, {"tint": "red"}])
def test_a_row_without_source_or_with_a_fault_is_refused_and_named(wrong: dict[str, object]) -> None:
    assert _row("chill.toml", Chill, dict(ROW)).low_portions == 40.0
    with pytest.raises(SourceError, match=r"chill\.toml: the row of pear"):
        _row("chill.toml", Chill, {**ROW, **wrong})


def test_each_crop_comes_to_ten_percent_on_day_nought_and_ends_with_petal_fall() -> None:
    for crop in crops():
        days = {mark.percent: mark.days for mark in crop.marks if mark.fallen == 0.0}
        assert days[10.0] == 0.0, crop.name
        assert crop.marks[-1].stage == "petal fall"
        assert crop.marks[-1].fallen == 90.0
        rising = [mark.percent for mark in crop.marks if mark.percent is not None and mark.fallen == 0.0]
        assert rising == sorted(rising)
        assert crop.in_percent <= crop.in_until_percent


def test_no_two_crops_share_a_name() -> None:
    names = [name for crop in crops() for name in (crop.name, *crop.also)]
    assert len(names) == len(set(names))


def test_a_crop_without_a_row_is_any_other_crop() -> None:
    assert crop_named("buckwheat").name == OTHER
    assert crop_named("  Wild   BLUEBERRY ").name == "lowbush blueberry"


def test_buds_are_never_said_to_die_at_less_cold_than_others_before_them() -> None:
    # 90 of 100 take more cold than 10 of 100, and an open flower stands no more cold than its bud.
    for row in kills():
        assert row.kill_90_f < row.kill_10_f, (row.crop, row.stage)
    for crop in crops():
        cold = [kill.kill_10_f for mark in crop.marks if (kill := kill_at(crop.name, mark.stage)) is not None]
        assert cold == sorted(cold), crop.name


def test_what_needs_a_crop_names_one_that_is_there() -> None:
    for row in (*chills(), *heat_sums(), *kills()):
        assert crop_named(row.crop).name == row.crop
    for row in kills():
        assert any(mark.stage == row.stage for mark in crop_named(row.crop).marks), (row.crop, row.stage)
