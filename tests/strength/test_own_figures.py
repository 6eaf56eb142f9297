"""Every figure of the strength room may be the user's own, anywhere in its range, and nothing stumbles."""

import datetime as dt
import math

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.cross_check import cross_check
from routing.inputs.cross_check_names import own_figures, own_range
from routing.inputs.operation import Constant, Operation
from routing.strength.losses import hives_on
from routing.strength.on_date import strength_on
from routing.strength.options import choices
from routing.strength.passing import pass_chance
from routing.strength.sampling import group_sample, yard_sample

TINY = tiny_operation()
PARTS = ("growth_", "population_", "loss_", "split_", "combine_", "sample_", "box_full", "bees_per", "contract_opened",
         "inspections_used", "frames_sd", "strength_confidence", "below_floor")  # fmt: skip
NAMES = sorted(name for name in own_figures() if name.startswith(PARTS))


def own(**figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants})


def test_the_figures_are_all_there() -> None:
    assert len(NAMES) >= 37


@pytest.mark.parametrize("name", NAMES)
def test_at_both_ends_of_its_range_a_figure_gives_finite_answers(name: str) -> None:
    night = dt.date(2027, 5, 20)
    for value in own_range(own_figures()[name]):
        operation = own(**({"growth_counted_share": 1.0, "growth_model_share": 0.5} | {name: value}))
        assert not list(cross_check(operation))
        group, contract = TINY.hive_groups[0], TINY.contracts[0]
        found = strength_on(operation, group, night)
        chance = pass_chance(operation, contract, {group.name: group.hives}, night, draws=200)
        choice = choices(operation, group, contract, done_on=dt.date(2027, 4, 17), night=night)
        told = (found.mean_frames, found.counted_frames, found.mean_sd_frames, found.sd_frames, chance.chance,
                hives_on(operation, group, night).expected, choice.options[-1].gain_usd)  # fmt: skip
        assert all(math.isfinite(one) for one in told)
        assert 0.0 <= found.counted_frames <= found.room_frames
        assert group_sample(operation, group).to_open <= group.hives
        assert yard_sample(operation, "Home yard").to_open <= 30


@pytest.mark.parametrize("name", ["strength_confidence", "sample_confidence"])
@pytest.mark.parametrize(("value", "right"), [(0.49, False), (0.5, True), (0.999, True), (1.0, False)])
def test_a_confidence_lies_between_a_half_and_one(name: str, value: float, right: bool) -> None:
    assert (list(cross_check(own(**{name: value}))) == []) == right
