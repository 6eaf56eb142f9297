"""Which offers are taken, in part or not at all, and what the other choice would cost."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.honey import HoneyFlow
from routing.inputs.operation import Operation
from routing.season.assignment import Choice, Season
from routing.season.choose import plan_season, without_refused


def offered(fee_usd: float, **more: object) -> Operation:
    """Return the tiny operation with its cherries as an offer: 16 hives, one truck-night in, one out or on."""
    tiny = tiny_operation()
    cherries, blues = tiny.contracts
    offer = cherries.model_copy(update={"signed": False, "fee_usd_per_colony": fee_usd, **more})
    return tiny.model_copy(update={"contracts": (offer, blues)})


def chosen(season: Season) -> Choice:
    return season.choices[0]


def test_an_offer_that_pays_for_its_moves_is_taken_and_one_that_does_not_is_refused() -> None:
    assert chosen(plan_season(offered(60.0), seconds=10.0)).outcome == "taken"
    poor = chosen(plan_season(offered(5.0), seconds=10.0))
    assert (poor.outcome, poor.delivered, poor.penalty_usd) == ("refused", 0, 0.0)
    assert poor.why.startswith("taking it would lose $")


def test_the_margin_of_an_offer_is_what_its_fee_may_fall_before_it_is_refused() -> None:
    margin = chosen(plan_season(offered(60.0), seconds=10.0)).margin_usd
    assert margin is not None
    at_the_edge = 60.0 - margin / 16
    assert chosen(plan_season(offered(at_the_edge + 1.0), seconds=10.0)).outcome == "taken"
    assert chosen(plan_season(offered(at_the_edge - 1.0), seconds=10.0)).outcome == "refused"


@pytest.mark.parametrize(("least", "outcome", "delivered"), [(None, "refused", 0), (12, "taken in part", 16), (20, "refused", 0)])
def test_an_offer_larger_than_the_strong_hives_is_taken_in_part_where_the_grower_lets(
    least: int | None, outcome: str, delivered: int
) -> None:
    # 16 hives count for 8.743 frames; the loose ones, at 8.4, would draw the average under 8.74.
    terms = {"colonies": 24, "least_colonies": least, "min_average_frames": 8.74}
    choice = chosen(plan_season(offered(60.0, **terms), seconds=10.0))
    assert (choice.outcome, choice.delivered) == (outcome, delivered)


def test_a_signed_contract_is_served_at_a_loss_that_its_penalty_makes_smaller() -> None:
    tiny = tiny_operation()
    poor = tiny.contracts[0].model_copy(update={"fee_usd_per_colony": 10.0, "short_usd_per_colony": 15.0})
    season = plan_season(tiny.model_copy(update={"contracts": (poor, tiny.contracts[1])}), seconds=10.0)
    assert chosen(season).outcome == "kept"


def test_hives_go_to_a_honey_yard_when_that_is_worth_more_than_the_trip() -> None:
    def ends(lb: float) -> set[str]:
        flow = HoneyFlow(yard="Far yard", flow="clover", first_on=dt.date(2027, 6, 9), last_on=dt.date(2027, 6, 15),
                         honey_lb_per_colony=lb, honey_usd_per_lb=1.5)  # fmt: skip
        season = plan_season(tiny_operation().model_copy(update={"honey_flows": (flow,)}), seconds=10.0)
        served = [chain for chain in season.chains if len(chain.stays) > 1]
        assert all(bool(chain.stays[-1].supers) == (lb > 20 and chain.stays[-1].place == "Far yard") for chain in served)
        return {chain.stays[-1].place for chain in served}

    # 40 lb are $60 a hive against $7 of work on supers; 2 lb are $3.
    assert ends(40.0) == {"Far yard"}
    assert "Home yard" in ends(2.0)


def test_tours_get_signed_contracts_and_what_is_taken_and_hives_that_stay_do_not_travel() -> None:
    season = plan_season(offered(5.0), seconds=10.0)
    tours = without_refused(season)
    assert [one.name for one in tours.contracts] == ["Late blueberries"]
    assert {row.contract for row in (*tours.gates, *tours.blocks, *tours.drops)} == {"Late blueberries"}
    assert all("Early cherries" not in (row.origin, row.destination) for row in tours.distances)
    assert {one.name: one.may_travel for one in tours.hive_groups}["W1"] is False


def test_a_part_taken_is_a_promise_of_that_part() -> None:
    season = plan_season(offered(60.0, colonies=24, least_colonies=12, min_average_frames=8.74), seconds=10.0)
    cherries = without_refused(season).contracts[0]
    assert (cherries.signed, cherries.colonies) == (True, 16)


def test_a_season_without_contracts_stays_at_home() -> None:
    tiny = tiny_operation()
    none = tiny.model_copy(update=dict.fromkeys(("contracts", "gates", "blocks", "drops", "distances"), ()))
    season = plan_season(none, seconds=5.0)
    assert season.profit_usd == 0.0
    assert all(len(chain.stays) == 1 for chain in season.chains)
