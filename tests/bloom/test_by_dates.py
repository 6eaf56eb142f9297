"""A forecast from dates: seen notes, typed forecasts, earlier years, dates agreed; the wider the less is known."""

import datetime as dt
from typing import Any

import pytest

from fixtures.bloom import usual_weather
from fixtures.tiny import tiny_operation
from routing.bloom.forecast import BloomForecast
from routing.bloom.predict import bloom_forecast
from routing.bloom.window import contract_window
from routing.errors import OperationError
from routing.inputs.contract import Bloom, Contract
from routing.inputs.operation import Operation
from routing.inputs.phenology import BloomSum, PastBloom, StageNote, Weather

TINY = tiny_operation()
NAME = "Early cherries"


def day(month: int, number: int, year: int = 2027) -> dt.date:
    return dt.date(year, month, number)


def test_a_date_agreed_is_taken_for_the_rule_of_the_crop_and_is_five_days_wide() -> None:
    # Sweet cherry: hives at 10 % bloom. No weather, no note: published errors are 1 to 8 days, 5 is planned for.
    found = forecast(in_from=day(4, 23))
    ten = stage(found, "10 % bloom")
    assert (ten.day, ten.sd_days, found.kind, found.calibrated) == (day(4, 23), 5.0, "dates", False)
    assert "the date agreed, 2027-04-23" in found.basis
    # 5 % and 95 % of a normal spread: 1.645 x 5 = 8.2 days; the first whole day at or after it.
    assert (ten.days[0], ten.days[4]) == (day(4, 15), day(5, 2))


def test_a_stage_seen_is_sure_to_a_day_and_the_next_ones_follow_at_their_usual_distance() -> None:
    # Cherries: tight cluster 12 days before 10 % bloom, full bloom 5 after it. 12 days at a quarter of a day each.
    found = forecast(notes=(("tight cluster", day(4, 12)),), in_from=None, in_at_percent_bloom=10.0)
    assert stage(found, "tight cluster").seen
    assert stage(found, "10 % bloom").day == day(4, 24)
    assert stage(found, "10 % bloom").sd_days == pytest.approx((1.0 + (0.25 * 12) ** 2) ** 0.5)
    assert stage(found, "full bloom").sd_days == pytest.approx((1.0 + (0.25 * 17) ** 2) ** 0.5)


def test_between_two_rows_of_bloom_the_day_is_the_one_that_the_window_takes() -> None:
    # 5 % on the 20th, 25 % on the 24th: 10 % is a quarter of the way, on the 21st.
    found = forecast(blooms=((5, 20, True), (25, 24, False)), in_from=None, in_at_percent_bloom=10.0)
    assert stage(found, "10 % bloom").day == day(4, 21)
    assert found.reached(10.0)[0] == day(4, 21).toordinal()


def test_earlier_years_without_weather_give_their_mean_date_and_never_less_than_the_usual_error() -> None:
    # 10 % on April 20, 22 and 24: mean the 22nd, their own spread 2 days, less than the 5 of published models.
    past = ((10, day(4, 20, 2024)), (10, day(4, 22, 2025)), (10, day(4, 24, 2026)))
    found = forecast(past=past, in_from=None, in_at_percent_bloom=10.0)
    assert (stage(found, "10 % bloom").day, stage(found, "10 % bloom").sd_days) == (day(4, 22), 5.0)
    # Three weeks apart from year to year is wider than any model: 21 days of spread, and it is told.
    past = ((10, day(4, 1, 2024)), (10, day(4, 22, 2025)), (10, day(5, 13, 2026)))
    assert stage(forecast(past=past, in_from=None, in_at_percent_bloom=10.0), "10 % bloom").sd_days == pytest.approx(21.0)


def test_one_earlier_year_alone_is_twice_as_wide() -> None:
    found = forecast(past=((50, day(4, 25, 2026)),), in_from=None, in_at_percent_bloom=10.0)
    # Half bloom comes 3 days after 10 %.
    assert (stage(found, "10 % bloom").day, stage(found, "10 % bloom").sd_days) == (day(4, 22), 10.0)


def test_the_day_of_petal_fall_in_the_contract_is_used() -> None:
    found = forecast(in_from=day(4, 23), petal_fall_on=day(5, 9))
    assert stage(found, "petal fall").day == day(5, 9)


def test_bloom_that_ends_before_it_begins_is_told_in_one_sentence() -> None:
    notes = (("full bloom", day(4, 28)), ("petal fall", day(4, 20)))
    with pytest.raises(OperationError, match="bloom ends before it begins: petal fall seen on 2027-04-20") as told:
        forecast(notes=notes, in_from=day(4, 23))
    assert len(told.value.faults) == 1


