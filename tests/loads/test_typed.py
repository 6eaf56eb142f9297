"""A load typed in by hand is judged, or refused with one clear sentence for each fault."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.errors import OperationError
from routing.loads.typed import load_example, load_from_json


def changed(path, value):
    """Return the example with one value replaced; the path is made of names and places."""
    document = json.loads(load_example())
    inner = document
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = value
    return json.dumps(document)


def faults(text):
    with pytest.raises(OperationError) as refused:
        load_from_json(text, "load.json")
    return [str(fault) for fault in refused.value.faults]


def finding(load, check):
    return next(one for one in load.findings if one.check == check)


def test_the_example_is_well():
    load = load_from_json(load_example(), "load.json")
    assert load.hives == 16
    assert [one.check for one in load.findings if one.status == "broken"] == []


def test_weights_after_each_drop_are_moments_about_the_steer_axle():
    load = load_from_json(load_example(), "load.json")
    full, after = load.states
    # Two pallets of 520 lb 18.5 in and two 55.5 in behind the deck's front end, which is 60 in behind the
    # steer axle; the rear axle is at 190 in.
    rear_lb = 6400 + 2 * 520 * (60 + 18.5) / 190 + 2 * 520 * (60 + 55.5) / 190
    assert full.axles[1].high_lb == pytest.approx(rear_lb)
    assert full.axles[0].high_lb == pytest.approx(5400 + 6400 + 4 * 520 - rear_lb)
    assert (after.after_stop, after.place, after.hives_on_deck) == (1, "Creek", 8)
    assert after.axles[1].high_lb == pytest.approx(6400 + 2 * 520 * (60 + 18.5) / 190)


def test_a_unit_typed_off_the_deck_is_a_finding():
    load = load_from_json(changed(["units", 0, "left_in"], -10), "load.json")
    width = finding(load, "width of the load on the deck")
    # The right edge is at 48 + 45 = 93 in; 10 in stick out on the left.
    assert (width.status, width.measured, width.limit) == ("broken", 103.0, 96.0)


def test_what_is_not_known_is_not_well():
    load = load_from_json(changed(["strapped"], None), "load.json")
    assert finding(load, "hives of this load strapped").status == "unknown"
    load = load_from_json(changed(["axle_groups"], []), "load.json")
    assert finding(load, "weight on each axle").status == "unknown"


def test_warm_and_closed_without_air_is_broken():
    document = json.loads(load_example()) | {"air": "none", "temperature_f": 60}
    assert (
        finding(load_from_json(json.dumps(document), "l"), "air for closed hives of this load").status
        == "broken"
    )
    document["temperature_f"] = 59
    assert (
        finding(load_from_json(json.dumps(document), "l"), "air for closed hives of this load").status == "ok"
    )


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (
            ["truck", "deck_width_in"],
            36,
            "load.json, pallets[0]: found 45 x 37 in, larger than the deck, "
            "allowed: one that fits 240 x 36 in, turned either way.",
        ),
        (
            ["axle_groups", 1, "centre_in"],
            0,
            "load.json, axle_groups[1].centre_in: found 0 in at position 2, "
            "allowed: 24 in or more, as position 1 is at 0 in.",
        ),
        (
            ["units", 1, "weight_low_lb"],
            -5,
            "load.json, units[1].weight_low_lb: found -5, allowed: 0 or more.",
        ),
        (
            ["axle_groups", 0, "rating_lb"],
            5000,
            "load.json, axle_groups[0].rating_lb: found 5000 lb, "
            "allowed: at least its empty weight of 5400 lb.",
        ),
        (
            ["truck", "gross_rating_lb"],
            11000,
            "load.json, truck.gross_rating_lb: found 11000 lb, "
            "allowed: at least the empty weight on all axles, 11800 lb.",
        ),
        (
            ["units", 2, "label"],
            "B1",
            "load.json, units[2].label: found 'B1' a second time, allowed: each label once.",
        ),
        (
            ["units", 0, "weight_low_lb"],
            521,
            "load.json, units[0].weight_low_lb: found 521 lb, "
            "allowed: at most its heaviest weight of 520 lb.",
        ),
        (
            ["pallets", 0, "width_in"],
            5e-324,
            "load.json, pallets[0].width_in: found 4.940656458e-324, allowed: 8 or more.",
        ),
        (["units", 0, "width_in"], 7.9, "load.json, units[0].width_in: found 7.9, allowed: 8 or more."),
        (
            ["tie_downs", 0],
            {"kind": "webbing strap", "size": "odd", "count": 4},
            "load.json, tie_downs[0].wll_lb: found nothing, for a webbing strap of size 'odd', "
            "allowed: the limit marked on it, or a size that the table of 49 CFR 393.108 has, such as 2 in.",
        ),
        (
            ["hitch"],
            {"kind": "ball"},
            "load.json, hitch: found a hitch, allowed: a truck that has an axle group with unit 'trailer'.",
        ),
        (
            ["constants"],
            [{"name": "warm_stop_mins", "value": 20, "source": "us"}],
            "load.json, constants[0].name: found 'warm_stop_mins', "
            "allowed: the name of a figure that may be replaced; the nearest is 'warm_stop_min'.",
        ),
        (["water_gal"], -1, "load.json, water_gal: found -1, allowed: 0 or more."),
        (
            ["road_limits"],
            [{"where": "County", "kind": "tandem", "value": 30000, "places": "Crek", "source": "sign"}],
            "load.json, road_limits[0].places: found 'Crek', "
            "allowed: names of yards and contracts; the nearest is 'Creek'.",
        ),
        (["tier"], 2, "load.json, tier: found 2, allowed: no such field."),
        (["units", 0, "tier"], True, "load.json, units[0].tier: found true (yes), allowed: a whole number."),
    ],
)
def test_each_fault_is_one_clear_sentence(path, value, sentence):
    assert faults(changed(path, value)) == [sentence]


def test_what_rides_along_and_what_the_user_lists_is_in_the_checks():
    document = json.loads(load_example()) | {
        "carried": [{"what": "nets", "weight_lb": 190, "behind_in": 100}],
        "road_limits": [
            {"where": "Example County", "kind": "gross weight", "value": 14069, "source": "sign"},
            {"where": "Spring thaw", "kind": "single axle", "value": 100, "source": "sign", "counts_until": "2027-03-31"},
        ],
    }
    load = load_from_json(json.dumps(document), "load.json")
    # 11,800 + 4 x 520 + 190 = 14,070 lb.
    listed = finding(load, "gross weight, Example County")
    assert (listed.measured, listed.status) == (14070.0, "broken")
    assert not any("Spring thaw" in one.check for one in load.findings)


def test_a_figure_that_the_user_replaced_counts():
    own = [{"name": "closed_hive_warm_f", "value": 50, "source": "our own bees"}]
    document = json.loads(load_example()) | {"air": "none", "constants": own}
    air = finding(load_from_json(json.dumps(document), "load.json"), "air for closed hives of this load")
    assert (air.status, air.source) == ("broken", "our own bees")


def test_all_faults_are_told_at_once():
    document = json.loads(load_example())
    document["units"][0]["pallet"] = "six-way"
    document["axle_groups"][0]["rating_lb"] = 100
    assert len(faults(json.dumps(document))) == 2


@settings(max_examples=50)
@given(st.text(max_size=40) | st.recursive(st.none() | st.booleans() | st.floats(), st.lists).map(json.dumps))
def test_nothing_else_than_a_load_is_read(text):
    assert faults(text)


@given(
    st.sampled_from(["front_in", "left_in", "weight_high_lb", "height_in", "tier", "drop_order"]),
    st.integers(1, 6),
)
def test_every_typed_unit_within_its_limits_is_judged(field, value):
    document = json.loads(load_example())
    document["units"][3] |= {"weight_low_lb": 0, field: value}
    load = load_from_json(json.dumps(document), "load.json")
    assert {one.status for one in load.findings} <= {"ok", "broken", "unknown"}
    assert load.states[0].gross_high_lb == pytest.approx(
        11800 + sum(unit["weight_high_lb"] for unit in document["units"])
    )
