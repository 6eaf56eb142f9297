"""Chill, heat, stages and sums to bloom against published constants, worked values and a real year of hours."""

import csv
import math
from pathlib import Path

import numpy as np
import pvlib
import pytest

from routing.formulas.chill import A0, A1, E0, E1, chill_portions, chilling_hours, utah_unit, utah_units
from routing.formulas.heat import degree_days_of_mean, degree_days_of_raised, degree_hours_of, growing_degree_hours
from routing.limits.crop_rows import chills, crop_named, heat_sums, kill_at


def fahrenheit(temperature_c: float) -> float:
    return temperature_c * 1.8 + 32.0


# Richardson, Seeley, Walker (1974), HortScience 9, 331-332, in deg C: the unit at each upper edge and just above it.
UTAH = [(1.4, 0.0, 0.5), (2.4, 0.5, 1.0), (9.1, 1.0, 0.5), (12.4, 0.5, 0.0), (15.9, 0.0, -0.5), (18.0, -0.5, -1.0)]


@pytest.mark.parametrize(("edge", "at", "above"), UTAH)
def test_utah_units_change_just_above_each_published_edge(edge: float, at: float, above: float) -> None:
    assert (utah_unit(edge), utah_unit(edge + 0.001)) == (at, above)
    # The same by the sum that takes degrees Fahrenheit, where the edge is a fraction that no machine holds exactly.
    assert utah_units([fahrenheit(edge)])[0] == at
    assert utah_units([fahrenheit(edge + 0.001)])[0] == above


def test_the_constants_of_the_dynamic_model_are_those_of_fishman_and_erez() -> None:
    # Fishman, Erez, Couvillon (1987), J. theor. Biol. 124 and 126; as in the spreadsheet of Erez.
    assert (E0, E1, A0, A1) == (4153.5, 12888.8, 139500.0, 2.567e18)


# Worked out for constant temperatures from the published equations by another hand: portions after 240, 720, 1000 h.
CONSTANT = [
    (0.0, 0.7694, 3.3273, 4.8519), (4.0, 6.5821, 21.2458, 29.8494), (6.0, 7.8207, 24.4326, 34.2042),
    (8.0, 8.1332, 24.4010, 34.5684), (12.0, 6.0004, 18.0011, 25.0015),
]  # fmt: skip


@pytest.mark.parametrize(("temperature_c", "after_240", "after_720", "after_1000"), CONSTANT)
def test_portions_at_a_constant_temperature(temperature_c: float, after_240: float, after_720: float, after_1000: float) -> None:
    portions = chill_portions([fahrenheit(temperature_c)] * 1000)
    assert [portions[239], portions[719], portions[999]] == pytest.approx([after_240, after_720, after_1000], abs=1e-3)


def test_the_first_portion_at_six_degrees_is_fixed_in_the_thirtieth_hour() -> None:
    portions = chill_portions([fahrenheit(6.0)] * 40)
    assert int(np.flatnonzero(portions)[0]) + 1 == 30


def test_a_month_of_one_sine_a_day() -> None:
    # 8 + 6 sin(2 pi (h - 9) / 24) deg C for 720 hours, worked out by another hand.
    hours = [fahrenheit(8.0 + 6.0 * math.sin(2.0 * math.pi * (hour - 9) / 24.0)) for hour in range(720)]
    # That count took the first hour in; here the first hour only starts the count, so one is put before it.
    assert chill_portions([hours[0], *hours])[-1] == pytest.approx(21.0323, abs=1e-3)
    assert (utah_units(hours)[-1], chilling_hours(hours)[-1]) == (435.0, 330.0)
    assert growing_degree_hours(hours)[-1] == pytest.approx(2462.7655, abs=1e-3)


# Anderson, Richardson, Kesner (1986), Acta Horticulturae 184, 71-78: base 4, best 25, most 36 deg C.
GDH = [(4.0, 0.0), (10.0, 3.9534), (14.5, 10.5), (15.0, 11.2847), (20.0, 18.1970), (25.0, 21.0), (30.5, 6.1508), (36.0, 0.0)]


@pytest.mark.parametrize(("temperature_c", "expected"), GDH)
def test_growing_degree_hours_follow_the_published_curve(temperature_c: float, expected: float) -> None:
    assert degree_hours_of([temperature_c])[0] == pytest.approx(expected, abs=1e-4)


