"""Findings on how strength was found."""

import datetime as dt
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.finding import Finding
from routing.inputs.yard import HiveGroup
from routing.strength.check import strength_findings

TINY = tiny_operation()


@pytest.mark.parametrize(("opened", "status"), [(4, "broken"), (5, "ok"), (6, "ok")])
def test_fewer_than_five_hives_opened_is_found(opened: int, status: str) -> None:
    assert one("hives opened", hives=20, frames_seen=f"8x{opened}").status == status


@pytest.mark.parametrize(("opened", "status"), [(2, "broken"), (3, "ok")])
def test_of_a_group_under_five_all_must_be_opened(opened: int, status: str) -> None:
    assert one("hives opened", hives=3, frames_seen=f"8x{opened}").status == status


@pytest.mark.parametrize(("opened", "status"), [(9, "broken"), (10, "ok"), (11, "ok")])
def test_less_than_a_tenth_of_the_group_opened_is_found(opened: int, status: str) -> None:
    found = one("hives opened, as a share of the group", hives=100, frames_seen=f"8x{opened}")
    assert (found.status, found.limit) == (status, 10.0)
    assert "Pennsylvania" in found.source


def test_more_hives_opened_than_there_are_is_found() -> None:
    assert one("hives opened that there are", hives=6, frames_seen="8x7").status == "broken"


def test_more_frames_than_the_boxes_hold_is_found_on_the_strongest_hive() -> None:
    found = one("frames of bees that the boxes hold", hives=10, frames_seen="8x5, 19")
    assert (found.status, found.measured, found.limit) == ("broken", 19.0, 18.0)


def test_a_spread_that_is_not_known_is_told() -> None:
    assert one("spread of strength", hives=10, frames_mean=8.0, hives_inspected=5).status == "unknown"
    assert one("spread of strength", hives=10, frames_seen="8").status == "unknown"


def test_a_mean_without_the_number_opened_could_not_be_checked() -> None:
    assert one("hives opened", hives=10, frames_mean=8.0, frames_sd=1.0).status == "unknown"


def test_nothing_written_down_is_one_unknown_and_no_more() -> None:
    (found,) = findings(hives=10)
    assert (found.check, found.status) == ("strength", "unknown")


@pytest.mark.parametrize(("day", "old"), [(30, False), (29, True)])
def test_an_inspection_more_than_twenty_one_days_before_the_first_night_is_old(day: int, old: bool) -> None:
    # First night April 20; 21 days before it is March 30.
    found = findings(hives=10, frames_seen="8x5", inspected_on=dt.date(2027, 3, day))
    assert ("strength on the night of the move" in [finding.check for finding in found]) == old


def test_an_inspection_after_the_night_asked_for_is_told() -> None:
    hives = group(hives=10, frames_seen="8x5")
    found = strength_findings(TINY, hives, on=dt.date(2027, 4, 16))
    assert "1 days after the night of 2027-04-16" in found[-1].note


def test_a_good_inspection_has_only_good_findings() -> None:
    assert {finding.status for finding in findings(hives=50, frames_seen="8x5, 9x5")} == {"ok"}


def one(check: str, **about: Any) -> Finding:
    (found,) = [finding for finding in findings(**about) if finding.check == check]
    return found


def findings(**about: Any) -> tuple[Finding, ...]:
    return strength_findings(TINY, group(**about))


def group(**about: Any) -> HiveGroup:
    row = {"name": "G", "yard": "Home yard", "build": "double deep 10", "inspected_on": dt.date(2027, 4, 17)}
    return HiveGroup.model_validate({**row, **about})
