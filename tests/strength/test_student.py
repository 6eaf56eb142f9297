"""Student's t: what must hold for every share and every number of degrees of freedom."""

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routing.strength.student import t_quantile, t_share

SHARES = st.floats(0.001, 0.999)
DEGREES = st.integers(1, 400)


@given(share=SHARES, degrees=DEGREES)
def test_the_share_below_the_quantile_is_the_share_asked_for(share: float, degrees: int) -> None:
    assert t_share(t_quantile(share, degrees), degrees) == pytest.approx(share, abs=1e-12)


@given(share=SHARES, degrees=DEGREES)
def test_the_distribution_is_symmetric(share: float, degrees: int) -> None:
    assert t_quantile(share, degrees) == pytest.approx(-t_quantile(1.0 - share, degrees), abs=1e-8)


@given(share=st.floats(0.55, 0.999), degrees=DEGREES)
def test_more_hives_opened_never_widen_the_margin(share: float, degrees: int) -> None:
    assert t_quantile(share, degrees + 1) < t_quantile(share, degrees)


@pytest.mark.parametrize("share", [0.6, 0.8, 0.95])
def test_one_degree_of_freedom_is_the_cauchy_distribution(share: float) -> None:
    assert t_quantile(share, 1) == pytest.approx(math.tan(math.pi * (share - 0.5)))


@pytest.mark.parametrize("share", [0.6, 0.8, 0.95])
def test_two_degrees_of_freedom_have_a_closed_form(share: float) -> None:
    # t = (2p - 1) / sqrt(2 p (1 - p))
    assert t_quantile(share, 2) == pytest.approx((2 * share - 1) / math.sqrt(2 * share * (1 - share)))


@pytest.mark.parametrize("share", [0.6, 0.8, 0.95])
def test_many_degrees_of_freedom_come_to_the_normal_distribution(share: float) -> None:
    assert t_quantile(share, 4999) == pytest.approx(NormalDist().inv_cdf(share), abs=5e-4)


@pytest.mark.parametrize(("share", "degrees"), [(0.0, 5), (1.0, 5), (-0.1, 5), (0.9, 0)])
def test_what_is_out_of_range_is_refused(share: float, degrees: int) -> None:
    with pytest.raises(ValueError, match=r"must"):
        t_quantile(share, degrees)
