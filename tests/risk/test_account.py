"""Statistics against statsmodels and scipy."""

import numpy as np
import pytest
from scipy.stats import norm, truncnorm
from statsmodels.stats.proportion import proportion_confint

from routing.risk.account import share_of
from routing.risk.strong import LIFTS, SHARES, LotSeen, kept_hives


@pytest.mark.parametrize(("kept", "seasons"), [(0, 1000), (3, 10), (500, 1000), (998, 1000), (1000, 1000)])
def test_the_interval_of_a_share_is_wilsons(kept: int, seasons: int) -> None:
    flags = np.arange(seasons) < kept
    low, high = proportion_confint(kept, seasons, alpha=0.05, method="wilson")
    found = share_of(flags)
    assert (found.value, found.low, found.high) == pytest.approx((kept / seasons, low, high), abs=1e-12)


@pytest.mark.parametrize("share", [1.0, 0.9, 0.5, 0.1])
def test_the_best_share_of_a_lot_is_stronger_by_the_mean_of_a_truncated_normal(share: float) -> None:
    expected = truncnorm.mean(norm.isf(share), np.inf) if share < 1.0 else 0.0
    assert np.interp(share, SHARES[::-1], LIFTS[::-1]) == pytest.approx(expected, abs=2e-3)


def test_the_weakest_hives_stay_at_home_until_the_average_holds() -> None:
    # Of 40 hives about 7.5 frames, spread 1, the best half averages 7.5 + 0.7979 = 8.2979 (sqrt(2 / pi)).
    lot = LotSeen(np.array([9.0, 7.5, 7.0]), 1.0, 40)
    assert list(kept_hives(lot, 8.297)[:2]) == [40.0, 20.0]
    assert kept_hives(lot, 8.297)[2] < 20.0


def test_spare_hives_are_chosen_among_and_never_make_a_lot_larger() -> None:
    # Half of 40 + 10 are strong enough: 25.
    lot = LotSeen(np.array([7.5, 9.0]), 1.0, 40)
    assert list(kept_hives(lot, 8.297, spare=10)) == [25.0, 40.0]


def test_hives_all_alike_are_strong_enough_or_none_is() -> None:
    assert list(kept_hives(LotSeen(np.array([7.9, 8.0]), 0.0, 16), 8.0)) == [0.0, 16.0]
