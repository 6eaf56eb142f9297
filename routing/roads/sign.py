"""A posted limit or other sign as the map has it, and what it says to one vehicle."""

import math
from typing import Literal

from routing.inputs.ways import SignKind
from routing.record import Record
from routing.roads.posted import posted_length_in, posted_weight_lb
from routing.roads.vehicle import RoadVehicle

Says = Literal["lets through", "keeps out", "not known"]
Point = tuple[float, float]
"""Latitude and longitude. [deg]"""

HEARD: dict[str, SignKind] = {
    "maxheight": "height", "maxweight": "weight", "maxaxleload": "axle weight", "maxlength": "length", "maxwidth": "width",
    "hgv": "trucks",
}  # fmt: skip
"""Tags that the road engine obeys, with the kind of sign that they are."""
HEARD_WORDS = "height, weight, axle weight, length, width and no trucks"
_KINDS: dict[str, SignKind] = {
    **HEARD, "maxweightrating": "rated weight", "maxgcweightrating": "rated weight", "maxgcweight": "weight",
    "maxbogieweight": "tandem weight", "maxbogieload": "tandem weight", "maxtridemweight": "tandem weight",
    "seasonal": "season", "ice_road": "season", "winter_road": "season",
}  # fmt: skip
LENGTHS: tuple[SignKind, ...] = ("height", "length", "width")
_ACCESS = ("access", "vehicle", "motor_vehicle", "goods")
_OTHERS = (
    "psv", "bus", "coach", "tourist_bus", "taxi", "motorcar", "motorcycle", "moped", "bicycle", "foot", "emergency", "lanes",
)  # fmt: skip
"""Ends of keys that speak of other vehicles, or of single lanes."""
_OPEN = ("yes", "designated", "permissive", "unknown")
_HGV_HEARD = (*_OPEN, "no", "delivery", "destination", "private")


class Sign(Record):
    """One tag of one road (or ferry line, or gate) that bears on a truck."""

    kind: SignKind
    key: str
    value: str
    heard: bool
    """Does the road engine obey it?"""
    road: str
    """Name or number; empty when the map has none."""
    line: tuple[Point, ...]
    """The road from end to end; a single point for a gate or bar."""

    @property
    def text(self) -> str:
        """The tag as the map has it."""
        return f"{self.key}={self.value}"

    @property
    def at(self) -> Point:
        """A point in the middle of it."""
        return self.line[len(self.line) // 2]


def sign_kind(key: str, value: str) -> SignKind | None:
    """Return what a tag of the map is about, None when it says nothing to a truck.

    Whether the engine obeys it is another question: see ``is_heard``.
    """
    stem, *rest = key.split(":")
    if key == "route":
        return "ferry" if value == "ferry" else None
    if set(rest) & set(_OTHERS):
        return None
    if "conditional" in rest:
        return "at times" if stem in _KINDS or stem in _ACCESS else None
    if key == "trailer":
        return "trucks" if value == "no" else None
    if stem == "hgv":
        return None if key == "hgv" and value in _OPEN else "trucks"
    kind = _KINDS.get(stem)
    if kind == "season":
        return None if value == "no" else kind
    return kind


def is_heard(key: str, value: str) -> bool:
    """Tell whether the engine obeys a tag of this key on a road, as far as it can read the value."""
    return key in HEARD and (key != "hgv" or value in _HGV_HEARD)


def says(sign: Sign, vehicle: RoadVehicle) -> Says:
    """Return what a sign says to a vehicle, by our own reading of its text."""
    measure = _measure(sign, vehicle)
    if measure is None:
        return _says_without_figure(sign, vehicle)
    limit = posted(sign.kind, sign.value)
    if limit is None:
        return "not known"
    return "lets through" if measure <= limit else "keeps out"


def posted(kind: SignKind, value: str) -> float | None:
    """Return what a sign allows, infinite where it has no limit, None where that cannot be read. [in or lb]"""
    return posted_length_in(value) if kind in LENGTHS else posted_weight_lb(value)


def figures(sign: Sign, vehicle: RoadVehicle) -> tuple[float, float, str] | None:
    """Return a vehicle's figure, the sign's and their unit; None for a sign without a figure."""
    measure = _measure(sign, vehicle)
    limit = None if measure is None else posted(sign.kind, sign.value)
    if measure is None or limit is None or math.isinf(limit):
        return None
    return round(measure, 1), round(limit, 1), "in" if sign.kind in LENGTHS else "lb"


def _measure(sign: Sign, vehicle: RoadVehicle) -> float | None:
    return {
        "height": vehicle.height_in, "length": vehicle.length_in, "width": vehicle.width_in, "weight": vehicle.gross_lb,
        "axle weight": vehicle.axle_lb, "tandem weight": vehicle.tandem_lb, "rated weight": vehicle.rating_lb,
    }.get(sign.kind)  # fmt: skip


def _says_without_figure(sign: Sign, vehicle: RoadVehicle) -> Says:
    if sign.key == "trailer":
        return "keeps out" if vehicle.vehicle_class in ("pickup with trailer", "semi") else "lets through"
    return "keeps out" if sign.text == "hgv=no" else "not known"
