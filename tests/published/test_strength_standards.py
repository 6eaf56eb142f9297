"""Strength against the outside: published t values, a sampling example, and what standards ask for.

Every number carries its source. Standards are quoted as the public pages give them, for comparison only:
local rules and the contract decide.
"""

import datetime as dt
import math
from typing import NamedTuple

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant, Operation
from routing.inputs.yard import HiveGroup
from routing.limits import limit
from routing.strength.group import group_strength, share_below
from routing.strength.student import t_quantile

T_95 = {1: 6.3138, 2: 2.9200, 5: 2.0150, 7: 1.8946, 10: 1.8125, 15: 1.7531, 30: 1.6973, 31: 1.6955,
        50: 1.6759, 100: 1.6602}  # fmt: skip
"""t.95: NIST/SEMATECH e-Handbook, 1.3.6.7.2 (from memory); df 7, 15, 31, 50 computed by scipy."""
T_80 = {1: 1.3764, 4: 0.9410, 10: 0.8791, 30: 0.8538}
"""t.80: the usual printed tables, to four places (from memory)."""


class Standard(NamedTuple):
    """What a lot of colonies must have, as a public page gives it."""

    who: str
    average_frames: float | None
    colony_frames: float | None
    covered: str
    """How much of a frame must be covered to count as one, where the page says it."""
    source: str


STANDARDS = (
    Standard("Almond Board of California, common contract practice", 8, 6, "covered",
             "almonds.com, honey bee arrival"),
    Standard("California sample agreement", 8, 4, "not said",
             "de.scribd.com/document/362455943"),
    Standard("Texas supplier's note", 8, 5, "covered",
             "thebeesupply.com, Grading bees for almond pollination"),
    Standard("UC Cooperative Extension, strong hive", 8, None,
             "covered", "sacvalleyorchards.com, hive strength"),
    Standard("Nova Scotia NSBA/WBPANS, minimum", None, 8, "fully",
             "nsbeekeepers.ca, Pollination Standard"),
    Standard("CAPA Canada, orchard", None, 8, "fully",
             "atttabuzz.com/2021/01/whats-buzz-with-attta-30.html"),
    Standard("COLOSS BEEBOOK 5.4, standard strength", None, 8, "two thirds",
             "coloss.org/beebook/I/pollination/5/4"),
    Standard("Oregon grade A orchard, as PNW 623 sums it up", None, 6, "two thirds",
             "PNW 623 p. 7 (from memory)"),
    Standard("Rutgers and Pennsylvania, spring", None, 6, "covered",
             "Rutgers (2015), honeybee colony size"),
    Standard("California Beekeepers 1968, least for almonds", None, 4, "completely",
             "hilgardia ca.v024n08p5"),
)  # fmt: skip


@pytest.mark.parametrize(("degrees", "t"), T_95.items())
def test_t_at_95_percent_agrees_with_the_published_table(degrees: int, t: float) -> None:
    assert t_quantile(0.95, degrees) == pytest.approx(t, abs=5.1e-5)


@pytest.mark.parametrize(("degrees", "t"), T_80.items())
def test_t_at_80_percent_agrees_with_the_printed_tables(degrees: int, t: float) -> None:
    assert t_quantile(0.80, degrees) == pytest.approx(t, abs=5.1e-5)


def test_the_95_percent_bound_of_51_of_340_hives_agrees_with_the_worked_example() -> None:
    # Mean 8.4, spread 2.5, t.95 with 50 df 1.6759: 8.4 - 1.6759 x 2.5 / sqrt(51) = 7.813 without the finite
    # population correction; sqrt(1 - 51/340) = 0.9220 makes it 7.859. The 51 of 340 are a grower's own
    # numbers (blog.strombotne.com/pollination-contract); mean and spread are set for the example.
    counted = group_strength(_sure(), _hives(340, mean=8.4, spread=2.5, opened=51)).counted_frames
    assert counted == pytest.approx(7.859, abs=5e-4)
    assert 8.4 - (8.4 - counted) / math.sqrt(1 - 51 / 340) == pytest.approx(7.813, abs=5e-4)


def test_the_correction_vanishes_in_a_very_large_lot() -> None:
    counted = group_strength(_sure(), _hives(5000, mean=8.4, spread=2.5, opened=51)).counted_frames
    assert counted == pytest.approx(7.813, abs=5e-3)  # sqrt(1 - 51/5000) = 0.995 of 0.587 frames


def test_seven_of_51_hives_stand_for_46_67_of_340() -> None:
    # The same grower extrapolates each class of frames: 7/51 x 340 = 46.67 hives.
    hives = _seen(340, "8x44, 12x7")
    assert (1.0 - share_below(tiny_operation(), hives, 12.0)) * 340 == pytest.approx(46.67, abs=5e-3)


@pytest.mark.parametrize("standard", STANDARDS, ids=lambda one: one.who)
def test_a_lot_fully_counted_at_a_standard_meets_it_and_a_hair_under_does_not(standard: Standard) -> None:
    asked = standard.average_frames or standard.colony_frames or 0.0
    at, under = _full_count(asked), _full_count(asked - 0.01)
    assert group_strength(tiny_operation(), at).counted_frames >= asked
    assert group_strength(tiny_operation(), under).counted_frames < asked


@pytest.mark.parametrize("standard", [one for one in STANDARDS if one.colony_frames], ids=lambda one: one.who)
def test_a_colony_under_a_standards_floor_is_counted_below_it(standard: Standard) -> None:
    floor = standard.colony_frames or 0.0
    assert share_below(tiny_operation(), _seen(40, f"{floor}x9, {floor - 0.5}x1"), floor) == pytest.approx(
        0.1
    )


def test_ten_percent_below_is_what_pennsylvania_still_takes_and_opens() -> None:
    # Rutgers (2015): inspect at least 10 % of colonies; 10 % below standard pass if 10 % are above.
    assert limit("below_floor_share").value == 0.10
    assert limit("least_share_opened").value == 0.10


@pytest.mark.parametrize(("frames", "bees"), [(8, 19_200), (10, 24_000)])
def test_standards_in_frames_and_in_bees_agree_at_2400_bees_a_frame(frames: int, bees: int) -> None:
    # goodfruit.com pollination tips: 8 and 10 frames covered, 2,400 bees on a well covered frame. Such frames
    # are counted here: a contract that counts otherwise must be converted before it is typed in.
    counted = group_strength(tiny_operation(), _full_count(frames)).counted_frames
    assert counted * 2400 == bees


def _sure() -> Operation:
    return tiny_operation().model_copy(
        update={"constants": (Constant(name="strength_confidence", value=0.95, source="the example"),)}
    )


def _full_count(frames: float) -> HiveGroup:
    return _hives(20, mean=frames, spread=1.5, opened=20)


def _hives(hives: int, *, mean: float, spread: float, opened: int) -> HiveGroup:
    return HiveGroup(name="G", yard="Home yard", build="double deep 10", hives=hives,
                     inspected_on=dt.date(2027, 4, 17), frames_mean=float(mean), frames_sd=spread,
                     hives_inspected=opened)  # fmt: skip


def _seen(hives: int, frames: str) -> HiveGroup:
    return HiveGroup(name="G", yard="Home yard", build="double deep 10", hives=hives,
                     inspected_on=dt.date(2027, 4, 17), frames_seen=frames)  # fmt: skip
