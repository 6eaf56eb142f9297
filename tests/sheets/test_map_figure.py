"""Figures of the ground: true in aspect, numbered, black on white, and proof against names."""

import re
from itertools import combinations

import pytest
from lxml import etree
from pyproj import Geod

from fixtures.demo import demo_operation
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.chart import Box, fit_chart, label
from routing.sheets.drop_sheet import drop_sheets
from routing.sheets.map_figure import orchard_svg, outline_rings, route_svg

SVG = "{http://www.w3.org/2000/svg}"


def _room_of(text):
    # An Atkinson letter is about half as wide as the text is high.
    x, y, size = (float(text.get(name)) for name in ("x", "y", "font-size"))
    return Box(x, y - 0.7 * size, x + 0.5 * size * len(text.text), y)


def _figures(plan):
    sheets = drop_sheets(plan)
    return [sheet.map_svg for sheet in sheets] + [
        stop.figure_svg for sheet in sheets for stop in sheet.stops if stop.figure_svg
    ]


@pytest.mark.parametrize("latitude_deg", [26.0, 43.7, 49.0])
def test_a_mile_east_is_as_long_as_a_mile_north(latitude_deg):
    # Ground truth: geodesics on WGS 84 (pyproj). The chart is a sphere: 0.5 % is allowed.
    origin = (latitude_deg, -90.0)
    corners = [(latitude_deg - 0.2, -90.2), (latitude_deg + 0.2, -89.8)]
    chart = fit_chart(corners, width=520, height=360, margin=40, least_mi=1)
    earth = Geod(ellps="WGS84")
    for azimuth in (0, 90):
        longitude, latitude, _ = earth.fwd(origin[1], origin[0], azimuth, 1609.344)
        x0, y0 = chart.at(origin)
        x1, y1 = chart.at((latitude, longitude))
        assert ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 == pytest.approx(chart.scale, rel=0.005)


def test_all_points_lie_inside_the_margins():
    points = [(43.70, -86.20), (43.98, -86.29), (43.90, -85.83)]
    chart = fit_chart(points, width=520, height=360, margin=58, least_mi=1)
    for point in points:
        x, y = chart.at(point)
        assert 57.9 <= x <= 520 - 57.9
        assert 57.9 <= y <= 360 - 57.9


def test_one_lone_place_is_not_blown_up():
    chart = fit_chart([(43.7, -86.2)], width=520, height=360, margin=60, least_mi=1.0)
    # The sheet shows 1 mile across and 360/520 mile up; up decides: (360 - 2 x 60) / (360 / 520).
    assert chart.scale == pytest.approx(240 * 520 / 360)


def test_a_label_moves_to_a_side_where_it_covers_nothing():
    chart = fit_chart([(43.7, -86.2)], width=520, height=360, margin=60, least_mi=1.0)
    right = Box(265, 160, 520, 200)
    _, box = label(chart, [right], (260.0, 180.0), content="Home yard", reach=15)
    assert not box.meets(right)


def test_a_label_leaves_lines_free_when_it_can_and_never_trades_a_mark_for_a_line():
    chart = fit_chart([(43.7, -86.2)], width=520, height=360, margin=60, least_mi=1.0)
    # A line along the row of the mark: the label stands above or below it.
    line = [Box(x, 176, x + 8, 184) for x in range(0, 520, 8)]
    _, box = label(chart, [], (260.0, 180.0), content="Home yard", reach=15, lines=line)
    assert not any(box.meets(one) for one in line)
    # All but the right is marks, the right is lines: the label covers lines.
    marks = [Box(0, 0, 270, 360), Box(270, 0, 520, 165), Box(270, 195, 520, 360)]
    _, box = label(chart, marks, (260.0, 180.0), content="Home yard", reach=15, lines=line)
    assert not any(box.meets(one) for one in marks)


def test_labels_of_the_demos_figures_cover_neither_marks_nor_each_other():
    operation = demo_operation()
    for contract in operation.contracts:
        root = etree.fromstring(orchard_svg(operation, contract.name, ()))
        boxes = [_room_of(text) for text in root.iter(f"{SVG}text") if text.get("fill") == "black"]
        assert not [(one, two) for one, two in combinations(boxes, 2) if one.meets(two)], contract.name


def test_every_stop_number_is_on_the_route():
    root = etree.fromstring(route_svg(tiny_plan().operation, tiny_plan().truck_nights[1]))
    told = {text.text for text in root.iter(f"{SVG}text")}
    assert {"1,4", "2", "3", "N"} <= told
    assert any(text.endswith(" mi") for text in told if text)


def test_an_orchard_shows_gates_stakes_and_its_outline():
    plan = tiny_plan()
    figure = drop_sheets(plan)[0].stops[2].figure_svg
    root = etree.fromstring(figure)
    told = {text.text for text in root.iter(f"{SVG}text")}
    assert {"TRUCK gate", "other gate: Barn lane", "stake: hives", "1: 8", "2: 8"} <= told
    assert len(list(root.iter(f"{SVG}polygon"))) == 1


def test_an_orchard_of_which_only_the_gate_is_known_has_no_figure():
    operation = tiny_plan().operation.model_copy(update={"drops": (), "blocks": ()})
    assert orchard_svg(operation, "Early cherries", ()) == ""


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_figures_use_black_and_white_alone(make_plan):
    for figure in _figures(make_plan()):
        drawn = re.sub(r"<text.*?</text>|<title>.*?</title>", "", figure)
        assert set(re.findall(r'(?:fill|stroke)="([^"]*)"', drawn)) <= {"black", "white", "none"}
        assert "#" not in drawn
        assert "rgb" not in drawn


def test_figures_are_well_formed_under_any_name_and_hold_no_script():
    for figure in _figures(nasty_plan()):
        root = etree.fromstring(figure)
        assert not list(root.iter(f"{SVG}script"))
        assert "<script" not in figure


def test_holes_of_an_outline_are_drawn_too():
    rings = outline_rings("POLYGON((0 0, 4 0, 4 4, 0 4, 0 0), (1 1, 2 1, 2 2, 1 2, 1 1))")
    assert [len(ring) for ring in rings] == [5, 5]
    assert rings[0][1] == (0.0, 4.0)  # latitude first
