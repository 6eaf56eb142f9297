"""Signs on ways: along, across, under, at the ends."""

import pytest

from routing.roads.line import text_of_line
from routing.roads.measured import Way
from routing.roads.on_way import AT_ONCE, passings
from routing.roads.sign import Sign

EAST = ((44.0, -90.0), (44.0, -89.99), (44.0, -89.98), (44.0, -89.97))
"""A road eastward: three stretches of 0.01 degrees, half a mile each."""


def sign(*points: "tuple[float, float]") -> Sign:
    return Sign(kind="height", key="maxheight", value="3", heard=True, road="", line=points)


def way(*points: "tuple[float, float]") -> Way:
    return Way(1.0, 2.0, text_of_line(points))


@pytest.mark.parametrize(("line", "on"), [
    (EAST[1:3], True), (EAST, True), (EAST[2:0:-1], True),
    (((43.999, -89.985), (44.001, -89.985)), False), (((44.0, -89.985), (44.001, -89.985)), False),
    (((43.9995, -89.99), (44.0005, -89.98)), False), (((44.00005, -89.99), (44.00005, -89.98)), False),
    (((44.0, -89.97), (44.0, -89.96)), False), (((44.0, -89.985),), True), (((44.0001, -89.985),), False),
], ids=["a stretch of it", "all of it", "the other way round", "across", "a side road", "slantwise across", "five yards beside",
        "where it ends", "a gate on it", "a gate beside it"])  # fmt: skip
def test_a_sign_is_on_the_way_only_where_the_way_goes_along_its_road(line: "tuple[tuple[float, float], ...]", on: bool) -> None:
    found = passings([sign(*line)], {("A", "B"): way(*EAST)})
    assert [one.ways for one in found] == ([(("A", "B"),)] if on else [])


def test_a_way_that_begins_or_ends_within_the_signed_stretch_is_on_it() -> None:
    signed = [sign(*EAST[1:3])]
    assert passings(signed, {("A", "B"): way((44.0, -89.984), *EAST[2:])})
    assert passings(signed, {("A", "B"): way(*EAST[:2], (44.0, -89.986))})
    assert passings(signed, {("A", "B"): way((44.0, -89.984), (44.0, -89.986))})


def test_a_way_of_no_length_and_one_without_a_line_pass_nothing() -> None:
    assert passings([sign(*EAST[1:3])], {("A", "B"): way(EAST[2], EAST[2]), ("B", "A"): Way(1.0, 2.0)}) == ()


def test_ways_beyond_one_drawing_are_told_apart() -> None:
    ways = {("A", str(number)): way(*EAST) for number in range(AT_ONCE)} | {("A", "last"): way(EAST[0], (44.01, -90.0))}
    (found,) = passings([sign(*EAST[1:3])], ways)
    assert len(found.ways) == AT_ONCE
    assert ("A", "last") not in found.ways
