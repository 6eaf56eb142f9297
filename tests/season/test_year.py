"""Season and tours: what tours truly cost comes back until both agree."""

import pytest

from fixtures.tiny import tiny_operation, tiny_plan
from routing.inputs.operation import Operation
from routing.season.assignment import CarryCost, Season
from routing.season.carriage import Carriage, Leg
from routing.season.choose import plan_season
from routing.year import Budget, Year, plan_year, true_costs

CHERRIES, BLUES = "Early cherries", "Late blueberries"


def offered(fee_usd: float) -> Operation:
    tiny = tiny_operation()
    offer = tiny.contracts[0].model_copy(update={"signed": False, "fee_usd_per_colony": fee_usd})
    return tiny.model_copy(update={"contracts": (offer, tiny.contracts[1])})


@pytest.fixture(scope="module")
def year() -> Year:
    """The tiny operation with cherries as an offer at $60."""
    return plan_year(offered(60.0), Budget(seconds=8.0, rounds=3))


def test_season_and_tours_agree_on_the_tiny_operation(year: Year) -> None:
    assert year.settled
    assert year.verdict.startswith("Season and tours agree after 2 rounds")
    # In 221.85, on 330.00, out 252.45 (tests/quote/test_quote.py).
    assert year.rounds[-1].hauled_usd == pytest.approx(221.85 + 330.00 + 252.45)
    assert year.rounds[-1].estimated_usd == pytest.approx(year.rounds[-1].hauled_usd, rel=0.01)
    assert year.rounds[-1].taken == {CHERRIES: 16, BLUES: 22}


def test_tours_plan_what_the_season_takes_and_nothing_else(year: Year) -> None:
    assert [one.contract for one in year.plan.deliveries] == [CHERRIES, BLUES]
    poor = plan_year(offered(5.0), Budget(seconds=3.0, rounds=1))
    assert [one.contract for one in poor.plan.deliveries] == [BLUES]
    assert not poor.settled
    assert "one round is no agreement" in poor.verdict


def test_true_costs_share_every_truck_night_among_its_orchards() -> None:
    season: Season = plan_season(tiny_operation(), seconds=5.0)
    told = {one.contract: one.factor for one in true_costs(season, tiny_plan())}
    # The hand-made plan: in 221.85; on 330.00 is shared between L1's way from home (6 hives, 2 x 28 mi) and H1's way on
    # (16 hives, 24 + 28 + 28 mi), of which half is for cherries; nights alone cost 60 + 1.2 x miles.
    home, on = 6 * (60 + 1.2 * 56), 16 * (60 + 1.2 * 80)
    cherries = 221.85 + 330.00 * on / (home + on) / 2
    per_move = cherries / (16 + 16 / 2)
    carriage = Carriage(season.operation)
    group = season.operation.hive_groups[0]
    tiny = season.operation.contracts
    first = carriage.usd_per_hive(group, Leg("Home yard", CHERRIES, tiny[0].in_from, tiny[0].in_until)) or 0.0
    between = carriage.usd_per_hive(group, Leg(CHERRIES, BLUES, tiny[1].in_from, tiny[1].in_until)) or 0.0
    guess = (16 * first + 16 * between / 2) / 24
    assert told[CHERRIES] == pytest.approx(per_move / guess, abs=1e-3)


def test_costs_told_change_what_the_season_takes() -> None:
    dear = (CarryCost(contract=CHERRIES, factor=5.0),)
    assert plan_season(offered(22.0), seconds=5.0).choices[0].outcome == "taken"
    assert plan_season(offered(22.0), seconds=5.0, costs=dear).choices[0].outcome == "refused"
