"""Places for drops: along tracks that the gate leads to, off what hives keep away from."""

from collections.abc import Callable
from typing import Any

import pytest

from routing.drops.candidates import NO_TRACK, Places, places_of
from routing.drops.drop import SitingError
from routing.drops.ground import ground_of
from routing.inputs.operation import Operation

Draw = Callable[..., Operation]
Box = Callable[[float, float, float, float], str]
LANE = ("track", "Lane", "LINESTRING(0 0,1000 0)")


def places(operation: Operation, most: int = 200) -> Places:
    ground = ground_of(operation, "Early cherries")
    return places_of(ground, gate_join_ft=150.0, track_join_ft=20.0, shade_reach_ft=100.0, most=most)


def test_places_are_evenly_spaced_and_no_more_than_asked_for(orchard: Draw, box: Box) -> None:
    found = places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE,)), most=11)
    assert 9 <= len(found.candidates) <= 12
    # Many are asked for: the closest is 25 ft, 1,000 / 25 + 1 = 41.
    assert len(places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE,))).candidates) == 41


KEPT_OFF: list[tuple[tuple[str, str, str], float]] = [
    (("house", "Cottage", "POINT(500 -100)"), 300.0),
    (("school", "School", "POINT(500 -100)"), 450.0),
    (("livestock", "Pen", "POINT(500 -100)"), 450.0),
    (("spray neighbour", "Hops", "POINT(500 -100)"), 300.0),
    (("public road", "Road", "LINESTRING(500 -60,500 -400)"), 100.0),
    (("water", "Pond", "POINT(500 0)"), 30.0),
    (("hazard", "Guns", "POINT(500 0)"), 50.0),
]


@pytest.mark.parametrize(("feature", "buffer"), KEPT_OFF, ids=[feature[0] for feature, _ in KEPT_OFF])
def test_no_place_lies_within_the_buffer_and_one_lies_just_outside(
    orchard: Draw, box: Box, feature: tuple[str, str, str], buffer: float
) -> None:
    operation = orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE, feature))
    ground = ground_of(operation, "Early cherries")
    away = sorted(ground.keep_off[0].shape.distance(one.point) for one in places(operation).candidates)
    # Places are 25 ft apart along the lane: the nearest kept one is at most about that much farther off.
    assert buffer <= away[0] <= buffer + 26
    assert places(operation).left_out[0].reason == f"within {buffer:g} ft of {feature[0]} '{feature[1]}'"


def test_closed_ground_itself_is_left_out_without_a_buffer(orchard: Draw, box: Box) -> None:
    wet = ("wet ground", "Hollow", box(390, -20, 610, 20))
    found = places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE, wet)))
    # 400, 425, ... 600 lie on it: 9 places.
    assert [(one.reason, one.points) for one in found.left_out] == [("on wet ground 'Hollow'", 9)]


def test_a_track_that_does_not_join_is_left_out_and_counted(orchard: Draw, box: Box) -> None:
    far = ("track", "Island", "LINESTRING(0 700,1000 700)")
    found = places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE, far)))
    assert {one.track for one in found.candidates} == {"Lane"}
    assert [one.reason for one in found.left_out] == [NO_TRACK]


def test_no_track_near_a_gate_is_one_sentence(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE,), gate=(-400.0, 0.0))
    with pytest.raises(SitingError, match=r"no track begins within 150 ft of a gate; the nearest is 400 ft away"):
        places(operation)


def test_more_tracks_than_an_orchard_has_are_refused(orchard: Draw, box: Box) -> None:
    lanes = tuple(("track", f"Lane {number}", f"LINESTRING(0 {number},1000 {number})") for number in range(401))
    with pytest.raises(SitingError, match=r"401 tracks are given, at most 400 can be looked at\."):
        places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=lanes))


def test_without_tracks_the_edges_of_blocks_serve_and_the_note_says_what_is_not_known(orchard: Draw, box: Box) -> None:
    found = places(orchard(blocks={"A": box(0, 10, 1000, 800)}))
    assert "whether a forklift reaches them is not known" in found.notes[0]
    assert {one.stand for one in found.candidates} == {None}


def test_when_no_place_is_left_the_reasons_are_told(orchard: Draw, box: Box) -> None:
    farm = ("house", "Farm", box(-100, -100, 1100, 100))
    with pytest.raises(SitingError, match=r"no place is left where a drop may stand: 41 within 300 ft of house 'Farm'"):
        places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE, farm)))


SUN: list[tuple[str, Any]] = [
    ("LINESTRING(540 -200,540 200)", False),  # 40 ft to the east: shaded
    ("LINESTRING(460 -200,460 200)", True),  # to the west: the morning sun comes in
    ("LINESTRING(640 -200,640 200)", True),  # 140 ft off: over it
    ("LINESTRING(400 -40,640 -40)", False),  # along the south: the south-east is shut
]


@pytest.mark.parametrize(("wood", "sun"), SUN)
def test_a_wood_to_the_east_or_south_east_keeps_the_morning_sun_off(orchard: Draw, box: Box, wood: str, sun: bool) -> None:
    found = places(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE, ("shade", "Spruces", wood))))
    ground = ground_of(orchard(blocks={"A": box(0, 10, 1000, 800)}, land=(LANE,)), "Early cherries")
    lane = ground.tracks[0][1]
    (middle,) = (one for one in found.candidates if abs(lane.project(one.point) - 500) < 1)
    assert middle.morning_sun is sun
