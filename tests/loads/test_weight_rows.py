"""One straight line for each weight limit, and they agree with the judge."""

import pytest

from routing.inputs.constants import own_limit
from routing.inputs.operation import Constant
from routing.inputs.rigging import Carried, RoadLimit
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances
from routing.loads.sizes import sizes
from routing.loads.states import stretches_of
from routing.loads.vehicle import riding_along, vehicle
from routing.loads.weighing import weighing
from routing.loads.weight_rows import weight_rows


def test_every_row_that_breaks_is_a_broken_finding_and_none_else(trailer, placement, load):
    rig = trailer()
    for front_in in (0.0, 60.0, 120.0, 180.0):
        for heavy_lb in (500.0, 3000.0, 9000.0):
            unit = placement(front_in=front_in, left_in=25.5, weight_high_lb=heavy_lb)
            (units,) = stretches_of([unit])
            rows = any(row.worst_lb(units) > row.limit_lb + 1e-6 for row in weight_rows(rig))
            judged = [one.check for one in weighing(load(unit), rig) if one.status == "broken"]
            assert rows == bool(judged), (front_in, heavy_lb, judged)


def test_people_fuel_and_nets_weigh_on_the_axles_by_moments(rig):
    carried = Carried(truck="Old blue", what="nets", weight_lb=190.0, behind_in=100.0)
    one = rig(helpers=2).model_copy(update={"carried": (carried,)})
    assert [(each.what, each.weight_lb) for each in riding_along(one)] == [("nets", 190.0), ("helpers", 400.0)]
    # 190 x 100 / 190 = 100 lb of the nets and 400 x 30 / 190 of the helpers on the rear axle.
    steer, rear = vehicle(one).empty_lb
    assert rear == pytest.approx(6400 + 100 + 400 * 30 / 190)
    assert steer + rear == pytest.approx(11800 + 590)


def test_people_and_nets_take_from_the_payload(rig, placement, load):
    carried = Carried(truck="Old blue", what="nets", weight_lb=190.0, behind_in=100.0)
    one = rig(helpers=1).model_copy(update={"carried": (carried,)})
    payload = next(each for each in weighing(load(placement()), one) if each.check == "payload")
    assert payload.limit == 12000 - 190 - 200


@pytest.mark.parametrize(("kind", "value", "status"), [
    ("gross weight", 12322.0, "ok"), ("gross weight", 12321.0, "broken"),
    ("steer axle", 5800.0, "ok"), ("steer axle", 5600.0, "broken"),
    ("single axle", 6700.0, "ok"), ("single axle", 6600.0, "broken"), ("tandem", 1.0, None),
])  # fmt: skip
def test_a_listed_weight_limit_is_told_and_kept(rig, placement, load, kind, value, status):
    """522 lb with its middle 78.5 in behind the steer axle: 216 lb on the rear axle, 306 lb on the steer axle."""
    row = RoadLimit(where="Example County", kind=kind, value=value, source="invented")
    one = rig().model_copy(update={"road_limits": (row,)})
    found = [each for each in weighing(load(placement()), one) if "Example County" in each.check]
    told = {"steer axle": 1, "gross weight": 1, "single axle": 2, "tandem": 0}[kind]
    assert len(found) == told
    assert status is None or any(each.status == "broken" for each in found) == (status == "broken")
    assert not any("State's roads" in each.check for each in weighing(load(placement()), one))


def test_what_no_row_lists_is_unknown(rig, placement, load):
    (found,) = [one for one in weighing(load(placement()), rig()) if "State's roads" in one.check]
    assert found.status == "unknown"


def test_listed_sizes_are_checked_or_told_unknown(rig, placement, load):
    rows = tuple(RoadLimit(where="Example State", kind=kind, value=value, source="invented")
                 for kind, value in (("height", 67.0), ("width", 95.0), ("overall length", 480.0)))  # fmt: skip
    found = sizes(load(placement()), rig().model_copy(update={"road_limits": rows}))
    # 42 + 25.75 = 67.75 in high; the deck is 96 in wide; the overall length is not known.
    assert [(one.status, one.measured) for one in found] == [("broken", 67.75), ("broken", 96.0), ("unknown", None)]


def test_a_listed_height_takes_the_place_of_the_lowest_of_all_states(rig, placement, load):
    calm = Circumstances(temperature_f=45.0, riders=())
    high = rig(most_height_in=180.0)
    tall = load(placement(height_in=121.0))  # 42 + 121 = 163 in, over 162
    west = RoadLimit(where="Example State", kind="height", value=168.0, source="invented")
    plain = {one.check: one.status for one in check_load(tall, high, about=calm)}
    listed = {one.check: one.status for one in check_load(tall, high.model_copy(update={"road_limits": (west,)}), about=calm)}
    assert plain["height over the road, States' limit"] == "broken"
    assert "height over the road, States' limit" not in listed
    assert listed["height, Example State"] == "ok"


def test_a_user_s_own_figure_goes_before_the_default(rig, placement, load):
    own = Constant(name="side_balance_share", value=0.001, source="our own rule")
    strict = rig().model_copy(update={"constants": (own,)})
    for one, status in ((rig(), "ok"), (strict, "broken")):
        found = next(each for each in weighing(load(placement(left_in=20.0)), one) if each.check == "one side heavier")
        assert found.status == status
    assert (found.force, found.source, found.limit) == ("own figure", "our own rule", 0.001)


def test_the_law_is_nobody_s_to_replace():
    own = Constant(name="gross_lb", value=99000.0, source="wish")
    assert own_limit((own,), "gross_lb").value == 80000.0
