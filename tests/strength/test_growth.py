"""The curve: by month, by the published population model, mixed, and back in time."""

import datetime as dt
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Constant, Operation
from routing.limits import limit
from routing.strength.growth import curve_frames, population
from routing.strength.population import Population, bees_after, foraging_share, steady_bees

TINY = tiny_operation()
MODEL = population(TINY)
MARCH_20 = dt.date(2027, 3, 20)


def own(**figures: float) -> Operation:
    constants = tuple(Constant(name=name, value=value, source="the test") for name, value in figures.items())
    return TINY.model_copy(update={"constants": constants})


def deaths(per_day: float) -> Population:
    return MODEL.model_copy(update={"forager_death_per_day": per_day})


def test_a_month_grows_at_its_own_rate_and_the_next_at_another() -> None:
    # April 24 to May 8: 7 days at 0.75 and 7 at 1.5 frames a week.
    assert curve_frames(TINY, 8.0, since=dt.date(2027, 4, 24), until=dt.date(2027, 5, 8)) == pytest.approx(0.75 + 1.5)


def test_over_a_year_the_curve_comes_back_to_within_two_frames() -> None:
    year = curve_frames(TINY, 8.0, since=dt.date(2027, 1, 1), until=dt.date(2028, 1, 1))
    assert abs(year) < 2.0


def test_the_users_own_rate_replaces_a_months() -> None:
    found = curve_frames(own(growth_month_04=1.4), 8.0, since=dt.date(2027, 4, 1), until=dt.date(2027, 4, 15))
    assert found == pytest.approx(2.8)


@given(st.integers(0, 500), st.integers(0, 500), st.integers(0, 500))
@settings(max_examples=40, deadline=None)
def test_growth_by_month_adds_up_and_turns_about(first: int, second: int, third: int) -> None:
    days = [MARCH_20 + dt.timedelta(days=days) for days in (first, second, third)]
    parts = [curve_frames(TINY, 8.0, since=since, until=until) for since, until in itertools.pairwise(days)]
    assert sum(parts) == pytest.approx(curve_frames(TINY, 8.0, since=days[0], until=days[2]), abs=1e-9)
    assert curve_frames(TINY, 8.0, since=days[1], until=days[0]) == pytest.approx(-parts[0], abs=1e-12)


def test_the_curves_may_be_mixed() -> None:
    days = {"since": MARCH_20, "until": dt.date(2027, 5, 1)}
    ends = [curve_frames(own(growth_model_share=share), 6.0, **days) for share in (0.0, 0.25, 1.0)]
    assert ends[1] == pytest.approx(0.75 * ends[0] + 0.25 * ends[2])


def test_the_colony_fails_over_the_published_death_rate_of_foragers() -> None:
    # Khoury, Myerscough, Barron (2011): a stable colony up to m = 0.355 a day, none beyond.
    assert steady_bees(deaths(0.354)) > 0.0
    assert steady_bees(deaths(0.356)) == 0.0
    assert bees_after(deaths(0.40), 30_000.0, days=400) < 1000.0


@pytest.mark.parametrize("per_day", [0.154, 0.24, 0.30])
def test_a_colony_settles_where_the_equations_rest(per_day: float) -> None:
    model = deaths(per_day)
    assert bees_after(model, 16_000.0, days=1500) == pytest.approx(steady_bees(model), rel=0.01)


@pytest.mark.parametrize("days", [7, 30, 90])
def test_the_steps_agree_with_scipys_integrator(days: int) -> None:
    model, share = MODEL, foraging_share(MODEL)

    def rates(_: float, at: list[float]) -> list[float]:
        hive, foragers = at
        recruited = hive * (model.recruit_per_day - model.recruit_back_per_day * foragers / (hive + foragers))
        born = model.laying_per_day * (hive + foragers) / (model.half_laying_bees + hive + foragers)
        return [born - recruited, recruited - model.forager_death_per_day * foragers]

    start = [12_000.0 * (1.0 - share), 12_000.0 * share]
    expected = solve_ivp(rates, (0.0, days), start, rtol=1e-10, atol=1e-6).y[:, -1].sum()
    assert bees_after(model, 12_000.0, days=days) == pytest.approx(expected, rel=1e-7)


def test_no_bees_stay_none() -> None:
    assert bees_after(MODEL, 0.0, days=30) == 0.0


def test_the_population_model_is_counted_in_frames_of_2400_bees() -> None:
    operation = own(growth_model_share=1.0)
    found = curve_frames(operation, 5.0, since=MARCH_20, until=MARCH_20 + dt.timedelta(days=28))
    assert found == pytest.approx((bees_after(MODEL, 12_000.0, days=28) - 12_000.0) / 2400.0)
    assert limit("bees_per_frame").value == 2400.0
    back = curve_frames(operation, 5.0, since=MARCH_20, until=MARCH_20 - dt.timedelta(days=28))
    assert back == -found
