"""The nights in and out: from dates, from bloom, from petal fall, from the spray."""

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.tiny import tiny_operation
from routing.bloom.window import ContractWindow, contract_window, window_faults
from routing.errors import OperationError
from routing.inputs.contract import Bloom, Contract
from routing.inputs.operation import Constant, Operation

TINY = tiny_operation()


def day(month: int, number: int) -> dt.date:
    return dt.date(2027, month, number)


def test_dates_agreed_are_taken_as_they_are() -> None:
    found = window(in_from=day(4, 23), in_until=day(4, 26), late_nights_allowed=1)
    assert (found.in_from, found.in_until, found.late_until) == (day(4, 23), day(4, 26), day(4, 27))
    assert "from the date agreed, 2027-04-23" in found.basis
    assert not found.forecast


def test_without_a_last_night_the_nights_after_the_first_are_counted() -> None:
    assert window(in_from=day(4, 23), in_within_nights=2).in_until == day(4, 25)


def test_percent_bloom_gives_the_first_night_and_says_how() -> None:
    # 5 % on the 20th, 25 % on the 24th: 10 % on the 21st.
    found = window(blooms=((5, 20, True), (25, 24, False)), in_at_percent_bloom=10.0, in_within_nights=3)
    assert (found.in_from, found.in_until, found.late_until) == (day(4, 21), day(4, 24), day(4, 24))
    assert found.forecast
    assert "10 % bloom by 2027-04-21, between 5 % seen on 2027-04-20" in found.basis


def test_dates_agreed_count_before_percent_bloom() -> None:
    found = window(blooms=((5, 20, False), (25, 24, False)), in_from=day(4, 23), in_at_percent_bloom=10.0)
    assert found.in_from == day(4, 23)


def test_without_any_end_the_hives_stay() -> None:
    found = window(in_from=day(4, 23))
    assert (found.out_from, found.out_until) == (None, None)
    assert "the hives stay" in found.basis


def test_petal_fall_opens_the_way_out_for_five_nights() -> None:
    found = window(in_from=day(4, 23), petal_fall_on=day(5, 9))
    assert (found.out_from, found.out_until) == (day(5, 9), day(5, 14))


def test_a_first_night_out_overrides_petal_fall() -> None:
    found = window(in_from=day(4, 23), petal_fall_on=day(5, 9), out_from=day(5, 11))
    assert (found.out_from, found.out_until) == (day(5, 11), day(5, 16))


@pytest.mark.parametrize(
    ("clear", "last"), [(0.0, day(5, 14)), (1.0, day(5, 13)), (1.5, day(5, 12)), (2.0, day(5, 12))]
)
def test_clear_nights_lie_between_the_last_night_out_and_the_day_of_the_spray(
    clear: float, last: dt.date
) -> None:
    # Spray by day on May 15. The night of the 14th ends at its dawn: with no clear night, the last one out.
    found = window(clear=clear, in_from=day(4, 23), petal_fall_on=day(5, 9), spray_on=day(5, 15))
    assert found.out_until == last


@pytest.mark.parametrize(("agreed", "last"), [(12, 12), (13, 13), (14, 13)])
def test_the_earlier_of_the_date_agreed_and_the_spray_ends_the_way_out(agreed: int, last: int) -> None:
    found = window(in_from=day(4, 23), petal_fall_on=day(5, 9), out_until=day(5, agreed), spray_on=day(5, 15))
    assert found.out_until == day(5, last)


def test_of_two_ends_on_one_night_the_date_agreed_is_told() -> None:
    found = window(in_from=day(4, 23), petal_fall_on=day(5, 9), out_until=day(5, 13), spray_on=day(5, 15))
    assert found.basis.endswith("until the date agreed, 2027-05-13.")


def test_a_spray_alone_opens_the_way_out_five_nights_before_its_end_and_says_so() -> None:
    found = window(in_from=day(4, 23), spray_on=day(5, 15))
    assert (found.out_from, found.out_until) == (day(5, 8), day(5, 13))
    assert "since no petal fall is given" in found.basis


def test_a_spray_soon_after_the_way_in_leaves_the_nights_between() -> None:
    found = window(in_from=day(4, 23), spray_on=day(4, 28))
    assert (found.out_from, found.out_until) == (day(4, 24), day(4, 26))


