"""The make-up model: small cases against every way to send colonies, and the rules one by one."""

import itertools

import numpy as np
import pytest

from routing.strength.makeup.grades import Grade
from routing.strength.makeup.solve import Asked, make_up


def grade(hives: int, frames: float, *, group: str = "A", yard: str = "Home", pallet: str | None = None) -> Grade:
    return Grade(group=group, yard=yard, pallet=pallet, hives=hives, frames=frames, seen=True)


def asked(stock: list[Grade], promised: int, average: float, floor: float = 0.0, **more: object) -> Asked:
    frames = tuple(one.frames for one in stock)
    told = {"contract": "C", "promised": promised, "over": 0, "average": average, "floor": floor, "frames": frames}
    return Asked(**(told | {"paid": (0.0,) * len(stock)} | more))  # type: ignore[arg-type]


def best_of_all(stock: list[Grade], want: list[Asked], at_once: list[list[int]], pallet: int = 0) -> tuple[int, float]:
    """Return the fewest colonies missing and, of those, the least frames given away, by trying every way."""
    best = None
    for flat in itertools.product(*(range(one.hives + 1) for _ in want for one in stock)):
        ways = [flat[row * len(stock) : (row + 1) * len(stock)] for row in range(len(want))]
        if any(sum(ways[c][g] for c in together) > one.hives for together in at_once for g, one in enumerate(stock)):
            continue
        worth = [_worth(one, way, pallet) for one, way in zip(want, ways, strict=True)]
        if all(part is not None for part in worth):
            total = tuple(np.sum([part for part in worth if part], axis=0))
            best = min(best or total, total)
    assert best is not None
    return int(best[0]), float(best[1])


def _worth(one: Asked, way: tuple[int, ...], pallet: int) -> tuple[float, float] | None:
    number = sum(way)
    frames = sum(frames * hives for frames, hives in zip(one.frames, way, strict=True))
    weak = any(hives and frames < one.floor for frames, hives in zip(one.frames, way, strict=True))
    if weak or number > one.promised + one.over or frames < one.average * number - 1e-9 or (pallet and number % pallet):
        return None
    paid = sum(paid * hives for paid, hives in zip(one.paid, way, strict=True))
    due = number if one.over_paid else min(number, one.promised)
    return max(0, one.promised - number), max(0.0, frames - paid - one.average * due)


def told(stock: list[Grade], want: list[Asked], found: object) -> tuple[int, float]:
    ways = [tuple(found.sent.get((row, g), 0) for g in range(len(stock))) for row in range(len(want))]  # type: ignore[attr-defined]
    worth = [_worth(one, way, 0) for one, way in zip(want, ways, strict=True)]
    assert all(part is not None for part in worth)
    total = np.sum([part for part in worth if part], axis=0)
    return int(total[0]), float(total[1])


@pytest.mark.parametrize("seed", range(12))
def test_one_contract_is_made_up_as_well_as_the_best_of_all_ways(seed: int) -> None:
    rng = np.random.default_rng(seed)
    stock = [grade(int(rng.integers(1, 5)), float(rng.integers(8, 24)) / 2.0) for _ in range(5)]
    want = [asked(stock, int(rng.integers(3, 12)), float(rng.integers(12, 20)) / 2.0, float(rng.integers(8, 13)) / 2.0)]
    found = make_up(want, stock, [[0]], None)
    assert found.proven
    missing, away = told(stock, want, found)
    assert (missing, round(away, 6)) == best_of_all(stock, want, [[0]])
    assert found.missing == (missing,)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("meet", [True, False])
def test_two_contracts_are_made_up_together_as_well_as_the_best_of_all_ways(seed: int, meet: bool) -> None:
    rng = np.random.default_rng(100 + seed)
    stock = [grade(int(rng.integers(1, 4)), float(rng.integers(10, 22)) / 2.0, group=name) for name in "AAB"]
    want = [asked(stock, int(rng.integers(2, 6)), float(rng.integers(13, 19)) / 2.0, 5.5, contract=name) for name in "CD"]
    at_once = [[0], [0, 1]] if meet else [[0], [1]]
    found = make_up(want, stock, at_once, None)
    missing, away = told(stock, want, found)
    assert (missing, round(away, 6)) == best_of_all(stock, want, at_once)


