"""Operations that no plan can serve: each is refused at the door or planned with an explained, proven answer."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.errors import OperationError
from routing.inputs.operation import Operation
from routing.inputs.read import operation_from_json
from routing.nights.check import check_plan, is_feasible
from routing.plan import make_plan
from routing.plan_record import Plan, Unkept

TINY = tiny_operation()
PROMISED = {"Early cherries": 16, "Late blueberries": 24}
NOTHING_KEPT_USD = 16 * (60.0 + 15.0) + 24 * (70.0 + 15.0)
"""Lost fee and penalty of every colony promised."""


def _with(**tables: object) -> Operation:
    """Return the tiny operation with other tables, as the door lets it in."""
    return operation_from_json(TINY.model_copy(update=tables).model_dump_json(), "bad.json")


def _every(table: str, **values: object) -> tuple[object, ...]:
    return tuple(row.model_copy(update=values) for row in getattr(TINY, table))


def _planned(operation: Operation) -> Plan:
    plan = make_plan(operation, seed=1, steps=2, seconds=5.0)
    assert is_feasible(check_plan(plan)), [one for one in check_plan(plan) if one.status == "broken"]
    return plan


def _none_kept(plan: Plan) -> dict[str, Unkept]:
    """Return what the plan says of each promise; all of them are short, and proven to be."""
    told = {one.contract: one for one in plan.unkept}
    assert {name: one.colonies for name, one in told.items()} == PROMISED
    assert all(one.kind == "short" and one.proven for one in told.values())
    assert (plan.truck_nights, plan.cost_usd) == ((), NOTHING_KEPT_USD)
    return told


def test_no_truck_gets_into_a_yard_and_the_yard_is_named_with_what_would_help() -> None:
    told = _none_kept(_planned(_with(yards=_every("yards", access="pickup"))))
    for one in told.values():
        assert "Home yard lets in nothing larger than a pickup, too small for Old blue" in one.reason
        assert any("get into Home yard" in remedy for remedy in one.remedies)


def test_no_truck_gets_into_an_orchard_and_the_orchard_is_named() -> None:
    told = _none_kept(_planned(_with(contracts=_every("contracts", access="pickup"))))
    assert "it lets in nothing larger than a pickup, and Old blue is a straight truck" in told["Early cherries"].reason


def test_there_is_no_truck() -> None:
    told = _none_kept(_planned(_with(trucks=(), axle_groups=(), tie_downs=())))
    assert all("there is no truck" in one.reason for one in told.values())
    assert all(any("one more truck" in remedy for remedy in one.remedies) for one in told.values())


def test_nobody_drives() -> None:
    told = _none_kept(_planned(_with(drivers=())))
    assert all("no driver is able to drive Old blue" in one.reason for one in told.values())


def test_the_only_driver_is_away_all_season() -> None:
    nights = (TINY.first_night + dt.timedelta(days=day) for day in range((TINY.last_night - TINY.first_night).days + 1))
    told = _none_kept(_planned(_with(drivers=_every("drivers", nights_away=", ".join(map(str, nights))))))
    assert "at hand with a driver" in told["Early cherries"].reason


def test_the_truck_comes_only_when_every_window_is_over() -> None:
    told = _none_kept(_planned(_with(trucks=_every("trucks", available_from=dt.date(2027, 6, 14)))))
    assert "23 to 27 April 2027" in told["Early cherries"].reason
    assert any("Old blue at hand" in remedy for remedy in told["Early cherries"].remedies)


def test_there_are_no_hives() -> None:
    told = _none_kept(_planned(_with(hive_groups=())))
    assert "no group of hives that may travel and is strong enough" in told["Early cherries"].reason


def test_far_more_is_promised_than_there_is_and_what_is_missing_is_counted() -> None:
    plan = _planned(_with(contracts=_every("contracts", colonies=200)))
    told = {one.contract: one for one in plan.unkept}
    # H1 has 16 hives and L1 has 6 that are strong enough: 22 of 200, so 178 are missing in every plan.
    assert {name: one.colonies >= 178 for name, one in told.items()} == dict.fromkeys(PROMISED, True)
    assert all("only 22 such hives can be had" in one.reason for one in told.values())
    assert all("a promise of 22 colonies in place of 200" in one.remedies for one in told.values())


def test_a_gate_is_open_for_ten_minutes_of_the_night() -> None:
    shut = {"open_from": dt.time(23, 59), "open_until": dt.time(0, 9)}
    told = _none_kept(_planned(_with(contracts=_every("contracts", **shut))))
    assert all("leave no room for one load" in one.reason for one in told.values())
    assert "Early cherries open to trucks from dusk to dawn" in told["Early cherries"].remedies


def test_the_sun_does_not_go_down_on_any_night_of_the_windows() -> None:
    # On 28 May the sun stands 21.4 degrees north: here it sinks to 90 - 64.9 - 21.4 = 3.7 degrees, and night begins at 6.
    north = {
        "yards": tuple(one.model_copy(update={"latitude_deg": 64.8, "longitude_deg": -147.0}) for one in TINY.yards),
        "gates": tuple(one.model_copy(update={"latitude_deg": 64.9, "longitude_deg": -147.0}) for one in TINY.gates),
        "drops": (), "blocks": (), "distances": (), "time_zone": "America/Anchorage",
        "contracts": tuple(
            one.model_copy(update={
                "in_from": dt.date(2027, 5, 28), "in_until": dt.date(2027, 5, 30), "petal_fall_on": None, "spray_on": None,
                "out_from": dt.date(2027, 6, 10), "out_until": dt.date(2027, 6, 12),
            }) for one in TINY.contracts
        ),
    }  # fmt: skip
    told = _none_kept(_planned(_with(**north)))
    assert all("the sun does not go down far enough there for a night to be dark" in one.reason for one in told.values())


def test_every_way_takes_longer_than_the_night() -> None:
    told = _none_kept(_planned(_with(distances=_every("distances", minutes=900.0))))
    assert "and the night has" in told["Early cherries"].reason


@pytest.mark.parametrize(("table", "moved", "words"), [
    ("gates", {"latitude_deg": -43.9785, "longitude_deg": 93.711}, "a place within 1,500 miles of the other places"),
    ("yards", {"latitude_deg": -43.7, "longitude_deg": 93.8}, "a place within 1,500 miles of the other places"),
    ("gates", {"latitude_deg": -86.289, "longitude_deg": 43.9785}, "latitude and longitude look swapped"),
])  # fmt: skip
def test_a_place_on_the_wrong_side_of_the_world_is_refused_at_the_door_and_named(
    table: str, moved: dict[str, float], words: str
) -> None:
    first, *others = getattr(TINY, table)
    with pytest.raises(OperationError) as refused:
        _with(**{table: (first.model_copy(update=moved), *others)})
    told = [str(fault) for fault in refused.value.faults]
    assert any(f"{table}[0].latitude_deg" in line and words in line for line in told)


def test_nothing_is_promised_and_the_plan_is_empty_and_costs_nothing() -> None:
    plan = _planned(_with(contracts=(), gates=(), blocks=(), drops=(), distances=()))
    assert (plan.cost_usd, plan.lower_bound_usd, plan.truck_nights, plan.unkept) == (0.0, 0.0, (), ())
