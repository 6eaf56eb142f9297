"""Builds, boxes and hive groups fit each other."""

from collections.abc import Callable
from typing import Any

import pytest

Told = Callable[[dict[str, Any]], list[str]]

# The worked example: a 10-frame double deep. Below: 8 frames and a feeder in the room of 2. Above: 10 frames.


@pytest.mark.parametrize(("frames", "is_fault"), [(8, False), (9, True)])
def test_a_ten_frame_box_with_a_two_frame_feeder_holds_eight(told: Told, frames: int, is_fault: bool) -> None:
    # 10 - 2 = 8 (common practice, no source)
    found = told({"boxes": [{"frames": frames}]})
    assert (
        found == [f"boxes[0].frames: {frames} beside a feeder in the room of 2 | at most 8 in a 10-frame box"]
    ) is is_fault


@pytest.mark.parametrize(("frames", "faults"), [(8, 0), (9, 1)])
def test_an_eight_frame_box_holds_eight(told: Told, frames: int, faults: int) -> None:
    boxes = [{"frames": 6}, {"frames": frames}]
    assert len(told({"hive_builds": [{"box_frames": 8}], "boxes": boxes})) == faults


def test_bees_on_more_frames_than_the_boxes_hold_are_told(told: Told) -> None:
    # 8 + 10 = 18 frames
    assert told({"hive_groups": [{"frames_seen": "18"}]}) == []
    assert told({"hive_groups": [{"frames_seen": "8, 18.5"}]}) == [
        "hive_groups[0].frames_seen: a hive of 18.5 frames | at most the 18 frames of build 'double deep 10'"
    ]


def test_fourteen_frames_in_a_ten_frame_single_are_told(told: Told) -> None:
    single = {"hive_builds": [{}, {"name": "single"}], "boxes": [{}, {}, {"build": "single", "frames": 8}]}
    by_mean = {"frames_seen": None, "frames_mean": 14.0, "frames_sd": 1.0, "hives_inspected": 6}
    for seen in ({"frames_seen": "14"}, by_mean):
        (sentence,) = told(single | {"hive_groups": [seen | {"build": "single"}]})
        assert "at most the 8 frames of build 'single'" in sentence


def test_strength_is_given_one_way_or_the_other(told: Told) -> None:
    by_mean = {"frames_mean": 8.0, "frames_sd": 1.0, "hives_inspected": 6}
    assert told({"hive_groups": [by_mean | {"frames_seen": None}]}) == []
    assert [one.split(":")[0] for one in told({"hive_groups": [by_mean]})] == [
        "hive_groups[0].frames_mean", "hive_groups[0].frames_sd", "hive_groups[0].hives_inspected"
    ]  # fmt: skip


def test_no_strength_at_all_is_told_once(told: Told) -> None:
    assert told({"hive_groups": [{"frames_seen": None}]}) == [
        "hive_groups[0].frames_seen: nothing | frames seen, or their mean, spread and the hives inspected"
    ]


def test_a_mean_without_its_spread_and_number_is_told(told: Told) -> None:
    found = told({"hive_groups": [{"frames_seen": None, "frames_mean": 8.0}]})
    assert [one.split(":")[0] for one in found] == [
        "hive_groups[0].frames_sd", "hive_groups[0].hives_inspected"
    ]  # fmt: skip


@pytest.mark.parametrize(("opened", "faults"), [(24, 0), (25, 1)])
def test_no_more_hives_are_inspected_than_there_are(told: Told, opened: int, faults: int) -> None:
    by_mean = {"frames_seen": None, "frames_mean": 8.0, "frames_sd": 1.0, "hives_inspected": opened}
    assert len(told({"hive_groups": [by_mean]})) == faults
    assert len(told({"hive_groups": [{"frames_seen": f"8x{opened}"}]})) == faults


def test_frames_that_cannot_be_read_are_told_in_words(told: Told) -> None:
    (sentence,) = told({"hive_groups": [{"frames_seen": "8, nine"}]})
    assert sentence.startswith("hive_groups[0].frames_seen: a text in which 'nine' is neither frames of one hive (9.5)")


