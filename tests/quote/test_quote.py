"""Quotes on tiny operations whose two plans are worked out by hand."""

import pytest

from fixtures.tiny import tiny_operation
from routing.errors import OperationError
from routing.inputs.offers import with_contracts
from routing.inputs.operation import Operation
from routing.quote.quote import quote

CHERRIES, BLUES = "Early cherries", "Late blueberries"


def only_cherries() -> Operation:
    tiny = tiny_operation()
    return with_contracts(tiny, tiny.contracts[:1])


def with_rival() -> Operation:
    """Return cherries signed, and an offer of the same hives at the same orchard on the same nights."""
    tiny = only_cherries()
    rival = tiny.contracts[0].model_copy(update={"name": "Rival", "signed": False, "fee_usd_per_colony": 70.0})
    gate = tiny.gates[0].model_copy(update={"contract": "Rival"})
    ways = tuple(one.model_copy(update={"destination": "Rival"}) for one in tiny.distances if one.destination == CHERRIES)
    more = tuple(one.model_copy(update={"origin": "Rival"}) for one in tiny.distances if one.origin == CHERRIES)
    between = tiny.distances[0].model_copy(update={"origin": CHERRIES, "destination": "Rival", "miles": 0.0, "minutes": 0.0})
    return tiny.model_copy(update={
        "contracts": (*tiny.contracts, rival), "gates": (*tiny.gates, gate),
        "distances": (*tiny.distances, *ways, *more, between),
    })  # fmt: skip


def test_a_contract_alone_must_pay_for_its_two_truck_nights() -> None:
    # In and out, each 48 mi x $1.20 + $60 + 139 min x $0.75 = $221.85 (fixtures/tiny_plan.py); without it nothing moves.
    told = quote(only_cherries(), CHERRIES, seconds=3.0)
    assert (told.cost_without_usd, told.cost_with_usd) == (0.0, pytest.approx(2 * 221.85))
    assert told.fee_usd_per_colony == pytest.approx(2 * 221.85 / 16, abs=0.01)
    assert told.fee_low_usd_per_colony <= told.fee_usd_per_colony <= told.fee_high_usd_per_colony
    assert (told.verdict, told.truck_nights_more, told.displaced) == ("worth taking", 2, ())
    assert [(use.hives_in, use.hives_out) for use in told.uses] == [(16, 0), (0, 16)]


def test_a_contract_on_the_way_to_another_pays_only_for_what_it_adds() -> None:
    # Blueberries alone: twice 56 mi x 1.2 + 60 + 167 min x 0.75 = 252.45, and two colonies short at 70 + 15: 674.90.
    # Both: cherries in 221.85; home, cherries, blueberries in one night 330.00; blueberries out 252.45; short 170: 974.30.
    told = quote(tiny_operation(), CHERRIES, seconds=4.0)
    assert told.cost_without_usd == pytest.approx(674.90)
    assert told.cost_with_usd == pytest.approx(974.30)
    assert told.fee_usd_per_colony == pytest.approx((974.30 - 674.90) / 16, abs=0.01)
    assert (told.truck_nights_more, told.considered) == (1, (BLUES,))
    assert any(use.also == (BLUES,) for use in told.uses)


def test_a_contract_that_takes_the_strong_hives_must_pay_for_the_promise_it_displaces() -> None:
    # The same ways are driven. Six loose hives are left for cherries: 10 short at 60 + 15 = 750. Each night has one stop
    # more, 10 min, with straps on the way out, 15 min; six hives are lifted four times at 1.5 min: 71 min x $0.75 = 53.25.
    told = quote(with_rival(), "Rival", seconds=4.0)
    assert told.fee_usd_per_colony == pytest.approx((750 + 71 * 0.75) / 16, abs=0.01)
    assert [(one.contract, one.kind, one.colonies, one.usd) for one in told.displaced] == [(CHERRIES, "short", 10, 750.0)]
    assert told.asked_usd_per_colony == 70.0
    assert told.verdict in ("worth taking", "within the gap of the two plans")


def test_what_no_plan_can_bring_in_full_is_said_and_priced_for_what_can_come() -> None:
    # 22 of the 24 colonies of blueberries are strong enough: the fee is for 22, its own two missing cost 2 x 15.
    told = quote(tiny_operation(), BLUES, seconds=3.0)
    assert (told.verdict, told.delivered, told.own_terms_usd) == ("cannot be served", 22, 30.0)
    assert told.fee_usd_per_colony == pytest.approx((told.cost_with_usd - told.cost_without_usd) / 22, abs=0.01)


def test_other_offers_are_in_neither_plan() -> None:
    told = quote(with_rival(), CHERRIES, seconds=3.0)
    assert (told.left_out, told.considered) == (("Rival",), ())


def test_a_name_that_is_no_contract_is_told_with_the_nearest() -> None:
    with pytest.raises(OperationError, match=r"found 'Early cherry', allowed: .*the nearest is 'Early cherries'"):
        quote(tiny_operation(), "Early cherry", seconds=1.0)
