"""The hive as it rides, and what is wrong with it as it stands."""

import datetime as dt
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.tiny import tiny_operation
from routing.finding import Finding
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.operation import Operation, Temperature
from routing.inputs.yard import HiveGroup
from routing.readiness.air import has_air
from routing.readiness.travel import travel_build, travel_faults

TINY = tiny_operation()


def choices(field: str) -> st.SearchStrategy[object]:
    return st.sampled_from(get_args(HiveBuild.model_fields[field].annotation))


BUILDS = st.fixed_dictionaries(
    {"bottom_board": choices("bottom_board"), "entrance": choices("entrance"), "lid": choices("lid"),
     "ventilation": choices("ventilation"), "feed_left": choices("feed_left"), "inner_cover": st.booleans(),
     "strapped": st.booleans(), "box_frames": st.sampled_from([8, 10])}
).map(lambda about: HiveBuild.model_validate({"name": "B", **about}))  # fmt: skip


@given(build=BUILDS)
def test_no_build_rides_without_a_screened_way_for_air_when_it_may_be_warm(build: HiveBuild) -> None:
    assert has_air(travel_build(build, needs_screen=True))


@given(build=BUILDS, needs_screen=st.booleans())
def test_every_build_rides_closed_lidded_strapped_and_without_feed(
    build: HiveBuild, needs_screen: bool
) -> None:
    rides = travel_build(build, needs_screen=needs_screen)
    assert rides.entrance in ("closed", "screened")
    assert (rides.lid, rides.inner_cover, rides.strapped, rides.feed_left) == (
        "migratory",
        False,
        True,
        "none",
    )


@given(build=BUILDS, needs_screen=st.booleans())
def test_a_build_that_is_ready_stays_as_it_is(build: HiveBuild, needs_screen: bool) -> None:
    once = travel_build(build, needs_screen=needs_screen)
    assert travel_build(once, needs_screen=needs_screen) == once


def test_the_tiny_loose_hives_name_every_task_that_cures_them() -> None:
    found = faults("L1")
    assert [fault.check for fault in found] == [
        "honey supers off", "migratory lid", "strap", "way for air when warm"
    ]  # fmt: skip
    assert all("cured by" in fault.note for fault in found)


def test_without_temperatures_the_way_for_air_is_not_known() -> None:
    assert [(fault.check, fault.status) for fault in faults("H1")] == [("way for air when warm", "unknown")]


@pytest.mark.parametrize(("sunset_f", "broken"), [(59.0, False), (60.0, True), (61.0, True)])
def test_a_warm_night_breaks_the_way_for_air_and_a_cool_one_does_not(sunset_f: float, broken: bool) -> None:
    night = Temperature(night=dt.date(2027, 4, 24), sunset_f=sunset_f, low_f=40.0, sunrise_f=45.0)
    operation = TINY.model_copy(update={"temperatures": (night,)})
    assert [fault.status for fault in faults("H1", operation)] == ["broken"] * broken


def test_a_group_that_may_not_leave_is_cured_by_nothing() -> None:
    fault = faults("H1", may_travel=False)[0]
    assert (fault.check, fault.status) == ("leave to travel", "broken")
    assert fault.note.startswith("no task cures it")


def test_a_hive_of_honey_supers_only_is_cured_by_nothing() -> None:
    supers = (Box(build="double deep 10", position=1, depth="deep", role="honey super", frames=10),)
    found = faults("H1", TINY.model_copy(update={"boxes": supers}))
    assert [fault.check for fault in found][:2] == ["brood box", "honey supers off"]


def test_a_screened_bottom_over_a_solid_board_is_not_believed() -> None:
    build = TINY.hive_builds[0].model_copy(update={"bottom_board": "solid", "ventilation": "screened bottom"})
    found = faults("H1", TINY.model_copy(update={"hive_builds": (build,)}))
    assert [fault.check for fault in found] == ["ventilation as listed", "way for air when warm"]


def test_a_feeder_that_holds_syrup_must_be_emptied() -> None:
    assert "empty feeder" in [fault.check for fault in faults("W1")]


def test_a_build_that_is_not_listed_is_refused_by_name() -> None:
    with pytest.raises(LookupError, match="'double deep 10'; no hive build"):
        faults("H1", TINY.model_copy(update={"hive_builds": ()}))


def faults(name: str, operation: Operation = TINY, *, may_travel: bool = True) -> tuple[Finding, ...]:
    (group,) = [one for one in operation.hive_groups if one.name == name]
    hives: HiveGroup = group.model_copy(update={"may_travel": may_travel})
    return travel_faults(operation, hives)
