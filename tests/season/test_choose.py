"""Which offers are taken, in part or not at all, and what the other choice would cost."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.honey import HoneyFlow
from routing.inputs.operation import Constant, Operation
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


def test_a_honey_yard_takes_no_more_hives_than_it_has_room_for() -> None:
    # 40 lb at $1.50 draw all 22 hives that come out of the blueberries; the yard has room for 8.
    tiny = tiny_operation()
    flow = HoneyFlow(yard="Far yard", flow="clover", first_on=dt.date(2027, 6, 9), last_on=dt.date(2027, 6, 15),
                     honey_lb_per_colony=40.0, honey_usd_per_lb=1.5)  # fmt: skip
    yards = (tiny.yards[0], tiny.yards[1].model_copy(update={"capacity_hives": 8}))
    season = plan_season(tiny.model_copy(update={"honey_flows": (flow,), "yards": yards}), seconds=10.0)
    there = sum(chain.hives for chain in season.chains if chain.stays[-1].place == "Far yard")
    assert there == 8
    assert not [one for one in season.findings if one.status == "broken"]


@pytest.mark.parametrize(("nights", "delivered"), [(1, 6), (2, 12), (3, 16)])
def test_no_more_is_promised_than_the_trucks_move_on_their_nights(nights: int, delivered: int) -> None:
    # A deck of one pallet moves 1.5 loads of 4 hives a night: 6 hives (a pallet and two loose), then 12, then all 16.
    tiny = tiny_operation()
    gone = [dt.date(2027, 4, day) for day in range(23, 27)][nights:]
    small = tiny.trucks[0].model_copy(update={
        "deck_length_in": 46.0, "deck_width_in": 40.0, "nights_away": ", ".join(day.isoformat() for day in gone),
    })  # fmt: skip
    dear = tiny.contracts[0].model_copy(update={"fee_usd_per_colony": 900.0})
    season = plan_season(tiny.model_copy(update={"trucks": (small,), "contracts": (dear, tiny.contracts[1])}), seconds=10.0)
    assert chosen(season).delivered == delivered


@pytest.mark.parametrize(("share", "outcome"), [(0.0, "refused"), (1.0, "taken")])
def test_growth_between_lets_hives_serve_what_asks_for_more_when_growth_is_counted(share: float, outcome: str) -> None:
    # Eight and a half frames in April; blueberries that ask for ten in May are for those who count on growth.
    tiny = tiny_operation()
    blues = tiny.contracts[1].model_copy(update={"signed": False, "colonies": 16, "min_average_frames": 10.0})
    own = (Constant(name="growth_counted_share", value=share, source="for this test"),)
    season = plan_season(tiny.model_copy(update={"contracts": (tiny.contracts[0], blues), "constants": own}), seconds=10.0)
    assert season.choices[1].outcome == outcome


@pytest.mark.parametrize(("rest", "by_yard"), [(2, True), (4, False)])
def test_hives_rest_in_a_yard_between_two_blooms_when_there_are_nights_enough(rest: int, by_yard: bool) -> None:
    # Out of cherries on 10 May at the earliest, in the yard from the 11th; blueberries take hives until the 13th: two
    # nights of rest, no more. Straight on is shut off by an orchard that only opens on the 13th.
    tiny = tiny_operation()
    cherries = tiny.contracts[0].model_copy(update={"out_until": dt.date(2027, 5, 12), "spray_on": None})
    blues = tiny.contracts[1].model_copy(update={"in_from": dt.date(2027, 5, 13), "in_until": dt.date(2027, 5, 13)})
    own = (Constant(name="rest_nights_between_blooms", value=float(rest), source="for this test"),)
    season = plan_season(tiny.model_copy(update={"contracts": (cherries, blues), "constants": own}), seconds=10.0)
    both = [chain for chain in season.chains if {"Early cherries", "Late blueberries"} <= {stay.place for stay in chain.stays}]
    assert bool(both) == by_yard


def test_without_a_season_in_the_time_tours_get_all_that_is_signed() -> None:
    season = plan_season(offered(60.0), seconds=10.0).model_copy(update={"bound_usd": None, "gap": None})
    tours = without_refused(season)
    assert [one.name for one in tours.contracts] == ["Late blueberries"]
    assert all(one.may_travel for one in tours.hive_groups)


def test_an_offer_that_cannot_be_served_is_refused_with_the_reason() -> None:
    # All or none of 24, and 16 strong hives; then 16, of which the tours planned brought 8.
    many = chosen(plan_season(offered(60.0, colonies=24, min_average_frames=8.74), seconds=10.0))
    assert many.why.startswith("no season can bring it 24 colonies")
    few = chosen(plan_season(offered(60.0), seconds=10.0, cap={"Early cherries": 8}))
    assert (few.outcome, few.why) == ("refused", "the tours planned brought it 8 colonies, and it takes no fewer than 16")
