"""Hives on their pallet: the lid decides how many fit, and what sticks out is told."""

import pytest

from fixtures.tiny import tiny_operation
from fixtures.tiny_plan import TRUCK_NIGHTS
from routing.inputs.fleet import Pallet
from routing.loads.on_pallets import hives_that_fit, pallet_findings, sticks_out_in


def pallet(length_in=45.0, width_in=37.0, hives=4):
    return Pallet(name="P", length_in=length_in, width_in=width_in, height_in=4.5, hives=hives, weight_lb=42.0)


@pytest.mark.parametrize(("size", "fit"), [
    ((19.875, 16.25), 4),  # ten frames under a flush lid: 2 x 19.875 = 39.75 along 45, 2 x 16.25 = 32.5 along 37
    ((21.75, 18.75), 2),  # under a telescoping cover: 37.5 in is more than 37
    ((19.875, 14.0), 4),  # eight frames: 2 x 2; turned 3 x 14 = 42 along and 1 across, only 3
])  # fmt: skip
def test_the_lid_and_the_width_of_the_box_decide(size, fit):
    assert hives_that_fit(pallet(), *size) == fit


def test_what_sticks_out_is_halved_to_either_side():
    # 2 x 16.25 = 32.5 in on 30 in: 1.25 in on each side.
    assert sticks_out_in(pallet(width_in=30.0), 19.875, 16.25) == pytest.approx(1.25)
    assert sticks_out_in(pallet(), 19.875, 16.25) == 0.0


def test_groups_on_pallets_are_told_and_loose_ones_are_not():
    lots = [lot for night in TRUCK_NIGHTS for stop in night.stops for lot in stop.picked_up]
    found = pallet_findings(tiny_operation(), lots, "it")
    assert [one.check for one in found] == ["hives of H1 over the edge of their pallet"]
    assert "fit without sticking out" in found[0].note