@pytest.mark.parametrize(
    ("about", "column", "words"),
    [
        ({}, "in_from", "neither a first night in nor a percent bloom"),
        (
            {"in_from": day(4, 23), "in_until": day(4, 22)},
            "in_until",
            "before the first night in, 2027-04-23",
        ),
        ({"in_at_percent_bloom": 10.0}, "in_at_percent_bloom", "no row"),
        ({"in_from": day(4, 23), "out_from": day(4, 23)}, "out_from", "not after the first night in"),
        (
            {"in_from": day(4, 23), "petal_fall_on": day(5, 9), "out_until": day(5, 8)},
            "out_until",
            "no night out",
        ),
        (
            {"in_from": day(4, 23), "petal_fall_on": day(5, 9), "spray_on": day(5, 10)},
            "out_until",
            "1 night clear before the spray",
        ),
        ({"in_from": day(4, 23), "spray_on": day(4, 25)}, "out_until", "no night out is left"),
    ],
)
def test_a_contradiction_is_a_fault_at_its_column(about: dict[str, Any], column: str, words: str) -> None:
    with pytest.raises(OperationError, match=words) as raised:
        window(**about)
    (fault,) = raised.value.faults
    assert str(fault).startswith(f"Tiny Bees, contracts[0].{column}: found ")
    assert " (contract Pears), allowed: " in str(fault)


def test_all_faults_of_all_contracts_are_told_at_once() -> None:
    both = pears(petal_fall_on=day(5, 9), out_until=day(5, 8))
    operation = TINY.model_copy(
        update={"contracts": (*TINY.contracts, both, both.model_copy(update={"name": "Plums"}))}
    )
    paths = [fault.path for fault in window_faults(operation)]
    assert paths == [
        "contracts[2].in_from",
        "contracts[2].out_until",
        "contracts[3].in_from",
        "contracts[3].out_until",
    ]


def test_the_tiny_operation_has_no_fault() -> None:
    assert window_faults(TINY) == ()


DAYS = st.one_of(st.none(), st.integers(0, 40).map(lambda days: day(4, 20) + dt.timedelta(days=days)))


@given(in_until=DAYS, petal=DAYS, out_from=DAYS, out_until=DAYS, spray=DAYS, late=st.integers(0, 14))
def test_a_window_is_in_order_and_before_the_spray_or_it_is_a_fault(
    in_until: dt.date | None, petal: dt.date | None, out_from: dt.date | None, out_until: dt.date | None,
    spray: dt.date | None, late: int,
) -> None:  # fmt: skip
    try:
        found = window(in_from=day(4, 22), in_until=in_until, petal_fall_on=petal, out_from=out_from,
                       out_until=out_until, spray_on=spray, late_nights_allowed=late)  # fmt: skip
    except OperationError:
        return
    assert found.in_from <= found.in_until <= found.late_until
    assert (found.out_from is None) == (found.out_until is None)
    if found.out_from is not None and found.out_until is not None:
        assert found.in_from < found.out_from <= found.out_until
        assert out_until is None or found.out_until <= out_until
        assert spray is None or (spray - found.out_until).days >= 2
    assert found.out_from is not None or petal is out_from is out_until is spray is None


def window(
    *, blooms: tuple[tuple[float, int, bool], ...] = (), clear: float | None = None, **about: Any
) -> ContractWindow:
    contract = pears(**about)
    rows = tuple(
        Bloom(contract="Pears", percent_bloom=float(percent), on=day(4, on), seen=seen)
        for percent, on, seen in blooms
    )
    own = (
        () if clear is None else (Constant(name="clear_nights_before_spray", value=clear, source="the test"),)
    )
    return contract_window(_with(contract, rows, own), contract)


def pears(**about: Any) -> Contract:
    row = {"name": "Pears", "grower": "A. Example", "crop": "pear", "colonies": 24, "min_average_frames": 8.0,
           "min_colony_frames": 6.0, "access": "semi", "fee_usd_per_colony": 60.0}  # fmt: skip
    return Contract.model_validate({**row, **about})


def _with(contract: Contract, blooms: tuple[Bloom, ...], constants: tuple[Constant, ...]) -> Operation:
    return TINY.model_copy(update={"contracts": (contract,), "blooms": blooms, "constants": constants})
