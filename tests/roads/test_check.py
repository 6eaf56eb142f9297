"""Findings on the user's rows of distances."""

import datetime as dt

import pytest

from routing.finding import Finding
from routing.formulas.geodesy import geodesic_miles
from routing.inputs.operation import Distance, Operation
from routing.inputs.yard import Yard
from routing.roads.check import road_findings
from routing.roads.roads import road_table

STRAIGHT_MI = geodesic_miles([(44.0, -90.0), (44.2, -90.1)])[0][1]  # about 14.7 miles


@pytest.mark.parametrize(("more", "status"), [(-0.001, "broken"), (0.0, "ok"), (0.001, "ok")])
def test_a_row_shorter_than_the_straight_line_is_found(more: float, status: str) -> None:
    found = one(
        findings(row("Home", "Hill", STRAIGHT_MI + more, 30.0)), "road miles against the straight line"
    )
    assert found.status == status
    assert found.margin == pytest.approx(more, abs=1e-9)
    assert found.subject == "Home to Hill"


@pytest.mark.parametrize(("minutes", "status"), [(11.9, "broken"), (12.0, "ok"), (12.1, "ok")])
def test_a_row_faster_than_any_road_allows_is_found(minutes: float, status: str) -> None:
    # 17 miles at 85 mph take 12 minutes.
    assert (
        one(findings(row("Home", "Hill", 17.0, minutes)), "minutes against the fastest road").status == status
    )


def test_a_row_about_a_place_that_is_not_there_could_not_be_checked() -> None:
    found = one(findings(row("Home", "Nowhere", 17.0, 20.0)), "road miles against the straight line")
    assert found.status == "unknown"
    assert "Nowhere" in found.note


def test_two_rows_that_disagree_about_one_way_are_found() -> None:
    found = one(
        findings(row("Home", "Hill", 17.0, 20.0), row("Home", "Hill", 18.0, 20.0)), "one row for one way"
    )
    assert (found.status, found.margin) == ("broken", -1.0)


def test_the_same_row_twice_and_the_two_directions_do_not_disagree() -> None:
    rows = (row("Home", "Hill", 17.0, 20.0), row("Home", "Hill", 17.0, 20.0), row("Hill", "Home", 18.0, 21.0))
    assert all(finding.status == "ok" for finding in findings(*rows))


def test_estimated_ways_are_told_as_not_known() -> None:
    found = one(findings(row("Home", "Hill", 17.0, 20.0, both_ways=False)), "road miles known")
    assert found.status == "unknown"
    assert found.note.startswith("1 of 2 ways are estimated")


def one(found: tuple[Finding, ...], check: str) -> Finding:
    (finding,) = [finding for finding in found if finding.check == check]
    return finding


def findings(*distances: Distance) -> tuple[Finding, ...]:
    operation = Operation(
        name="Roads",
        time_zone="America/Chicago",
        first_night=dt.date(2027, 4, 1),
        last_night=dt.date(2027, 4, 30),
        distances=distances,
        yards=(
            Yard(name="Home", latitude_deg=44.0, longitude_deg=-90.0, access="semi", capacity_hives=10),
            Yard(name="Hill", latitude_deg=44.2, longitude_deg=-90.1, access="semi", capacity_hives=10),
        ),
    )
    return road_findings(operation, road_table(operation))


def row(origin: str, destination: str, miles: float, minutes: float, both_ways: bool = True) -> Distance:
    return Distance(origin=origin, destination=destination, miles=miles, minutes=minutes, both_ways=both_ways)
