"""How warm a night is, and whether a closed hive has a way for air."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.hive import BottomBoard, Entrance, HiveBuild, Ventilation
from routing.inputs.operation import Constant, Operation, Temperature
from routing.readiness.air import has_air, warmth

NIGHT = dt.date(2027, 4, 24)
TINY = tiny_operation()
HOME, CHERRIES = "Home yard", "Early cherries"


@pytest.mark.parametrize(("sunset_f", "kind"), [(59.9, "cool"), (60.0, "warm"), (60.1, "warm")])
def test_sixty_degrees_is_warm(sunset_f: float, kind: str) -> None:
    assert warmth(with_rows(row("", sunset_f)), NIGHT, (HOME, CHERRIES)).kind == kind


def test_a_warm_morning_is_warm_after_a_cool_evening() -> None:
    assert warmth(with_rows(row("", 50.0, sunrise_f=61.0)), NIGHT, (HOME,)).kind == "warm"


def test_the_users_own_threshold_counts() -> None:
    own = Constant(name="closed_hive_warm_f", value=45.0, source="our own years")
    operation = with_rows(row("", 50.0)).model_copy(update={"constants": (own,)})
    found = warmth(operation, NIGHT, (HOME,))
    assert (found.kind, found.words) == ("warm", "50 F, at or over 45 F")


def test_a_places_own_row_counts_before_the_row_for_everywhere() -> None:
    operation = with_rows(row("", 75.0), row(HOME, 50.0))
    assert warmth(operation, NIGHT, (HOME,)).kind == "cool"
    assert warmth(operation, NIGHT, (HOME, CHERRIES)).kind == "warm"


def test_a_night_without_a_row_is_not_cool_and_says_where() -> None:
    found = warmth(with_rows(row(HOME, 50.0)), NIGHT, (HOME, CHERRIES))
    assert (found.kind, found.needs_screen) == ("not given", True)
    assert "no temperature is given for Early cherries" in found.words


def test_one_warm_place_is_enough_even_when_another_is_not_known() -> None:
    assert warmth(with_rows(row(HOME, 70.0)), NIGHT, (HOME, CHERRIES)).kind == "warm"


def test_rows_of_other_nights_say_nothing() -> None:
    assert warmth(with_rows(row("", 50.0, night=dt.date(2027, 4, 25))), NIGHT, (HOME,)).kind == "not given"


@pytest.mark.parametrize(
    ("ventilation", "bottom", "entrance", "air"),
    [
        ("none", "pallet", "closed", False),
        ("entrance only", "pallet", "closed", False),
        ("entrance only", "pallet", "screened", True),
        ("none", "solid", "screened", True),
        ("top screen", "solid", "closed", True),
        ("screened bottom", "screened", "closed", True),
        ("screened bottom", "pallet", "closed", True),
        ("screened bottom", "solid", "closed", False),
    ],
)
def test_air_comes_through_a_screen_only(
    ventilation: Ventilation, bottom: BottomBoard, entrance: Entrance, air: bool
) -> None:
    build = HiveBuild(name="B", box_frames=10, bottom_board=bottom, entrance=entrance, lid="migratory",
                      ventilation=ventilation)  # fmt: skip
    assert has_air(build) == air


def row(place: str, sunset_f: float, *, sunrise_f: float = 30.0, night: dt.date = NIGHT) -> Temperature:
    return Temperature(place=place, night=night, sunset_f=sunset_f, low_f=28.0, sunrise_f=sunrise_f)


def with_rows(*rows: Temperature) -> Operation:
    return TINY.model_copy(update={"temperatures": rows})
