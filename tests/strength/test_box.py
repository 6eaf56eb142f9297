"""A box is added when about 70 % of the frames are occupied (common practice, no source)."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant
from routing.strength.box import box_due

TINY = tiny_operation()
APRIL_1 = dt.date(2027, 4, 1)


def test_the_box_is_due_on_the_first_day_over_seventy_percent() -> None:
    # Room 18, of which 12.6; 10 frames on April 1, 0.75 a week: 2.6 / 0.75 x 7 = 24.3 days.
    group = TINY.hive_groups[0].model_copy(update={"inspected_on": APRIL_1, "frames_seen": "10x16"})
    found = box_due(TINY, group, APRIL_1)
    assert (found.room_frames, found.full_share) == (18.0, 0.70)
    assert found.occupied_share == pytest.approx(10 / 18)
    assert found.due_on == dt.date(2027, 4, 26)


def test_the_share_is_the_users_own() -> None:
    group = TINY.hive_groups[0].model_copy(update={"inspected_on": APRIL_1, "frames_seen": "10x16"})
    own = TINY.model_copy(update={"constants": (Constant(name="box_full_share", value=0.5, source="own"),)})
    assert box_due(own, group, APRIL_1).due_on == APRIL_1


def test_a_colony_that_never_fills_its_boxes_needs_none() -> None:
    group = TINY.hive_groups[0].model_copy(update={"inspected_on": dt.date(2027, 7, 1), "frames_seen": "4x16"})
    assert box_due(TINY, group, dt.date(2027, 7, 1)).due_on is None
    assert box_due(TINY, group.model_copy(update={"frames_seen": None}), APRIL_1).occupied_share == 0.0
