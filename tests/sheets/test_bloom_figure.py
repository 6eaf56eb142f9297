"""The bloom figure: a well-formed picture that says everything without colour."""

import datetime as dt
import re
from xml.etree import ElementTree

import pytest

from fixtures.bloom import ORCHARD, bloom_operation, usual_weather
from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.bloom.curves import bloom_curves
from routing.bloom.predict import bloom_forecast
from routing.inputs.phenology import StageNote
from routing.sheets.bloom_figure import bloom_figure

SEEN = bloom_operation(seen_to=dt.date(2027, 4, 20))
FIGURE = bloom_figure(SEEN, ORCHARD)


def texts(figure: str) -> list[str]:
    return [one.text or "" for one in ElementTree.fromstring(figure).iter() if one.tag.endswith("}text")]


def test_with_weather_there_are_curves_of_chill_and_heat_and_every_stage() -> None:
    told = texts(FIGURE)
    stages = [stage.stage for stage in bloom_forecast(SEEN, SEEN.contracts[0]).stages]
    headings = ("Chill, portions of the Dynamic Model", "Growing degree hours (4, 25, 36 deg C)")
    for words in (*headings, "seen to Apr 20", "in", "out", *stages):
        assert words in told
    assert any(one.startswith("10 % bloom: ") for one in told)
    assert any("9 years in 10" in one for one in told)


def test_without_weather_the_stages_alone_are_drawn() -> None:
    figure = bloom_figure(tiny_operation(), ORCHARD)
    assert "Chill, portions of the Dynamic Model" not in texts(figure)
    assert "stroke-dasharray" not in figure
    assert "full bloom" in texts(figure)


def test_only_black_and_white_are_used() -> None:
    assert set(re.findall(r'(?:fill|stroke)="(\w+)"', FIGURE)) == {"black", "white", "none"}


def test_what_was_seen_is_solid_and_what_is_to_come_is_dashed() -> None:
    # Two curves: each has one solid part of 2 units and one dashed part.
    assert len(re.findall(r'stroke-width="2"/>', FIGURE)) == 2 + 2  # and the two bars of hives in and out
    assert len(re.findall(r'stroke-dasharray="5 3"', FIGURE)) == 2


def test_a_stage_that_was_seen_is_a_dot_and_has_no_span() -> None:
    note = StageNote(contract=ORCHARD, stage="tight cluster", on=dt.date(2027, 4, 25))
    dots = [bloom_figure(one, ORCHARD).count("<circle") for one in (SEEN, SEEN.model_copy(update={"stage_notes": (note,)}))]
    assert dots == [1, 2]  # the legend has one


def test_cold_that_kills_stands_beside_its_stage() -> None:
    assert "28 / 25 F" in texts(FIGURE)  # sweet cherry at full bloom


def test_weather_beside_the_operation_takes_the_place_of_its_own() -> None:
    figure = bloom_figure(SEEN, ORCHARD, usual_weather())
    assert not any(one.startswith("seen to") for one in texts(figure))


def test_a_crop_without_a_heat_sum_has_curves_and_says_so() -> None:
    figure = bloom_figure(SEEN, "Late blueberries")
    assert "no heat sum to bloom is known for highbush blueberry" in texts(figure)
    assert bloom_curves(SEEN, SEEN.contracts[1]) is not None


@pytest.mark.parametrize("name", [contract.name for contract in demo_operation().contracts])
def test_every_contract_of_the_demo_has_a_figure_inside_its_frame(name: str) -> None:
    root = ElementTree.fromstring(bloom_figure(demo_operation(), name))
    wide, high = (float(root.attrib[side]) for side in ("width", "height"))
    for one in root.iter():
        if one.tag.endswith("}text"):
            assert 0.0 <= float(one.attrib["x"]) <= wide
            assert 0.0 <= float(one.attrib["y"]) <= high


def test_a_name_with_signs_of_markup_is_safe() -> None:
    contract = SEEN.contracts[1].model_copy(update={"name": "A <b> & 'c'"})
    figure = bloom_figure(SEEN.model_copy(update={"contracts": (contract,), "weather": ()}), contract.name)
    assert "Bloom of A <b> & 'c', highbush blueberry" in texts(figure)


def test_an_unknown_contract_is_an_error() -> None:
    with pytest.raises(KeyError, match="No such"):
        bloom_figure(SEEN, "No such")
