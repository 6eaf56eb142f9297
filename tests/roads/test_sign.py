"""What a tag of the map is about, whether the engine obeys it, and what it says to a truck."""

import pytest

from routing.roads.sign import Sign, figures, is_heard, says, sign_kind


@pytest.mark.parametrize(("key", "value", "kind", "heard"), [
    ("maxheight", "12'6\"", "height", True), ("maxweight", "20 st", "weight", True),
    ("maxaxleload", "10 st", "axle weight", True),
    ("maxlength", "40'", "length", True), ("maxwidth", "8'", "width", True), ("hgv", "no", "trucks", True),
    ("hgv", "destination", "trucks", True), ("hgv", "local", "trucks", False), ("hgv", "designated", None, True),
    ("maxweightrating", "10", "rated weight", False), ("maxweightrating:hgv", "12", "rated weight", False),
    ("maxweight:hgv", "12", "weight", False), ("maxbogieweight", "15", "tandem weight", False),
    ("maxweight:conditional", "5 @ (Mar-Apr)", "at times", False), ("hgv:conditional", "no @ (22:00-06:00)", "at times", False),
    ("access:conditional", "no @ winter", "at times", False), ("maxspeed:hgv:conditional", "30 @ wet", None, False),
    ("seasonal", "yes", "season", False), ("seasonal", "no", None, False), ("route", "ferry", "ferry", False),
    ("route", "bus", None, False), ("maxheight:bus", "3", None, False), ("hgv:lanes", "no|yes", None, False),
    ("trailer", "no", "trucks", False), ("name", "Mill Road", None, False),
])  # fmt: skip
def test_tags_are_told_apart(key: str, value: str, kind: "str | None", heard: bool) -> None:
    assert sign_kind(key, value) == kind
    assert is_heard(key, value) is heard or kind is None


def sign(key: str, value: str) -> Sign:
    kind = sign_kind(key, value)
    assert kind is not None
    return Sign(kind=kind, key=key, value=value, heard=is_heard(key, value), road="", line=((44.0, -90.0),))


@pytest.mark.parametrize(("key", "value", "said"), [
    ("maxheight", "11'1\"", "lets through"), ("maxheight", "11'", "lets through"), ("maxheight", "10'11\"", "keeps out"),
    ("maxweight", "12 st", "lets through"), ("maxweight", "11.9 st", "keeps out"), ("maxaxleload", "8.7 st", "keeps out"),
    ("maxlength", "28'", "lets through"), ("maxlength", "27'11\"", "keeps out"), ("maxwidth", "8'", "lets through"),
    ("maxweightrating", "12.9 st", "keeps out"), ("maxweightrating", "13 st", "lets through"),
    ("maxbogieweight", "1 st", "lets through"),
    ("maxheight", "none", "lets through"), ("maxheight", "below_default", "not known"), ("hgv", "no", "keeps out"),
    ("hgv", "local", "not known"), ("maxweight:conditional", "5 @ (Mar)", "not known"), ("trailer", "no", "lets through"),
])  # fmt: skip
def test_a_sign_is_held_against_the_trucks_own_figure(vehicle, key: str, value: str, said: str) -> None:
    # 132 in high, 24,000 lb on the scale, 25,900 lb rated, 17,500 lb on an axle, 336 in long, 96 in wide, no tandem.
    assert says(sign(key, value), vehicle()) == said


def test_no_trailers_keeps_out_what_pulls_one(vehicle) -> None:
    assert says(sign("trailer", "no"), vehicle(vehicle_class="pickup with trailer")) == "keeps out"


def test_a_sign_with_a_figure_shows_both(vehicle) -> None:
    assert figures(sign("maxweightrating", "10 st"), vehicle()) == (25900.0, 20000.0, "lb")
    assert figures(sign("maxheight", "10'"), vehicle()) == (132.0, 120.0, "in")
    assert figures(sign("hgv", "no"), vehicle()) is None
