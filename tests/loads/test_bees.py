"""Air, nets, stops and water: a hive shut in on a warm night is never well."""

import pytest

from routing.loads.bees import bees
from routing.loads.circumstances import Circumstances, Riders, StandingStill


def told(load, placement, *, temperature_f=40.0, riders=None, **about):
    one = riders or Riders(group="H1", hives=4, strapped=True, air="screened", entrance="closed")
    found = bees(load(placement()), about=Circumstances(temperature_f=temperature_f, riders=(one,), **about))
    return {each.check: each for each in found}


def hives(entrance=None, air="entrance only"):
    return Riders(group="H1", hives=4, strapped=True, air=air, entrance=entrance)


@pytest.mark.parametrize(
    ("temperature_f", "air", "status"),
    [
        (95.0, "screened", "ok"),
        (None, "screened", "ok"),
        (59.9, "none", "ok"),
        (60.0, "none", "broken"),
        (60.0, "entrance only", "unknown"),
        (None, "entrance only", "unknown"),
        (40.0, None, "unknown"),
    ],
)
def test_closed_hives_need_air_when_it_is_warm(placement, load, temperature_f, air, status):
    found = told(load, placement, temperature_f=temperature_f, riders=hives(air=air))
    assert found["air for closed hives of H1"].status == status


@pytest.mark.parametrize(("entrance", "status"), [
    ("closed", "broken"), ("screened", "ok"), ("open", "ok"), ("reduced", "ok"), (None, "unknown"),
])  # fmt: skip
def test_a_closed_entrance_that_is_the_only_way_for_air_fails_on_a_warm_night(placement, load, entrance, status):
    found = told(load, placement, temperature_f=60.0, riders=hives(entrance))
    assert found["air for closed hives of H1"].status == status


@pytest.mark.parametrize(("entrance", "net", "status"), [
    ("open", True, "ok"), ("open", False, "broken"), ("open", None, "unknown"), ("reduced", False, "broken"),
    ("closed", False, "ok"), (None, None, "unknown"), (None, False, "unknown"), (None, True, "ok"),
])  # fmt: skip
def test_hives_that_ride_open_are_netted(placement, load, entrance, net, status):
    assert told(load, placement, riders=hives(entrance), net=net)["load net over open hives"].status == status


def test_closed_hives_ask_for_no_net(placement, load):
    assert "load net over open hives" not in told(load, placement)


@pytest.mark.parametrize(("temperature_f", "minutes", "status", "limit"), [
    (75.0, 30.0, "ok", 30.0), (75.0, 31.0, "broken", 30.0), (74.0, 300.0, "ok", None), (None, 31.0, "unknown", None),
    (None, 30.0, "ok", 30.0),
])  # fmt: skip
def test_a_long_stop_with_bees_aboard_is_told_when_warm(placement, load, temperature_f, minutes, status, limit):
    stops = (StandingStill(place="Hill", minutes=5.0), StandingStill(place="Creek", minutes=minutes))
    found = told(load, placement, temperature_f=temperature_f, stops=stops)["longest stop with bees aboard"]
    assert (found.status, found.limit) == (status, limit)


def test_stops_that_are_not_known_are_unknown(placement, load):
    assert told(load, placement)["longest stop with bees aboard"].status == "unknown"


@pytest.mark.parametrize(("temperature_f", "water_gal", "status"), [
    (81.0, 0.4, "ok"), (81.0, 0.3, "broken"), (81.0, None, "unknown"), (80.0, None, None), (None, None, None),
])  # fmt: skip
def test_over_eighty_degrees_there_is_water_for_every_hive(placement, load, temperature_f, water_gal, status):
    # Four hives at 0.1 gal each.
    found = told(load, placement, temperature_f=temperature_f, water_gal=water_gal).get("water to wet the load")
    assert (found.status if found else None) == status


def test_a_deck_of_empty_gear_asks_nothing_of_bees(placement, load):
    none = Riders(group="gear", hives=0, strapped=None, air=None)
    assert told(load, placement, riders=none) == {}