@pytest.mark.parametrize("seed", range(6))
def test_whole_pallets_are_made_up_as_well_as_the_best_of_all_ways(seed: int) -> None:
    rng = np.random.default_rng(200 + seed)
    stock = [grade(int(rng.integers(2, 6)), float(rng.integers(10, 22)) / 2.0, pallet="three") for _ in range(4)]
    want = [asked(stock, int(rng.integers(4, 9)), float(rng.integers(13, 18)) / 2.0, 5.0, over=2)]
    found = make_up(want, stock, [[0]], {"three": 3})
    missing, away = told(stock, want, found)
    assert (missing, round(away, 6)) == best_of_all(stock, want, [[0]], pallet=3)
    assert sum(found.sent.values()) % 3 == 0


def test_weak_colonies_ride_along_with_strong_ones_as_far_as_the_average_bears() -> None:
    # 6 x 8 = 48 = 3 x 6 + 3 x 10; with fewer than three of 6 the others, of 10 and 11, come over it.
    stock = [grade(3, 6.0), grade(3, 10.0), grade(9, 11.0)]
    found = make_up([asked(stock, 6, 8.0, 5.0)], stock, [[0]], None)
    assert told(stock, [asked(stock, 6, 8.0, 5.0)], found) == (0, 0.0)
    assert found.sent[0, 0] == 3


def test_no_colony_under_the_floor_is_sent_and_the_missing_are_told() -> None:
    stock = [grade(5, 5.9), grade(2, 12.0)]
    found = make_up([asked(stock, 4, 6.0, 6.0)], stock, [[0]], None)
    assert (dict(found.sent), found.missing) == ({(0, 1): 2}, (2,))


def test_strength_that_a_bonus_pays_for_is_not_given_away() -> None:
    stock = [grade(4, 8.0), grade(4, 10.0)]
    free = make_up([asked(stock, 4, 8.0)], stock, [[0]], None)
    assert dict(free.sent) == {(0, 0): 4}
    weak_stock = [grade(2, 7.0), grade(4, 9.0), grade(4, 10.0)]
    paid = make_up([asked(weak_stock, 4, 9.0, paid=(0.0, 0.0, 1.0))], weak_stock, [[0]], None)
    assert told(weak_stock, [asked(weak_stock, 4, 9.0, paid=(0.0, 0.0, 1.0))], paid) == (0, 0.0)


def test_a_colony_beyond_the_promise_is_given_away_whole_unless_it_is_paid() -> None:
    stock = [grade(6, 8.0, pallet="three")]
    for over_paid, away in ((False, 8.0), (True, 0.0)):
        want = asked(stock, 5, 8.0, over=2, over_paid=over_paid)
        found = make_up([want], stock, [[0]], {"three": 3})
        assert told(stock, [want], found) == (0, away)


def test_frames_are_counted_down_and_the_line_up() -> None:
    stock = [grade(4, 7.999)]
    assert make_up([asked(stock, 4, 8.0)], stock, [[0]], None).missing == (4,)
    assert make_up([asked(stock, 4, 7.99)], stock, [[0]], None).missing == (0,)


def test_grades_alike_are_told_apart_by_group_within_what_each_has() -> None:
    stock = [grade(3, 8.0, group="A"), grade(4, 8.0, group="B")]
    want = [asked(stock, 4, 8.0), asked(stock, 3, 8.0)]
    found = make_up(want, stock, [[0], [0, 1]], None)
    assert found.missing == (0, 0)
    for g, one in enumerate(stock):
        assert sum(hives for (_, grade_), hives in found.sent.items() if grade_ == g) <= one.hives
