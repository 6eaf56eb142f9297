"""An operation with some of its contracts: no row of another is left behind."""

from fixtures.tiny import tiny_operation
from routing.inputs.cross_check import cross_check
from routing.inputs.offers import signed_only, with_contracts
from routing.plan import make_plan

TINY = tiny_operation()
OFFER = TINY.contracts[0].model_copy(update={"signed": False})
MIXED = TINY.model_copy(update={"contracts": (OFFER, TINY.contracts[1])})


def test_rows_that_name_a_contract_left_out_go_with_it() -> None:
    left = signed_only(MIXED)
    assert [one.name for one in left.contracts] == ["Late blueberries"]
    assert "Early cherries" not in left.model_dump_json()
    assert cross_check(left) == ()


def test_an_operation_without_offers_is_itself() -> None:
    assert signed_only(TINY) is TINY
    assert with_contracts(TINY, TINY.contracts) == TINY


def test_a_plan_serves_no_offer_and_says_so() -> None:
    plan = make_plan(MIXED, seconds=3.0, steps=1)
    assert [one.contract for one in plan.deliveries] == ["Late blueberries"]
    (told,) = (one for one in plan.findings if one.check == "contract not signed")
    assert (told.subject, told.status) == ("Early cherries", "unknown")