def test_a_contract_of_which_nothing_is_known_has_no_forecast() -> None:
    with pytest.raises(OperationError, match="nothing that tells when it blooms"):
        forecast(in_from=None, in_at_percent_bloom=10.0)


@pytest.mark.parametrize("crop", ["Sweet  Cherry", "CHERRIES", "sweet cherry"])
def test_a_crop_is_known_by_its_other_names_and_whatever_its_capitals(crop: str) -> None:
    assert forecast(in_from=day(4, 23), crop=crop).crop == "sweet cherry"


def test_a_crop_without_a_row_is_twice_as_unsure_of_its_pace() -> None:
    # Full bloom 9 days after 10 %: the hypotenuse of 5 days and 0.25 x 2 x 9 days.
    found = forecast(in_from=day(4, 23), crop="buckwheat")
    assert (found.crop, stage(found, "full bloom").sd_days) == ("any other crop", pytest.approx((25.0 + 4.5**2) ** 0.5))


def test_flowers_open_and_fall_along_the_stages() -> None:
    found = forecast(in_from=day(4, 23))
    shares = [found.open_on(day(4, 15) + dt.timedelta(days=number)) for number in range(30)]
    assert shares[0] == shares[-1] == 0.0
    top = shares.index(max(shares))
    assert shares[: top + 1] == sorted(shares[: top + 1])
    assert shares[top:] == sorted(shares[top:], reverse=True)
    assert max(shares) == pytest.approx(80.0)


def stage(found: BloomForecast, name: str) -> Any:
    one = found.stage(name)
    assert one is not None, name
    return one


def forecast(
    *, blooms: tuple[tuple[float, int, bool], ...] = (), notes: tuple[tuple[str, dt.date], ...] = (),
    past: tuple[tuple[float, dt.date], ...] = (), **about: Any,
) -> BloomForecast:  # fmt: skip
    bare = {"in_until": None, "petal_fall_on": None, "out_from": None, "out_until": None, "spray_on": None}
    contract: Contract = TINY.contracts[0].model_copy(update={**bare, **about})
    operation: Operation = TINY.model_copy(update={
        "contracts": (contract,),
        "blooms": tuple(Bloom(contract=NAME, percent_bloom=float(p), on=day(4, on), seen=seen) for p, on, seen in blooms),
        "stage_notes": tuple(StageNote(contract=NAME, stage=name, on=on) for name, on in notes),
        "past_blooms": tuple(PastBloom(contract=NAME, percent_bloom=float(p), on=on) for p, on in past),
    })  # fmt: skip
    return bloom_forecast(operation, contract)


def test_a_stage_seen_moves_the_window_also_without_weather() -> None:
    contract = TINY.contracts[0].model_copy(update={
        "in_from": None, "in_until": None, "petal_fall_on": None, "out_from": None, "out_until": None, "spray_on": None,
        "in_at_percent_bloom": 10.0,
    })  # fmt: skip
    typed = Bloom(contract=NAME, percent_bloom=10.0, on=day(5, 9))
    note = StageNote(contract=NAME, stage="first white", on=day(4, 20))
    bare = TINY.model_copy(update={"contracts": (contract,), "blooms": (typed,)})
    assert contract_window(bare, contract).in_from == day(5, 9)
    noted = bare.model_copy(update={"stage_notes": (note,), "blooms": ()})
    assert contract_window(noted, contract).in_from == day(4, 24)  # first white is 3.5 days before 10 %
    assert "dates and notes, not weather" in contract_window(noted, contract).basis


@pytest.mark.parametrize("weather", [(), usual_weather()])
def test_notes_that_contradict_each_other_are_a_fault_of_the_window_with_weather_or_none(weather: tuple[Weather, ...]) -> None:
    contract = TINY.contracts[0].model_copy(update={"in_from": None, "in_until": None, "in_at_percent_bloom": 10.0})
    operation = TINY.model_copy(update={
        "contracts": (contract,), "weather": weather,
        "blooms": (Bloom(contract=NAME, percent_bloom=80.0, on=day(4, 20), seen=True),),
        "stage_notes": (StageNote(contract=NAME, stage="first bloom", on=day(4, 26)),),
        "bloom_sums": (BloomSum(crop="sweet cherry", percent_bloom=10.0, heat_sum=6000.0, source="the test"),),
    })  # fmt: skip
    with pytest.raises(OperationError, match="bloom ends before it begins: 80 % bloom seen on 2027-04-20"):
        contract_window(operation, contract)
