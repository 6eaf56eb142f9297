"""A bloom that is heard to come later or sooner moves a way in, also one that weather foretells."""

import datetime as dt

import pytest

from fixtures.bloom import ORCHARD, bloom_operation
from routing.bloom.window import contract_window
from routing.changes.change import BloomShift
from routing.changes.changed import changed_operation

FORETOLD = bloom_operation(years=3, seen_to=dt.date(2027, 4, 20))


@pytest.mark.parametrize("days", [-4, 3])
def test_nights_that_weather_foretells_move_with_what_is_heard_of_the_bloom(days: int) -> None:
    before = contract_window(FORETOLD, FORETOLD.contracts[0])
    operation = changed_operation(FORETOLD, (BloomShift(kind="bloom", contract=ORCHARD, days=days),))
    after = contract_window(operation, operation.contracts[0])
    shift = dt.timedelta(days=days)
    assert (after.in_from, after.in_until) == (before.in_from + shift, before.in_until + shift)
    assert before.out_from is not None
    assert after.out_from == before.out_from + shift
    assert before.forecast
    assert not after.forecast


def test_the_other_contracts_stay_as_they_are() -> None:
    operation = changed_operation(FORETOLD, (BloomShift(kind="bloom", contract=ORCHARD, days=3),))
    assert operation.contracts[1] == FORETOLD.contracts[1]
