"""Yards and orchards under one set of names."""

import datetime as dt

from routing.inputs.contract import Contract, Gate
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.inputs.yard import Yard


def operation() -> Operation:
    yard = Yard(name="Home", latitude_deg=44.1, longitude_deg=-90.2, access="semi", capacity_hives=80)
    contract = Contract(
        name="Pears", grower="A", crop="pear", colonies=24, min_average_frames=8.0, min_colony_frames=6.0,
        access="straight truck", loading="forklift", fee_usd_per_colony=60.0, open_from=dt.time(20),
        open_until=dt.time(5, 30), time_zone="America/Denver",
    )  # fmt: skip
    gates = tuple(
        Gate(contract="Pears", name=name, latitude_deg=latitude, longitude_deg=-90.0)
        for name, latitude in (("north", 44.3), ("south", 44.2))
    )
    return Operation(
        name="Example", time_zone="America/Chicago", first_night=dt.date(2027, 4, 1),
        last_night=dt.date(2027, 5, 1), yards=(yard,), contracts=(contract,), gates=gates,
    )  # fmt: skip


def test_a_contract_lies_at_its_first_gate() -> None:
    place = places(operation())["Pears"]
    assert (place.kind, place.latitude_deg, place.longitude_deg) == ("orchard", 44.3, -90.0)
    assert (place.access, place.loading) == ("straight truck", "forklift")
    assert (place.open_from, place.open_until) == (dt.time(20), dt.time(5, 30))


def test_a_place_has_its_own_time_zone_or_the_operations() -> None:
    found = places(operation())
    assert found["Pears"].time_zone == "America/Denver"
    assert found["Home"].time_zone == "America/Chicago"


def test_yards_come_before_orchards() -> None:
    assert list(places(operation())) == ["Home", "Pears"]


def test_a_contract_without_a_gate_has_no_place() -> None:
    assert list(places(operation().model_copy(update={"gates": ()}))) == ["Home"]
