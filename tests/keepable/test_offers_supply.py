"""Each offer about hives or terms, carried out: the promise is then keepable; with a little less it is not."""

from collections.abc import Callable

import pytest

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.keepable.explain import explain_impossible
from routing.keepable.offers_supply import supply_offers
from routing.keepable.supply import Stock
from routing.nights.problem import read_problem

LANTERN, BLUEBERRIES = "Lantern Hill sweets", "Late blueberries"
Change = Callable[..., Operation]


def missing(operation: Operation, name: str) -> int:
    """Return the colonies that must be missing from a contract, as told to the user."""
    return sum(row.colonies for row in explain_impossible(operation) if row.contract == name)


def with_group(operation: Operation, hives: int, frames: float) -> Operation:
    more = operation.hive_groups[0].model_copy(
        update={"name": "more", "hives": hives, "frames_seen": f"{frames}x{hives}"}
    )
    return operation.model_copy(update={"hive_groups": (*operation.hive_groups, more)})


def offers(operation: Operation, name: str) -> tuple[str, ...]:
    stock = Stock(read_problem(operation))
    return tuple(supply_offers(stock, stock.problem.promises[name]))


def test_lantern_hill_is_told_what_would_make_it_keepable() -> None:
    assert offers(demo_operation(), LANTERN) == (
        "12 more colonies with an average of 9.5 frames or more, none of them under 9 frames",
        "a least average of 9.5 frames in place of 10 frames, together with a least strength of "
        "single colonies of 8 frames in place of 9 frames",
        "a promise of 12 colonies in place of 24",
    )


def test_twelve_more_colonies_of_nine_and_a_half_frames_keep_lantern_hill() -> None:
    # (12 x 10.83 + 12 x 9.5) / 24 = 10.17; with 9.0 it is 9.92; with 8 colonies 4 are missing.
    demo = demo_operation()
    assert missing(demo, LANTERN) == 12
    assert missing(with_group(demo, 12, 9.5), LANTERN) == 0
    assert missing(with_group(demo, 12, 9.0), LANTERN) > 0
    assert missing(with_group(demo, 8, 9.5), LANTERN) == 4


@pytest.mark.parametrize(("average", "floor", "keeps"), [
    # Twelve of group BX and twelve of BA: (10.83 + 9.09) / 2 = 9.96.
    (9.5, 8.0, True), (10.0, 8.0, False), (9.5, 8.5, False), (0.0, 9.0, False),
])  # fmt: skip
def test_lantern_hill_needs_both_terms_lowered(
    change: Change, average: float, floor: float, keeps: bool
) -> None:
    terms = {"min_average_frames": average, "min_colony_frames": floor}
    lower = change(demo_operation(), "contracts", LANTERN, **terms)
    assert (missing(lower, LANTERN) == 0) is keeps


@pytest.mark.parametrize(("colonies", "keeps"), [(12, True), (13, False)])
def test_lantern_hill_keeps_a_promise_of_twelve(change: Change, colonies: int, keeps: bool) -> None:
    smaller = change(demo_operation(), "contracts", LANTERN, colonies=colonies)
    assert (missing(smaller, LANTERN) == 0) is keeps


def tiny_wanting(change: Change, colonies: int, **values: object) -> Operation:
    """Return the tiny operation with four pallets of four and no loose hives, and other blueberries."""
    operation = change(tiny_operation(), "contracts", BLUEBERRIES, colonies=colonies, **values)
    return operation.model_copy(update={"hive_groups": operation.hive_groups[:1]})


def test_whole_pallets_ask_for_a_colony_more_or_fewer(change: Change) -> None:
    operation = tiny_wanting(change, 14)
    # 12 or 16 on pallets of 4: 2 of 14 are missing.
    assert missing(operation, BLUEBERRIES) == 2
    assert "a promise of 12 or 16 colonies in place of 14: whole pallets" in offers(operation, BLUEBERRIES)
    assert [missing(tiny_wanting(change, n), BLUEBERRIES) for n in (12, 13, 15, 16)] == [0, 1, 3, 0]
    row = next(one for one in explain_impossible(operation) if one.contract == BLUEBERRIES)
    assert "pallets of 4, which are not broken up" in row.reason


def test_an_average_alone_is_lowered_by_half_frames(change: Change) -> None:
    # Every hive of H1 counts for 8.74: an average of 9.2 is out of reach, 8.5 is the next half frame.
    operation = tiny_wanting(change, 16, min_average_frames=9.2)
    told = offers(operation, BLUEBERRIES)
    assert "a least average of 8.5 frames in place of 9.2 frames" in told
    assert "a price for each frame under 9.2 frames, where no weak lot is taken now" in told
    assert missing(tiny_wanting(change, 16, min_average_frames=8.5), BLUEBERRIES) == 0
    assert missing(tiny_wanting(change, 16, min_average_frames=9.0), BLUEBERRIES) == 16
    assert missing(tiny_wanting(change, 16, min_average_frames=9.2, weak_usd_per_frame=1.0), BLUEBERRIES) == 0
    row = next(one for one in explain_impossible(operation) if one.contract == BLUEBERRIES)
    assert "no choice of any of them has an average of 9.2 frames" in row.reason


def test_a_floor_alone_is_lowered_by_half_frames(change: Change) -> None:
    # H1 was seen with 8x4, 9x6, 10x2: a third is under 9, none under 8.
    operation = tiny_wanting(change, 16, min_colony_frames=9.0)
    lower = "a least strength of single colonies of 8 frames in place of 9 frames"
    assert lower in offers(operation, BLUEBERRIES)
    assert missing(operation, BLUEBERRIES) == 16
    assert missing(tiny_wanting(change, 16, min_colony_frames=8.0), BLUEBERRIES) == 0
    assert missing(tiny_wanting(change, 16, min_colony_frames=8.5), BLUEBERRIES) == 16


def test_hives_that_were_never_opened_are_asked_to_be(change: Change) -> None:
    operation = change(tiny_operation(), "hive_groups", frames_seen=None, frames_mean=None)
    told = offers(operation, BLUEBERRIES)
    assert told[-1].startswith("not certain, but may help: the hives of H1, L1 and W1 opened")
    row = explain_impossible(operation)[0]
    assert "frames of bees were not written down for H1, L1 and W1" in row.reason


def test_a_promise_that_the_hives_suffice_for_gets_no_offer() -> None:
    assert offers(tiny_operation(), "Early cherries") == ()
