"""Gaps for air: the least one is found, and asked for only by a user who gives a figure."""

import pytest

from routing.inputs.operation import Constant
from routing.loads.circumstances import Circumstances
from routing.loads.gaps import gap_findings, least_gap_in
from routing.loads.solve import deck_plan

ASKED = Circumstances(temperature_f=50.0, riders=(), constants=(Constant(name="least_air_gap_in", value=3.0, source="ours"),))


@pytest.mark.parametrize(("second", "gap_in"), [
    ({"left_in": 48.0}, 3.0),  # beside: 48 - 45
    ({"front_in": 39.5}, 2.5),  # behind: 39.5 - 37
    ({"front_in": 39.5, "left_in": 50.0}, 60.0),  # cornerwise: nothing between
    ({"left_in": 48.0, "tier": 2}, 60.0),
    ({"left_in": 45.0}, 0.0),
])  # fmt: skip
def test_the_least_gap_is_beside_or_behind(placement, second, gap_in):
    assert least_gap_in([placement("A1"), placement("A2", **second)])[0] == pytest.approx(gap_in)


@pytest.mark.parametrize(("left_in", "status"), [(48.0, "ok"), (47.9, "broken")])
def test_a_gap_that_the_user_asks_for_is_checked(placement, load, left_in, status):
    (found,) = gap_findings(load(placement("A1"), placement("A2", left_in=left_in)), about=ASKED)
    assert (found.status, found.note) == (status, "between A1 and A2")


def test_without_a_figure_none_is_asked(placement, load):
    assert gap_findings(load(placement()), about=Circumstances(temperature_f=50.0, riders=())) == ()


def test_a_deck_plan_leaves_the_air_that_the_user_asks_for(rig, batch, load):
    airy = rig().model_copy(update={"constants": ASKED.constants})
    # 240 + 3 in take six rows of 37 + 3, and 96 + 3 in two of 45 + 3 across: all twelve ride.
    plan = deck_plan(airy, (batch("A", 7, (1, 2)), batch("B", 5, (1, 3))))
    assert (len(plan.units), plan.told) == (12, "")
    (found,) = gap_findings(load(*plan.units), about=ASKED)
    assert (found.status, found.measured) == ("ok", 3.0)
    assert max(unit.front_in + unit.length_in for unit in plan.units) <= 240.0
