"""Tracks as a network: joined where they meet, reached from the gate, measured along their bends."""

import math

import pytest
from shapely.geometry import LineString, Point

from routing.drops.tracks import Stand, TrackNet, track_net

Tracks = tuple[tuple[str, LineString], ...]


def stand(net: TrackNet, x: float, y: float) -> Stand:
    """Return the stand nearest to a point."""
    at = Point(x, y)
    place = min(range(len(net.pieces)), key=lambda one: net.pieces[one].line.distance(at))
    return Stand(place, net.pieces[place].line.project(at))


CROSS: Tracks = (("Level", LineString([(0, 0), (1000, 0)])), ("Upright", LineString([(400, -300), (400, 500)])))


def test_tracks_that_cross_are_driven_from_one_to_the_other() -> None:
    net = track_net(CROSS, Point(0, 10), join_ft=20)
    assert len(net.pieces) == 4
    # 10 to the track, 400 along it, 500 up.
    assert net.from_gate_ft(stand(net, 400, 500)) == pytest.approx(910)
    assert net.between_ft(stand(net, 400, -300), stand(net, 900, 0)) == pytest.approx(800)
    assert net.between_ft(stand(net, 100, 0), stand(net, 250, 0)) == pytest.approx(150)


def test_a_gate_beside_the_middle_of_a_track_is_joined_there() -> None:
    net = track_net(CROSS, Point(700, -30), join_ft=20)
    assert net.gate_way_ft == pytest.approx(30)
    assert net.from_gate_ft(stand(net, 0, 0)) == pytest.approx(730)
    assert net.from_gate_ft(stand(net, 1000, 0)) == pytest.approx(330)


@pytest.mark.parametrize(("gap", "reached"), [(0.0, True), (19.0, True), (21.0, False)])
def test_ends_nearer_than_the_joining_distance_meet(gap: float, reached: bool) -> None:
    tracks = (("One", LineString([(0, 0), (500, 0)])), ("Two", LineString([(250, gap), (250, 400)])))
    net = track_net(tracks, Point(0, 0), join_ft=20)
    assert {piece.reached for piece in net.pieces if piece.name == "Two"} == {reached}
    way = net.from_gate_ft(stand(net, 250, 400))
    assert way == pytest.approx(650) if reached else way == math.inf


def test_a_closed_round_is_driven_the_shorter_way() -> None:
    ring = (("Round", LineString([(0, 0), (300, 0), (300, 300), (0, 300), (0, 0)])),)
    net = track_net(ring, Point(150, -5), join_ft=20)
    # From the middle of the south side: 150 + 300 to the north-west corner either way about; 150 to the corners.
    assert net.from_gate_ft(stand(net, 0, 300)) == pytest.approx(5 + 450)
    assert net.from_gate_ft(stand(net, 300, 100)) == pytest.approx(5 + 250)
    assert net.between_ft(stand(net, 0, 100), stand(net, 300, 100)) == pytest.approx(500)


def test_two_tracks_between_the_same_ends_give_the_shorter() -> None:
    pair = (("Straight", LineString([(0, 0), (400, 0)])), ("Bow", LineString([(0, 0), (200, 150), (400, 0)])))
    net = track_net(pair, Point(0, 0), join_ft=1)
    # Over the bow 250 + 250; straight 400.
    assert net.from_gate_ft(stand(net, 400, 0)) == pytest.approx(400)
    assert net.from_gate_ft(stand(net, 200, 150)) == pytest.approx(250)
