"""Questions and answers of the Valhalla interface, spoken in process and over HTTP alike: places in, ways out.

References
----------
Valhalla API reference, "Matrix" and "Locate" (MIT), https://valhalla.github.io/valhalla/api/matrix/api-reference/
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Protocol

from api.roads.errors import NoAnswerError, RoadsError
from routing.inputs.places import Place
from routing.roads.line import points_of_text
from routing.roads.measured import Meeting, OffRoad, Pair, Way, feet_between, gate_to_gate

AT_ONCE = 25
"""Origins in one question: with their lines, an answer for thousands of ways would not fit in memory twice."""
MOST_AGAIN = 1000
"""Pairs without a way that are searched a second time, one by one."""
FARTHEST_ROAD_M = 1609
"""A place farther than a mile from any road meets none."""
# A yard lies on no motorway, ramp or tunnel, even where one passes closer than the lane that leads to it.
NO_YARD_LIES_ON = {"max_road_class": "trunk", "exclude_ramp": True, "exclude_tunnel": True}
_UNPAVED = ("compacted", "dirt", "gravel", "path", "impassable")
Costing = dict[str, Any]
"""The part of a question that says what drives."""


class Asked(Protocol):
    """Whoever answers: the engine in process, or a server."""

    def ask(self, action: str, question: dict[str, Any]) -> Any:
        """Return the answer to ``locate``, ``sources_to_targets`` or ``route``."""
        ...


def truck_costing(options: dict[str, Any]) -> Costing:
    """Return the words for a truck with limits."""
    return {"costing": "truck", "costing_options": {"truck": options}}


FREE_COSTING: Costing = {"costing": "auto"}
"""A vehicle that no posted limit for trucks keeps out."""


def meetings(asked: Asked, places: Sequence[Place], costing: Costing) -> dict[str, Meeting | OffRoad]:
    """Return where each place meets a road that the vehicle may use, by name."""
    if not places:
        return {}
    answer = asked.ask("locate", {"locations": [_location(one) for one in places], "verbose": True, **costing})
    if not isinstance(answer, list) or len(answer) != len(places):
        raise RoadsError(f"The road engine told of {_length(answer)} places, asked about {len(places)}.")
    return {place.name: _meeting(place, one) for place, one in zip(places, answer, strict=True)}


def _location(place: Place) -> dict[str, Any]:
    return {"lat": place.latitude_deg, "lon": place.longitude_deg, "search_cutoff": FARTHEST_ROAD_M,
            "search_filter": NO_YARD_LIES_ON}  # fmt: skip


def _meeting(place: Place, told: Any) -> Meeting | OffRoad:
    edges = (told or {}).get("edges") or []
    if not edges:
        return OffRoad("no road near")
    edge = min(edges, key=lambda one: float(one["distance"]))
    at = (float(edge["correlated_lat"]), float(edge["correlated_lon"]))
    names = edge.get("edge_info", {}).get("names") or [""]
    return Meeting(feet_between(place, *at), *at, road=names[0], remarks=tuple(_remarks(edge.get("edge", {}))))


def _remarks(edge: Mapping[str, Any]) -> Iterator[str]:
    kind = edge.get("classification", {})
    if kind.get("use") in ("track", "driveway", "alley", "parking_aisle", "living_street"):
        yield str(kind["use"]).replace("_", " ")
    if edge.get("destination_only"):
        yield "private, or for those with business there"
    if kind.get("surface") in _UNPAVED:
        yield f"not paved ({kind['surface']})"


def ways(asked: Asked, places: Sequence[Place], costing: Costing) -> dict[Pair, Way]:
    """Return the ways between all ordered pairs of places; a pair for which two searches find none is left out.

    Raises
    ------
    RoadsError
        If the answer is not for the pairs that were asked about.
    """
    found: dict[Pair, Way] = {}
    targets = [_location(one) for one in places]
    for begin in range(0, len(places), AT_ONCE):
        origins = places[begin : begin + AT_ONCE]
        answer = asked.ask("sources_to_targets", {
            "sources": [_location(one) for one in origins], "targets": targets, "verbose": True, "shape_format": "polyline6",
            "units": "kilometers", **costing,
        })  # fmt: skip
        for origin, row in zip(origins, _rows(answer, len(origins), len(places)), strict=True):
            found |= {(origin.name, to.name): way for to, one in zip(places, row, strict=True)
                      if to is not origin and (way := _way(origin, to, one)) is not None}  # fmt: skip
    return found | _second_search(asked, places, costing, found)


def _second_search(asked: Asked, places: Sequence[Place], costing: Costing, found: Mapping[Pair, Way]) -> dict[Pair, Way]:
    """Return ways of pairs that the table has none for, searched one by one: its search of many at a time misses a few."""
    missing = [(a, b) for a in places for b in places if a is not b and (a.name, b.name) not in found]
    again = {(a.name, b.name): _one_way(asked, a, b, costing) for a, b in missing[:MOST_AGAIN]}
    return {pair: way for pair, way in again.items() if way is not None}


def _one_way(asked: Asked, origin: Place, destination: Place, costing: Costing) -> Way | None:
    ends_of = {"locations": [_location(origin), _location(destination)], "directions_type": "none", "units": "kilometers"}
    try:
        trip = asked.ask("route", ends_of | costing)["trip"]
    except NoAnswerError:
        return None
    ends = points_of_text(trip["legs"][0]["shape"])
    told = {"distance": trip["summary"]["length"], "time": trip["summary"]["time"], "shape": trip["legs"][0]["shape"]}
    for name, end in (("begin", ends[0]), ("end", ends[-1])):
        told |= {f"{name}_lat": float(end[0]), f"{name}_lon": float(end[1])}
    return _way(origin, destination, told)


def _rows(answer: Any, origins: int, targets: int) -> list[list[dict[str, Any]]]:
    rows = answer.get("sources_to_targets") if isinstance(answer, dict) else None
    if not isinstance(rows, list) or len(rows) != origins or any(len(row) != targets for row in rows):
        raise RoadsError(f"The road engine's table is not whole: asked for {origins} rows of {targets} ways.")
    return rows


def _way(origin: Place, destination: Place, told: dict[str, Any]) -> Way | None:
    length, seconds = told.get("distance"), told.get("time")
    if length is None or seconds is None:
        return None
    if not (is_figure(length) and is_figure(seconds)):
        raise RoadsError(f"The road engine gave {length!r} km and {seconds!r} s from {origin.name} to {destination.name}.")
    ends = ((told.get("begin_lat"), told.get("begin_lon")), (told.get("end_lat"), told.get("end_lon")))
    feet = [0.0 if at[0] is None or at[1] is None else feet_between(place, at[0], at[1])
            for place, at in zip((origin, destination), ends, strict=True)]  # fmt: skip
    return gate_to_gate(float(length) * 1000.0, float(seconds), (feet[0], feet[1]), str(told.get("shape") or ""))


def is_figure(value: Any) -> bool:
    """Tell whether a value is a number that a length or time can be: finite, 0 or more."""
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value >= 0.0


def _length(answer: Any) -> int:
    return len(answer) if isinstance(answer, list) else 0