STACKS = [
    ([{"position": 1}, {"position": 3}], "boxes at 1, 3"),
    ([{"position": 2}, {"position": 3}], "boxes at 2, 3"),
    ([{"role": "honey super"}, {}], "a honey super below a brood box"),
    ([{"role": "honey super"}, {"role": "honey super"}], "no brood box"),
]


@pytest.mark.parametrize(("boxes", "found"), STACKS)
def test_a_stack_that_cannot_stand_is_told(told: Told, boxes: list[dict[str, Any]], found: str) -> None:
    (sentence,) = told({"boxes": boxes})
    assert sentence.startswith(f"hive_builds[0].name: {found} | ")


def test_a_build_without_a_box_is_told(told: Told) -> None:
    (sentence,) = told({"hive_builds": [{}, {"name": "lid only"}]})
    assert sentence.startswith("hive_builds[1].name: no box | ")


FEEDERS = [
    ({"feeder": "none"}, "2 | 0, since the feeder is 'none'"),
    ({"feeder": "top feeder"}, "2 | 0, since the feeder is 'top feeder'"),
    ({"feeder_displaces_frames": 0}, "0 | 1 to 4: a frame feeder hangs among the frames"),
]


@pytest.mark.parametrize(("box", "found"), FEEDERS)
def test_a_feeder_takes_room_only_where_it_hangs_among_frames(
    told: Told, box: dict[str, Any], found: str
) -> None:
    assert told({"boxes": [box]}) == [f"boxes[0].feeder_displaces_frames: {found}"]


def test_feed_without_a_feeder_is_told(told: Told) -> None:
    (sentence,) = told({
        "hive_builds": [{"feed_left": "full"}], "boxes": [{"feeder": "none", "feeder_displaces_frames": 0}]
    })  # fmt: skip
    assert sentence.startswith("hive_builds[0].feed_left: 'full' without a box that has a feeder")


def test_the_lightest_weight_is_at_most_the_heaviest(told: Told) -> None:
    assert told({"hive_builds": [{"weight_low_lb": 120.0, "weight_high_lb": 120.0}]}) == []
    assert told({"hive_builds": [{"weight_low_lb": 120.5, "weight_high_lb": 120.0}]}) == [
        "hive_builds[0].weight_low_lb: 120.5 | at most the heaviest weight, 120 lb"
    ]


@pytest.mark.parametrize(("heaviest_lb", "faults"), [(23.4, 1), (23.5, 0)])
def test_a_scale_must_leave_a_hive_when_honey_supers_are_off(told: Told, heaviest_lb: float, faults: int) -> None:
    # The second box is an empty honey super: 8.5 of the least weights for a shallow one, its lid changes from 8 to 3 lb.
    # Off come 8.5 + (8 - 3) = 13.5 lb at the least; 10 lb must ride.
    boxes = [{}, {"role": "honey super", "depth": "shallow", "frames": 10}]
    build = {"weight_low_lb": 11.0, "weight_high_lb": heaviest_lb, "lid": "telescoping", "inner_cover": False}
    found = told({"hive_builds": [build], "boxes": boxes, "hive_groups": [{"frames_seen": "7"}]})
    assert len(found) == faults
    assert all(one.startswith("hive_builds[0].weight_high_lb: 23.4 | at least 24 lb") for one in found)


def test_hives_whose_floor_is_a_pallet_name_their_pallet(told: Told) -> None:
    (sentence,) = told({"hive_builds": [{"bottom_board": "pallet"}], "hive_groups": [{"pallet": None}]})
    assert sentence.startswith("hive_groups[0].pallet: nothing | a pallet kind")


@pytest.mark.parametrize(("room", "faults"), [(24, 0), (23, 1)])
def test_a_yard_has_room_for_the_hives_that_stand_there(told: Told, room: int, faults: int) -> None:
    assert len(told({"yards": [{"capacity_hives": room}]})) == faults
