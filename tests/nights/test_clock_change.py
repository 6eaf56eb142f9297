"""Hours across a change of clocks are the hours that pass, in the plan as in the judge."""

import datetime as dt

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant
from routing.nights.check import check_plan
from routing.plan import make_plan

CLOCKS_GO_BACK = dt.date(2027, 11, 6)
"""The evening before the first Sunday of November (15 U.S.C. 260a)."""


def later(record, days):
    """Return a record with every date so many days later."""
    return record.model_copy(update={name: value + days for name, value in record if isinstance(value, dt.date)})


def test_a_night_on_which_the_clocks_change_costs_the_hours_that_pass():
    operation = tiny_operation()
    first = operation.contracts[0]
    days = CLOCKS_GO_BACK - first.in_from
    tables = {name: tuple(later(row, days) for row in value) for name, value in operation if isinstance(value, tuple)}
    only = {"in_until": CLOCKS_GO_BACK, "late_nights_allowed": 0, "open_from": dt.time(23, 59)}
    contract = tables["contracts"][0].model_copy(update=only)
    slow = Constant(name="stop_setup_min", value=120.0, source="so that the night's work goes on past two o'clock")
    tables["constants"] = (slow, *(one for one in operation.constants if one.name != slow.name))
    autumn = later(operation, days).model_copy(update=tables | {"contracts": (contract, *tables["contracts"][1:])})
    plan = make_plan(autumn, seed=1, steps=2)
    (long,) = [one for one in plan.truck_nights if one.night == CLOCKS_GO_BACK]
    assert long.stops[0].leave.utcoffset() != long.stops[-1].arrive.utcoffset()
    assert not [one for one in check_plan(plan) if one.status == "broken"]
