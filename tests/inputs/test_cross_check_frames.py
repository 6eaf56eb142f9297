"""Rows of inspections: whole, readable, within the group and within its boxes."""

import datetime as dt
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.cross_check import cross_check
from routing.inputs.faults import Flaw
from routing.inputs.inspections import InspectionRow

TINY = tiny_operation()


def flaws(**told: Any) -> list[Flaw]:
    row = InspectionRow(**({"group": "W1", "inspected_on": dt.date(2027, 4, 3)} | told))
    return list(cross_check(TINY.model_copy(update={"inspections": (row,)})))


@pytest.mark.parametrize(("frames", "right"), [("8x3", True), ("8x2, 8.01", False), ("14", False)])
def test_a_hive_shows_no_more_frames_than_its_boxes_hold(frames: str, right: bool) -> None:
    found = flaws(frames_seen=frames)
    assert (found == []) == right
    assert all((one.table, one.column) == ("inspections", "frames_seen") for one in found)


@pytest.mark.parametrize(("mean", "right"), [(8.0, True), (8.1, False)])
def test_nor_does_an_average(mean: float, right: bool) -> None:
    assert (flaws(frames_mean=mean, frames_sd=1.0, hives_inspected=5) == []) == right


def test_an_inspection_tells_something() -> None:
    (found,) = flaws()
    assert (found.column, found.found) == ("frames_seen", "nothing")
    assert [one.column for one in flaws(frames_mean=5.0)] == ["frames_sd", "hives_inspected"]


def test_counts_and_a_mean_beside_them_contradict_each_other() -> None:
    (found,) = flaws(frames_seen="5x4", frames_mean=5.0)
    assert (found.column, found.allowed) == ("frames_mean", "nothing, since frames seen is filled")


def test_no_more_hives_are_opened_than_were_alive() -> None:
    assert flaws(frames_seen="5x6", hives_alive=6) == []
    (found,) = flaws(frames_seen="5x7", hives_alive=6)
    assert found.allowed == "at most the 6 of the group alive that day"
    (found,) = flaws(frames_mean=5.0, frames_sd=1.0, hives_inspected=9)
    assert found.allowed == "at most the 8 hives of the group"


def test_no_more_are_alive_than_there_are() -> None:
    (found,) = flaws(frames_seen="5x4", hives_alive=9)
    assert (found.column, found.found, found.allowed) == ("hives_alive", "9", "at most the 8 hives of the group")


@pytest.mark.parametrize(("day", "right"), [("2027-06-15", True), ("2027-06-16", False), ("2025-06-01", False)])
def test_an_inspection_lies_in_the_season_or_shortly_before(day: str, right: bool) -> None:
    assert (flaws(frames_seen="5x4", inspected_on=dt.date.fromisoformat(day)) == []) == right


def test_frames_that_cannot_be_read_are_told_as_in_the_table_of_groups() -> None:
    (found,) = flaws(frames_seen="five")
    assert found.allowed == "such as 8, 9.5, 7 or 8x5, 9x3"
