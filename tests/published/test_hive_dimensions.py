"""Outside sizes of hives against published dimensions.

Sources: carolinahoneybees.com, "Langstroth hive dimensions" (box 19 7/8 x 16 1/4 in outside, 18 3/8 x 14 3/4
inside, deep 9 5/8, medium 6 5/8 in);
insectville.com, "10-frame Langstroth hive dimensions" (8-frame width 14 in);
visualfoodie.com, "guide to standard Langstroth hive dimensions" (bee space 1/4 to 3/8 in);
dchoneybees.blogspot.com (2013), "Commercial migratory pallet design" (a four-way pallet 33 x 47 in carries
four 10-frame hives; two stand side by side on a 102 in deck).
"""

import datetime as dt

import pytest

from routing.inputs.build import measure
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.operation import Operation
from routing.limits import limit


def one_box_hive(*, depth="deep", box_frames=10, frames=10, **box):
    build = HiveBuild(
        name="b", box_frames=box_frames, bottom_board="pallet", entrance="open", lid="migratory"
    )
    row = Box(build="b", position=1, depth=depth, role="brood", frames=frames, **box)
    operation = Operation(
        name="Test",
        time_zone="America/Chicago",
        first_night=dt.date(2027, 4, 1),
        last_night=dt.date(2027, 5, 1),
        hive_builds=(build,),
        boxes=(row,),
    )
    return measure(operation, "b", travelling=True)


@pytest.mark.parametrize(("box_frames", "width_in"), [(10, 16 + 1 / 4), (8, 14)])
def test_outside_widths_are_the_published_ones(box_frames, width_in):
    assert one_box_hive(box_frames=box_frames, frames=box_frames).width_in == width_in


@pytest.mark.parametrize(
    ("depth", "height_in"), [("deep", 9 + 5 / 8), ("medium", 6 + 5 / 8), ("shallow", 5 + 7 / 8)]
)
def test_box_heights_are_the_published_ones(depth, height_in):
    assert one_box_hive(depth=depth).height_in - limit("hive_migratory_height_in").value == height_in


def test_box_walls_are_three_quarter_inch_boards():
    # 19 7/8 - 18 3/8 = 1 1/2 in and 16 1/4 - 14 3/4 = 1 1/2 in: two walls of 3/4 in.
    for outside, inside in (("length", "inside_length"), ("width_10", "inside_width_10")):
        walls_in = limit(f"hive_box_{outside}_in").value - limit(f"hive_box_{inside}_in").value
        assert walls_in == 2 * 0.75


def test_ten_frames_leave_bee_space_beside_the_outer_combs():
    # Hoffman frames are 1 3/8 in wide at the end bars (from memory): 14 3/4 - 10 x 1 3/8 = 1 in for both
    # sides together, and each side is more than the least bee space of 1/4 in.
    side_in = (limit("hive_box_inside_width_10_in").value - 10 * 1.375) / 2
    assert side_in >= limit("bee_space_low_in").value == 1 / 4
    assert limit("bee_space_high_in").value == 3 / 8


def test_four_ten_frame_hives_stand_on_a_33_by_47_inch_pallet():
    hive = one_box_hive()
    assert 2 * hive.width_in <= 33
    assert 2 * hive.length_in <= 47
    assert 2 * 47 + 8 == 102


def test_a_ten_frame_box_with_a_two_frame_feeder_holds_eight():
    """Common practice, no source."""
    assert one_box_hive(frames=8, feeder="frame feeder", feeder_displaces_frames=2).frames_for_bees == 8
