"""What only a smaller load cures is told apart from what the crew cures."""

import pytest

from routing.finding import at_most
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances, Riders
from routing.loads.verdict import broken_as_loaded, can_ride

SHUT_IN = Circumstances(
    temperature_f=90.0, riders=(Riders(group="H1", hives=4, strapped=False, air="none", entrance="closed"),), net=False,
    water_gal=0.0,
)  # fmt: skip


def test_straps_screens_and_water_are_for_the_crew(rig, placement, load):
    found = check_load(load(placement()), rig(straps=(), headboard_height_in=1.0, headboard_holds_lb=1.0), about=SHUT_IN)
    assert len([one for one in found if one.status == "broken"]) >= 6
    assert broken_as_loaded(found) == ()


@pytest.mark.parametrize("change", [
    {"weight_high_lb": 13000.0}, {"front_in": 210.0}, {"height_in": 125.0}, {"tier": 2}, {"left_in": 60.0},
])  # fmt: skip
def test_weights_and_places_are_not(rig, placement, load, change):
    one = load(placement(**change))
    judged = one.model_copy(update={"findings": check_load(one, rig(), about=SHUT_IN)})
    assert not can_ride(judged)


def test_a_paper_is_not_cured_by_a_smaller_load(load, placement):
    paper = at_most("entry permit, Example State", "it", measured=1, limit=0, force="law",
                    source="your own table of papers; the State's word goes before it")  # fmt: skip
    assert can_ride(load(placement()).model_copy(update={"findings": (paper,)}))
