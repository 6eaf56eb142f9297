"""Joining and splitting: what they do to counts and frames, and when they pay."""

import datetime as dt
from typing import Any

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.contract import Contract
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.strength.hives import hives_expected, seen_of_all
from routing.strength.inspection import inspection
from routing.strength.options import Choice, best_fit, choices

TINY = tiny_operation()
DAY = dt.date(2027, 4, 1)


def group(frames_seen: str | None, hives: int, **changed: Any) -> HiveGroup:
    told = {"hives": hives, "inspected_on": DAY, "frames_seen": frames_seen}
    return TINY.hive_groups[0].model_copy(update=told | changed)


def contract(**changed: Any) -> Contract:
    told = {"colonies": 10, "min_average_frames": 8.0, "min_colony_frames": 6.0, "fee_usd_per_colony": 60.0}
    return TINY.contracts[0].model_copy(update=told | {"short_usd_per_colony": 10.0} | changed)


def own(**figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants})


def of(choice: Choice, kind: str) -> Any:
    return next(one for one in choice.options if one.kind == kind)


def test_two_weak_joined_make_one_that_meets_the_line() -> None:
    # Four of 5 frames: each pair gives 0.9 x 10 = 9 frames, over the floor of 6 and the average of 8.
    found = choices(own(combine_colony_usd=50.0), group("5x4", 4), contract(colonies=2), done_on=DAY, night=DAY)
    as_is, joined = of(found, "as they are"), of(found, "join two weak")
    assert (as_is.fit, as_is.income_usd, as_is.under_floor) == (0, -20.0, 4)
    assert (joined.times, joined.hives, joined.fit, joined.mean_frames) == (2, 2, 2, 9.0)
    # Income 2 x 60, no penalty; cost 2 x 50; against -20 as they are.
    assert joined.gain_usd == pytest.approx(120.0 - 100.0 + 20.0)
    assert found.pays == "join two weak"


def test_joining_does_not_pay_where_the_colony_given_up_is_worth_more() -> None:
    found = choices(own(combine_colony_usd=90.0), group("5x4", 4), contract(colonies=2), done_on=DAY, night=DAY)
    assert of(found, "join two weak").gain_usd < 0.0
    assert found.pays == "as they are"


def test_joined_colonies_are_no_stronger_than_their_boxes_hold() -> None:
    found = choices(own(), group("16x2", 2), contract(), done_on=DAY, night=DAY)
    assert of(found, "join two weak").mean_frames == 18.0


def test_splits_pay_once_both_parts_have_grown_to_the_line() -> None:
    strong, figures = group("14x10", 10), {"split_usd": 20.0, "split_days_without_brood": 14.0, "split_success_share": 1.0}
    wanted = contract(colonies=20, min_average_frames=7.0)
    at_once = choices(own(**figures), strong, wanted, done_on=DAY, night=DAY)
    assert of(at_once, "split one strong").fit == 20  # 14 frames halved are 7, at once
    firm = contract(colonies=20, min_average_frames=8.0)
    assert choices(own(**figures), strong, firm, done_on=DAY, night=DAY).pays == "split one strong"
    late = choices(own(**figures), strong, firm, done_on=DAY, night=DAY + dt.timedelta(days=28))
    split = of(late, "split one strong")
    # The old part grows 28 days, the new one 14: 7 + 3 and 7 + 1.5 frames.
    assert (split.times, split.hives, split.fit) == (10, 20, 20)
    assert split.mean_frames == pytest.approx((10.0 + 8.5) / 2)
    assert split.gain_usd == pytest.approx(10 * 60.0 + 10 * 10.0 - 10 * 20.0)


def test_queens_that_fail_leave_fewer_colonies() -> None:
    wanted = contract(colonies=8, min_average_frames=7.0)
    split = of(choices(own(split_success_share=0.5), group("14x4", 4), wanted, done_on=DAY, night=DAY), "split one strong")
    assert split.hives == 4 + split.times // 2


def test_no_bees_come_out_of_nothing() -> None:
    frames = [5.0, 6.0, 9.0, 12.0]
    found = choices(own(), group("5, 6, 9, 12", 4), contract(), done_on=DAY, night=DAY)
    for option in found.options:
        assert option.mean_frames * option.hives <= sum(frames) + 1e-9


def test_hives_wanted_before_they_are_split_are_refused() -> None:
    with pytest.raises(ValueError, match="after the night of 2027-03-31"):
        choices(own(), group("8x4", 4), contract(), done_on=DAY, night=DAY - dt.timedelta(days=1))


def test_the_strongest_are_sent_as_far_as_the_average_bears() -> None:
    # 10 + 9 + 7 + 6 = 32 = 4 x 8; with the next of 6 the average is under 8.
    assert best_fit([6.0, 6.0, 7.0, 9.0, 10.0, 5.0], contract()) == (4, 4 * 60.0 - 6 * 10.0)


def test_a_weak_lot_taken_at_a_price_is_sent_as_long_as_it_earns() -> None:
    # Five: 38 frames where 40 are asked: 2 x 20 USD off, 5 x 60 in, 5 missing.
    priced = contract(weak_usd_per_frame=20.0)
    assert best_fit([6.0, 6.0, 7.0, 9.0, 10.0], priced) == (5, 5 * 60.0 - 5 * 10.0 - 2 * 20.0)
    assert best_fit([6.0] * 10, contract(weak_usd_per_frame=40.0))[0] == 0


def test_a_bonus_is_earned_up_to_its_most() -> None:
    paid = contract(bonus_usd_per_frame=5.0, bonus_up_to_frames=9.0, short_usd_per_colony=0.0)
    assert best_fit([8.0, 8.5, 12.0], paid) == (3, 180.0 + 5.0 * 1.5)


def test_those_opened_stand_for_all_each_for_as_many_as_another() -> None:
    # blog.strombotne.com/pollination-contract: 7 of 51 opened at 12 frames or more, 340 hives: 7/51 x 340 = 46.67.
    told = inspection(group("8x44, 12x7", 340))
    strong = sum(one >= 12.0 for one in seen_of_all(TINY, told))
    assert strong in (46, 47)


def test_a_mean_and_a_spread_stand_for_a_normal() -> None:
    told = group(None, 200, frames_mean=8.0, frames_sd=1.5, hives_inspected=40)
    frames = hives_expected(TINY, told, DAY, growth_share=0.0)
    assert sum(frames) / 200 == pytest.approx(8.0, abs=1e-6)
    assert sum(one < 6.5 for one in frames) / 200 == pytest.approx(0.16, abs=0.01)
    assert hives_expected(TINY, group(None, 4), DAY, growth_share=1.0) == ()
