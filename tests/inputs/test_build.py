"""Size, room and weight of a hive follow from its rows."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.inputs.build import measure
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.operation import Constant, Operation

DOUBLE = HiveBuild(
    name="double", box_frames=10, bottom_board="solid", entrance="open", inner_cover=True, lid="telescoping"
)


def a_box(build="double", position=1, depth="deep", role="brood", frames=10, **more):
    return Box(build=build, position=position, depth=depth, role=role, frames=frames, **more)


def an_operation(*boxes, builds=(DOUBLE,), constants=()):
    return Operation(
        name="Test",
        time_zone="America/Chicago",
        first_night=dt.date(2027, 4, 1),
        last_night=dt.date(2027, 5, 1),
        hive_builds=builds,
        boxes=boxes,
        constants=constants,
    )


def test_a_double_deep_as_it_stands_is_as_high_as_its_parts():
    size = measure(an_operation(a_box(), a_box(position=2)), "double", travelling=False)
    assert size.height_in == pytest.approx(2.25 + 9.625 + 9.625 + 0.75 + 1.0)
    assert size.length_in == pytest.approx(22.0)
    assert size.width_in == pytest.approx(16.25 + 2.0)


def test_a_double_deep_on_the_road_has_a_flush_migratory_lid():
    size = measure(an_operation(a_box(), a_box(position=2)), "double", travelling=True)
    assert size.height_in == pytest.approx(2.25 + 9.625 + 9.625 + 2.0)
    assert size.width_in == pytest.approx(16.25)


def test_a_pallet_is_the_floor_of_hives_built_so():
    build = DOUBLE.model_copy(update={"bottom_board": "pallet"})
    size = measure(an_operation(a_box(), builds=(build,)), "double", travelling=True)
    assert size.height_in == pytest.approx(9.625 + 2.0)
    assert size.length_in == pytest.approx(21.875)


def test_honey_supers_do_not_travel():
    operation = an_operation(a_box(), a_box(position=2, depth="medium", role="honey super"))
    assert measure(operation, "double", travelling=True).frames_for_bees == 10
    assert measure(operation, "double", travelling=False).frames_for_bees == 20
    assert (
        measure(operation, "double", travelling=True).height_in
        < measure(operation, "double", travelling=False).height_in
    )


def test_eight_frame_hives_are_narrower_and_lighter():
    eight = DOUBLE.model_copy(update={"name": "eight", "box_frames": 8})
    operation = an_operation(a_box(), a_box(build="eight", frames=8), builds=(DOUBLE, eight))
    ten, slim = (measure(operation, name, travelling=True) for name in ("double", "eight"))
    assert slim.width_in == pytest.approx(14.0)
    assert slim.weight_high_lb == pytest.approx(0.8 * ten.weight_high_lb)


def test_a_ten_frame_box_with_a_two_frame_feeder_holds_eight_frames():
    operation = an_operation(a_box(frames=8, feeder="frame feeder", feeder_displaces_frames=2))
    assert measure(operation, "double", travelling=True).frames_for_bees == 8


def test_frames_that_the_feeder_leaves_no_room_for_are_not_counted():
    operation = an_operation(a_box(frames=10, feeder="frame feeder", feeder_displaces_frames=2))
    assert measure(operation, "double", travelling=True).frames_for_bees == 10 - 2


def test_a_top_feeder_takes_no_frames_but_stands_on_top():
    operation = an_operation(a_box(feeder="top feeder", feeder_displaces_frames=2))
    size = measure(operation, "double", travelling=True)
    assert size.frames_for_bees == 10
    assert size.height_in == pytest.approx(2.25 + 9.625 + 4.0 + 2.0)


def test_weights_are_those_of_the_parts():
    size = measure(an_operation(a_box(), a_box(position=2)), "double", travelling=True)
    assert size.weight_low_lb == pytest.approx(40 + 40 + 4 + 3)
    assert size.weight_high_lb == pytest.approx(60 + 60 + 8 + 8)


def test_syrup_left_in_the_feeder_makes_the_heavier_weight_heavier():
    box = a_box(frames=8, feeder="frame feeder", feeder_displaces_frames=2)
    full = DOUBLE.model_copy(update={"feed_left": "full"})
    dry = measure(an_operation(box), "double", travelling=True)
    wet = measure(an_operation(box, builds=(full,)), "double", travelling=True)
    assert wet.weight_high_lb - dry.weight_high_lb == pytest.approx(2 * 11)
    assert wet.weight_low_lb == dry.weight_low_lb


def test_the_users_scale_replaces_the_table():
    weighed = DOUBLE.model_copy(
        update={"lid": "migratory", "inner_cover": False, "weight_low_lb": 95.0, "weight_high_lb": 118.0}
    )
    size = measure(an_operation(a_box(), a_box(position=2), builds=(weighed,)), "double", travelling=True)
    assert (size.weight_low_lb, size.weight_high_lb) == (95.0, 118.0)


def test_what_comes_off_for_the_road_is_taken_off_the_users_scale():
    weighed = DOUBLE.model_copy(
        update={"lid": "migratory", "inner_cover": False, "weight_low_lb": 150.0, "weight_high_lb": 190.0}
    )
    operation = an_operation(
        a_box(), a_box(position=2, role="honey super", depth="medium"), builds=(weighed,)
    )
    size = measure(operation, "double", travelling=True)
    assert size.weight_low_lb == pytest.approx(150 - 65)
    assert size.weight_high_lb == pytest.approx(190 - 10.25)


def test_the_users_own_size_replaces_the_published_one():
    own = (Constant(name="hive_box_width_10_in", value=16.0, source="our own rule, spring 2026"),)
    assert measure(an_operation(a_box(), constants=own), "double", travelling=True).width_in == 16.0


def test_an_unknown_build_is_named():
    with pytest.raises(ValueError, match="'single'"):
        measure(an_operation(), "single", travelling=True)


@given(
    frames=st.integers(0, 10),
    displaced=st.integers(0, 4),
    low=st.none() | st.floats(1, 500),
    high=st.none() | st.floats(1, 500),
    travelling=st.booleans(),
    role=st.sampled_from(["brood", "honey super"]),
)
def test_no_rows_make_nonsense(frames, displaced, low, high, travelling, role):
    build = DOUBLE.model_copy(update={"weight_low_lb": low, "weight_high_lb": high})
    box = a_box(frames=frames, role=role, feeder="frame feeder", feeder_displaces_frames=displaced)
    size = measure(an_operation(box, builds=(build,)), "double", travelling=travelling)
    assert 0 <= size.weight_low_lb <= size.weight_high_lb
    assert 0 <= size.frames_for_bees <= 10 - displaced
