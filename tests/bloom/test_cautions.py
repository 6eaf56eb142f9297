"""Cautions: frost at the stage that buds have reached, agreed nights that miss the bloom."""

import datetime as dt
from typing import Any

import pytest

from fixtures.bloom import ORCHARD, bloom_operation
from routing.bloom.cautions import agreed_cautions, frost_cautions, stage_on
from routing.bloom.predict import bloom_forecast
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation, Temperature
from routing.inputs.phenology import StageNote

FULL = dt.date(2027, 5, 10)
SEEN = bloom_operation(years=3, seen_to=dt.date(2027, 5, 9)).model_copy(
    update={"stage_notes": (StageNote(contract=ORCHARD, stage="full bloom", on=FULL),)}
)


def cold(low_f: float, night: dt.date = FULL, place: str = "") -> Operation:
    row = Temperature(place=place, night=night, sunset_f=45.0, low_f=low_f, sunrise_f=40.0)
    return SEEN.model_copy(update={"temperatures": (row,)})


def frost(operation: Operation) -> list[str]:
    contract = operation.contracts[0]
    return list(frost_cautions(operation, contract, bloom_forecast(operation, contract)))


@pytest.mark.parametrize(("low_f", "told"), [(28.1, 0), (28.0, 1), (20.0, 1)])
def test_frost_is_told_from_the_temperature_on_that_kills_ten_of_a_hundred(low_f: float, told: int) -> None:
    # Sweet cherry in full bloom: 28 deg F kills 10, 25 kills 90 of 100 (Michigan State University Extension).
    found = frost(cold(low_f))
    assert len(found) == told
    if told:
        assert found[0].startswith(f"night of 2027-05-10: {low_f:g} deg F is expected at full bloom; half an hour at 28 kills 10")


def test_frost_elsewhere_or_long_after_bloom_is_no_business_of_this_orchard() -> None:
    assert frost(cold(20.0, place="Home yard")) == []
    assert frost(cold(20.0, night=dt.date(2027, 6, 14))) == []
    assert len(frost(cold(20.0, place=ORCHARD))) == 1


def test_the_stage_of_a_day_is_the_last_one_reached() -> None:
    forecast = bloom_forecast(SEEN, SEEN.contracts[0])
    found = stage_on(forecast, FULL)
    assert found is not None
    assert found.stage == "full bloom"
    assert stage_on(forecast, dt.date(2027, 1, 1)) is None


@pytest.mark.parametrize(
    ("about", "words"),
    [
        ({"in_from": dt.date(2027, 5, 12)}, "on the first night agreed, 2027-05-12, more than 25 % of flowers are likely open"),
        ({"in_until": dt.date(2027, 4, 25)}, "on the last night agreed, 2027-04-25, 10 % of flowers are not likely open yet"),
        ({"out_from": dt.date(2027, 5, 11)}, "hives may leave from 2027-05-11, when 90 % of petals have not likely fallen"),
        ({"petal_fall_on": dt.date(2027, 5, 11)}, "hives may leave from 2027-05-11"),
        ({"in_from": dt.date(2027, 5, 4), "in_until": dt.date(2027, 5, 6), "out_from": dt.date(2027, 5, 25)}, ""),
    ],
)
def test_nights_agreed_that_miss_the_bloom_are_told_and_others_are_not(about: dict[str, Any], words: str) -> None:
    contract: Contract = SEEN.contracts[0].model_copy(update=about)
    found = list(agreed_cautions(contract, bloom_forecast(SEEN, SEEN.contracts[0])))
    assert len(found) == (1 if words else 0), found
    if words:
        assert found[0].startswith(words)


def test_dates_alone_say_nothing_against_themselves() -> None:
    contract = SEEN.contracts[1]  # blueberries: dates agreed, nothing seen, no heat sum
    assert list(agreed_cautions(contract, bloom_forecast(SEEN, contract))) == []
