"""The map of an orchard: every block, drop, gate and hazard is on it, in shapes and words, to scale."""

import re
import xml.etree.ElementTree as ElementTree

import pytest

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.inputs.land import LandFeature
from routing.inputs.operation import Operation
from routing.inputs.tables import table
from routing.sheets.block_map import HIGH, WIDE, block_map
from routing.sheets.chart import fit_chart
from routing.sheets.land_marks import direction_words, kept_clear_rings, land_marks
from routing.sheets.map_figure import orchard_svg

DEMO = demo_operation()
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> list[str]:
    """Return the words on the figure; each is there twice, once for its white rim."""
    shown = [one.text or "" for one in ElementTree.fromstring(svg).iter(f"{SVG}text") if one.get("aria-hidden") is None]
    return list(shown)


def test_every_block_drop_gate_and_feature_is_named() -> None:
    words = texts(block_map(DEMO, "Millrace apples"))
    blocks = {"East rows, 29.9 ac", "West rows, 17 ac"}
    places = {"1: 24", "2: 18", "3: 24", "GATE Millrace yard", "other gate: Back lane"}
    land = {"Mill lane", "West lane", "Cross drive", "water: Millpond", "house: Millrace cottage", "hazard: Irrigation guns"}
    assert blocks | places | land <= set(words)
    assert "N" in words
    assert any(re.fullmatch(r"\d+ ft", one) for one in words)
    assert [one for one in words if one.startswith("beyond the map: ")] == [
        "beyond the map: competing bloom Wild mustard field, 0.8 mi E"
    ]


def test_hives_of_one_night_stand_at_their_drops_and_empty_drops_are_white() -> None:
    svg = block_map(DEMO, "Millrace apples", hives={"2": 12})
    assert {"1", "2: 12", "3"} <= set(texts(svg))
    diamonds = re.findall(r'l9 9 l-9 9 l-9 -9 z" fill="(\w+)"', svg)
    assert sorted(diamonds) == ["black", "white", "white"]


def test_nothing_to_draw_is_an_empty_text_and_an_orchard_without_land_is_drawn() -> None:
    tiny = tiny_operation()
    bare = tiny.model_copy(update={"blocks": (), "drops": ()})
    assert block_map(bare, "Early cherries") == ""
    assert "Block 1, 11.9 ac" in texts(block_map(tiny, "Early cherries"))


def test_black_and_white_only_and_no_address_to_fetch() -> None:
    svg = block_map(DEMO, "Tamarisk tarts")
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg))
    assert colours <= {"black", "white", "none"}
    assert "href" not in svg
    assert re.findall(r"https?://[^\"]+", svg) == ["http://www.w3.org/2000/svg"]


def test_names_are_safe_inside_the_figure() -> None:
    changed = {"name": "<b>&\"' lane", "kind": "house", "shape": "POINT(-85.7651 43.1749)"}
    feature = DEMO.land_features[0].model_copy(update=changed)
    nasty = DEMO.model_copy(update={"land_features": (feature,)})
    assert "house: <b>&\"' lane" in texts(block_map(nasty, "Millrace apples"))


def test_the_rim_of_kept_ground_is_drawn_to_scale() -> None:
    chart = fit_chart([(43.97, -86.29), (43.98, -86.28)], width=WIDE, height=HIGH, margin=40, least_mi=0.1)
    house = LandFeature(contract="Early cherries", kind="house", name="Cottage", shape="POINT(-86.285 43.975)")
    rim = kept_clear_rings(chart, house, 300.0)
    across = [float(x) for x, _ in re.findall(r"(-?\d+\.\d) (-?\d+\.\d)", rim.split('" fill')[0])]
    # 600 ft across at so many units to a mile of 5,280 ft.
    assert max(across) - min(across) == pytest.approx(600.0 / 5280.0 * chart.scale, abs=0.3)
    assert kept_clear_rings(chart, house, 0.0) == ""


WAYS = [(43.985, -86.285, "0.7 mi N"), (43.975, -86.265, "1.0 mi E"), (43.965, -86.299, "1.0 mi SW")]


@pytest.mark.parametrize(("latitude", "longitude", "words"), WAYS)
def test_what_lies_beyond_is_told_by_miles_and_direction(latitude: float, longitude: float, words: str) -> None:
    # At 44 north a degree of latitude is 69.1 miles, one of longitude 49.7: 0.01, 0.02 and 0.014 deg.
    chart = fit_chart([(43.974, -86.286), (43.976, -86.284)], width=WIDE, height=HIGH, margin=40, least_mi=0.1)
    far = LandFeature(contract="Early cherries", kind="water", name="Pond", shape=f"POINT({longitude} {latitude})")
    assert direction_words(chart, far) == words
    assert land_marks(chart, [far]) == ([], [far])


@pytest.mark.parametrize("kind", table("land_features").column("kind").choices)
@pytest.mark.parametrize("shape", ["POINT(-86.285 43.975)", "LINESTRING(-86.286 43.975,-86.284 43.9755)",
                                   "POLYGON((-86.2855 43.9745,-86.2845 43.9745,-86.2845 43.9755,-86.2855 43.9745))"])  # fmt: skip
def test_every_kind_of_land_leaves_a_mark_whatever_its_shape(kind: str, shape: str) -> None:
    chart = fit_chart([(43.974, -86.286), (43.976, -86.284)], width=WIDE, height=HIGH, margin=40, least_mi=0.1)
    feature = LandFeature.model_validate({"contract": "Early cherries", "kind": kind, "name": "It", "shape": shape})
    (mark,), beyond = land_marks(chart, [feature])
    assert beyond == []
    assert ElementTree.fromstring(f"<g>{mark.drawn}</g>") is not None
    if kind != "track" or shape.startswith("LINE"):
        assert "<path" in mark.drawn or "<rect" in mark.drawn


def test_the_small_figure_of_the_drop_sheet_has_tracks_and_dangers() -> None:
    without: Operation = DEMO.model_copy(update={"land_features": ()})
    small, plain = (orchard_svg(one, "Millrace apples", ()) for one in (DEMO, without))
    assert small.count('stroke="white" stroke-width="3"') - plain.count('stroke="white" stroke-width="3"') >= 3
    assert len(small) > len(plain)
