"""The bloom report: the same figures as the forecast, in rows and in plain lines."""

import datetime as dt

import pytest

from fixtures.bloom import bloom_operation
from fixtures.tiny import tiny_operation
from routing.bloom.predict import bloom_forecast
from routing.bloom.window import contract_window
from routing.errors import OperationError
from routing.sheets.bloom_report import BloomReport, bloom_report, report_lines

SEEN = bloom_operation(seen_to=dt.date(2027, 4, 20))
CHERRIES, BLUES = SEEN.contracts
REPORT = bloom_report(SEEN, CHERRIES)


def test_the_report_holds_forecast_window_and_sums() -> None:
    forecast = bloom_forecast(SEEN, CHERRIES)
    assert [row.day for row in REPORT.stages] == [stage.day for stage in forecast.stages]
    assert [row.days_5_25_75_95[0] for row in REPORT.stages] == [stage.quantile(0.05) for stage in forecast.stages]
    assert REPORT.window == contract_window(SEEN, CHERRIES)
    assert REPORT.sums == forecast.sums
    assert REPORT.stress_days == 10.0
    assert BloomReport.model_validate_json(REPORT.model_dump_json()) == REPORT


def test_chances_fall_from_night_to_night_and_reach_beyond_the_window_on_both_sides() -> None:
    assert REPORT.window is not None
    nights = [one.night for one in REPORT.nights]
    assert (nights[0], nights[-1]) == (
        REPORT.window.in_from - dt.timedelta(days=3), REPORT.window.late_until + dt.timedelta(days=3),
    )  # fmt: skip
    assert [one.on_time for one in REPORT.nights] == sorted((one.on_time for one in REPORT.nights), reverse=True)
    assert [one.wanted for one in REPORT.nights] == sorted(one.wanted for one in REPORT.nights)


def test_the_lines_tell_days_why_chances_chill_heat_and_frost() -> None:
    text = "\n".join(report_lines(REPORT))
    for words in (
        "Rests on sums fitted to your own earlier years.", "full bloom", "28 / 25", "  In: 2027-05-", "  Out: 2027-05-",
        "Published: in at 10 % bloom", "not late: May", "portions of 78 needed", "Rest ended on", "10 days early or late",
        "Frost: half an hour", "A caution, not a promise",
    ):  # fmt: skip
        assert words in text
    assert max(len(line) for line in text.splitlines() if line.startswith("  ") and "  " in line[3:]) < 130


def test_a_crop_by_dates_says_so_and_why() -> None:
    text = "\n".join(report_lines(bloom_report(SEEN, BLUES)))
    assert "Rests on dates and notes, not weather." in text
    assert "Note: not from weather: no heat sum to bloom is published for highbush blueberry" in text
    assert "Frost" not in text


def test_a_window_that_cannot_be_found_is_told_in_its_place() -> None:
    # Hives that would leave on the day they come: the forecast stands, the window does not.
    contract = CHERRIES.model_copy(update={"out_from": dt.date(2027, 4, 1)})
    report = bloom_report(SEEN.model_copy(update={"contracts": (contract, BLUES)}), contract)
    assert report.window is None
    assert "not after the first night in" in report.window_fault
    assert any(line.startswith("  No window: ") for line in report_lines(report))


def test_nothing_known_of_a_bloom_is_an_error() -> None:
    bare = CHERRIES.model_copy(update={"in_at_percent_bloom": 10.0})
    operation = tiny_operation().model_copy(update={"contracts": (bare,)})
    with pytest.raises(OperationError, match="nothing that tells when it blooms"):
        bloom_report(operation, bare)