def test_the_two_readings_of_degree_days_differ_as_published() -> None:
    # McMaster and Wilhelm (1997): 3 to 15 deg C, base 10. Mean 9 is under the base: 0; 3 raised to 10: (15 + 10) / 2 - 10.
    assert degree_days_of_mean(3.0, 15.0, base=10.0) == 0.0
    assert degree_days_of_raised(3.0, 15.0, base=10.0) == 2.5


def test_lowbush_blueberry_opens_at_the_published_degree_days() -> None:
    # White (2012), updated 2023, Nova Scotia: 390, 412, 440, 480, 600 deg C days over 0 from April 1; x 1.8 in deg F.
    rows = {row.percent: row for row in heat_sums() if row.crop == "lowbush blueberry"}
    for percent, sum_c in ((1, 390), (10, 412), (25, 440), (50, 480), (90, 600)):
        assert rows[percent].sum_f == pytest.approx(sum_c * 1.8)
        assert (rows[percent].base_f, rows[percent].from_month_day) == (32.0, "04-01")


def test_chill_of_cultivars_is_as_the_university_of_california_lists_it() -> None:
    # UC ANR, Crop chilling requirements, in chill portions.
    listed = {("almond", "Nonpareil"): (22, 23), ("apple", "Golden Delicious"): (50, 50), ("sweet cherry", "Lapins"): (35, 35),
              ("sweet cherry", "Burlat"): (48, 53), ("peach", "Redhaven"): (75, 75)}  # fmt: skip
    found = {(row.crop, row.cultivar): (row.low_portions, row.high_portions) for row in chills()}
    assert {key: found[key] for key in listed} == listed


@pytest.mark.parametrize(
    ("crop", "stage", "ten", "ninety"),
    [
        # Michigan State University Extension, Spring freeze damage thresholds; tart cherry: Intermountain Fruit.
        ("apple", "green tip", 18, 10), ("apple", "full bloom", 28, 25), ("pear", "full white", 26, 22),
        ("sweet cherry", "first white", 27, 24), ("tart cherry", "green tip", 26, 22), ("tart cherry", "first bloom", 28, 24),
    ],
)  # fmt: skip
def test_cold_that_kills_buds_is_as_printed(crop: str, stage: str, ten: float, ninety: float) -> None:
    row = kill_at(crop, stage)
    assert row is not None
    assert (row.kill_10_f, row.kill_90_f) == (ten, ninety)
    assert any(mark.stage == stage for mark in crop_named(crop).marks)


def test_apple_takes_a_month_from_green_tip_to_full_bloom() -> None:
    # Michigan State University Extension, Sparta from 1976: 31 days on average, 17 (1985) to 50 (1997).
    days = {mark.stage: mark.days for mark in crop_named("apple").marks}
    assert days["full bloom"] - days["green tip"] == 31.0


def greensboro_f() -> np.ndarray:
    """Return January to March of the typical year of Greensboro NC that pvlib ships (TMY3). [deg F]"""
    text = Path(pvlib.__file__).parent.joinpath("data", "723170TYA.CSV").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines()[1:])
    return np.array([fahrenheit(float(row["Dry-bulb (C)"])) for row in rows if int(row["Date (MM/DD/YYYY)"][:2]) <= 3])


def test_a_real_winter_has_the_chill_and_heat_that_a_count_by_hand_gives() -> None:
    hours = greensboro_f()
    assert len(hours) == 90 * 24
    celsius = ((hours - 32.0) / 1.8).round(1)
    # Whole count with 0 and 7.2 deg C themselves: 678; 38 hours are exactly 0.0 and 44 exactly 7.2, without them 596.
    assert chilling_hours(hours)[-1] == ((celsius >= 0.0) & (celsius <= 7.2)).sum() == 678
    assert ((celsius > 0.0) & (celsius < 7.2)).sum() == 596
    by_hand = sum(utah_unit(float(one)) for one in celsius)
    assert utah_units(hours)[-1] == by_hand == 593.0
    # A plain sum of degrees over 4.5, capped at 25, is 8,710 deg C hours there: the curve gives a like figure.
    plain = np.clip(np.minimum(celsius, 25.0) - 4.5, 0.0, None).sum()
    assert plain == pytest.approx(8709.5, abs=0.1)
    assert growing_degree_hours(hours)[-1] == pytest.approx(plain, rel=0.10)
