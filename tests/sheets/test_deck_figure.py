"""The deck figure: every unit is on it, once, where it stands, and nothing rests on colour."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from routing.loads.typed import document_from_json, load_example, load_of
from routing.sheets.deck_figure import deck_svg
from routing.sheets.hatching import KINDS, hatched

SVG = "{http://www.w3.org/2000/svg}"
DOCUMENT = document_from_json(load_example(), "load.json")
LOAD = load_of(DOCUMENT)


def drawn(load=LOAD, truck=DOCUMENT.truck):
    return etree.fromstring(deck_svg(load, truck).encode())


def texts(figure):
    return [element.text for element in figure.iter(f"{SVG}text")]


def place_of(figure, content):
    element = next(one for one in figure.iter(f"{SVG}text") if one.text == content)
    return float(element.get("x")), float(element.get("y"))


def test_every_unit_bears_its_label_and_its_order():
    assert {"A1 (1)", "A2 (1)", "B1 (2)", "B2 (2)"} <= set(texts(drawn()))


def test_each_order_says_where_it_is_set_down():
    assert "(1) off first: Creek" in texts(drawn())
    assert "(2) off second: Hill" in texts(drawn())


def test_the_front_is_to_the_left_and_the_drivers_side_below():
    figure = drawn()
    # B stands ahead of A; B1 stands 3 in from the left edge of the deck, B2 48 in.
    assert place_of(figure, "B1 (2)")[0] < place_of(figure, "A1 (1)")[0]
    assert place_of(figure, "B1 (2)")[1] > place_of(figure, "B2 (2)")[1]


def test_axle_groups_stand_against_their_limits():
    # 5,400 + 4 x 520 x share: see the moments in the tests of typed loads.
    assert any(re.fullmatch(r"steer axle: 6,418 of 8,500 lb", one) for one in texts(drawn()))


def test_what_is_over_its_limit_is_said_in_words():
    axles = LOAD.states[0].axles
    heavy = axles[0].model_copy(update={"high_lb": 9000.0})
    state = LOAD.states[0].model_copy(update={"axles": (heavy, *axles[1:])})
    figure = drawn(LOAD.model_copy(update={"states": (state,)}))
    assert "steer axle: 9,000 of 8,500 lb, OVER by 500 lb" in texts(figure)


def test_only_black_and_white_are_used_and_nothing_is_fetched():
    figure = drawn()
    colours = {one.get(name) for one in figure.iter() for name in ("fill", "stroke")} - {None}
    assert colours <= {"black", "white", "none"}
    assert not [one for one in figure.iter() if one.get("href") or one.get("id")]


def test_a_long_deck_is_cut_between_units():
    truck = DOCUMENT.truck.model_copy(update={"deck_length_in": 576.0})
    far = [one.model_copy(update={"front_in": one.front_in + 230.0}) for one in LOAD.placements]
    figure = drawn(LOAD.model_copy(update={"placements": tuple(far)}), truck)
    # Rows at 230 to 267 and 267 to 304 in: the cut near 288 in falls on 267 in, 22 ft 3 in.
    assert "22 ft 3 in from the front, on to the rear" in texts(figure)
    assert {"A1 (1)", "B1 (2)"} <= set(texts(figure))


def test_a_strip_at_the_rear_on_which_nothing_stands_is_left_out_and_said_to_be_empty():
    # 48 ft are two strips of 24 ft; all units stand in the front one.
    truck = DOCUMENT.truck.model_copy(update={"deck_length_in": 576.0})
    figure = drawn(truck=truck)
    assert "driver's (left) side; behind 24 ft 0 in the deck is empty" in texts(figure)
    assert not [one for one in texts(figure) if one.endswith("on to the rear")]
    assert not [one for one in texts(drawn()) if "empty" in one]


def test_weights_that_were_not_worked_out_are_said_to_be_so():
    assert "Axle weights were not worked out." in texts(drawn(LOAD.model_copy(update={"states": ()})))


def test_a_name_cannot_break_the_figure():
    odd = LOAD.placements[0].model_copy(update={"destination": '<script>&"', "label": "<b>"})
    figure = drawn(LOAD.model_copy(update={"placements": (odd,)}))
    assert "<b> (2)" in texts(figure)
    assert not list(figure.iter(f"{SVG}script"))


def test_hatchings_differ_from_each_other():
    kinds = {hatched(0, 0, width=40, height=30, kind=kind) for kind in range(1, KINDS + 1)}
    assert len(kinds) == KINDS


@given(st.floats(2, 300), st.floats(2, 300), st.integers(1, KINDS))
def test_hatching_stays_inside_its_box(width, height, kind):
    path = re.search(r' d="([^"]*)"', hatched(0, 0, width=width, height=height, kind=kind))
    numbers = [float(one) for one in re.findall(r"-?[\d.]+", path.group(1))] if path else []
    assert all(-0.06 <= x <= width + 0.06 for x in numbers[::2])
    assert all(-0.06 <= y <= height + 0.06 for y in numbers[1::2])


@pytest.mark.parametrize("count", [1, 9])
def test_more_drops_than_hatchings_are_told_apart_by_number(count):
    units = [
        LOAD.placements[0].model_copy(
            update={
                "label": f"U{n}",
                "drop_order": n + 1,
                "front_in": 0.0,
                "left_in": 9.0 * n,
                "width_in": 9.0,
            }
        )
        for n in range(count)
    ]
    orders = {
        one for one in texts(drawn(LOAD.model_copy(update={"placements": tuple(units)}))) if "off " in one
    }
    assert len(orders) == count
