"""The self-test: known signed bridges, built with the same boundaries as the map, that a truck just over must go round.

Each trial is a short road with a bridge that bears one sign, and a longer road round it. A truck just under the sign
must cross, one just over it must go round. One such bridge stands at each of a few spots spread over the map, since
the boundary by which weights are read may cover a part of it only; the texts that the map's own signs are written in
are tried in its middle.
"""

import math
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from api.roads.country import UNITED_STATES
from api.roads.engine import ADMINS, Engine, build_tiles
from api.roads.errors import SelfTestError
from routing.roads.posted import posted_length_in, posted_weight_lb
from routing.roads.sign import Point
from routing.units import CM_PER_INCH, kg_from_lb

METRES, TONNES = "m", "t"
OPTIONS = {"maxheight": ("height", METRES), "maxweight": ("weight", TONNES), "maxaxleload": ("axle_load", TONNES),
           "maxlength": ("length", METRES), "maxwidth": ("width", METRES)}  # fmt: skip
"""Tag -> the engine's option that it is held against, and its unit."""
SMALL = {"height": 1.5, "weight": 1.0, "length": 3.0, "width": 1.0, "axle_load": 0.5, "axle_count": 2}
OVER, UNDER = 1.005, 0.995
"""A truck of 20.1 short tons must go round a bridge of 20, one of 19.9 must cross it."""
ROUNDING = {METRES: 0.011, TONNES: 0.011}
"""The engine keeps limits to the hundredth."""
BRIDGE_DEG, CELL_DEG = 0.002, 0.02
"""The bridge is some 500 ft long; trials stand a mile apart."""
KNOWN_US = (("maxweight", "20 st"), ("maxweight", "40000 lbs"), ("maxweight", "20 tons"), ("maxaxleload", "10 st"),
            ("maxheight", "12'6\""), ("maxheight", "12 ft 6 in"), ("maxheight", "3.8"), ("maxlength", "40'"),
            ("maxwidth", "8 ft"))  # fmt: skip
KNOWN_ELSEWHERE = (("maxweight", "18"), ("maxweight", "18 t"), ("maxaxleload", "9"), ("maxheight", "12'6\""),
                   ("maxheight", "3.8"), ("maxlength", "12"), ("maxwidth", "2.5"))  # fmt: skip
Text = tuple[str, str]
"""Tag and value of a sign."""


@dataclass(frozen=True)
class Trial:
    """How one sign was obeyed."""

    key: str
    value: str
    at: Point
    lets_under: bool
    """Did a truck half a percent under the sign cross?"""
    stops_over: bool
    """Did one half a percent over it go round?"""

    @property
    def words(self) -> str:
        """The trial in a sentence."""
        failed = [word for word, well in (("a truck just over it crosses", self.stops_over),
                                          ("a truck just under it is turned away", self.lets_under)) if not well]  # fmt: skip
        return f"{self.key}={self.value} at {self.at[0]:.3f}, {self.at[1]:.3f}: {', '.join(failed) or 'read right'}"


def known_texts(country: str) -> tuple[Text, ...]:
    """Return the signs that must be read right before any tiles are used."""
    return KNOWN_US if country == UNITED_STATES else KNOWN_ELSEWHERE


def figure(key: str, value: str) -> float | None:
    """Return what a sign allows by our own reading, in the engine's unit; None when we cannot read it. [m or t]"""
    if OPTIONS[key][1] == METRES:
        length_in = posted_length_in(value)
        return None if length_in is None else length_in * CM_PER_INCH / 100.0
    weight_lb = posted_weight_lb(value)
    return None if weight_lb is None else kg_from_lb(weight_lb) / 1000.0


MOST = {"maxheight": 6.0, "maxweight": 60.0, "maxaxleload": 25.0, "maxlength": 40.0, "maxwidth": 5.0}
"""A sign that allows more keeps no truck of ours out, and the engine takes no larger one. [m or t]"""


def can_be_tried(key: str, value: str) -> bool:
    """Tell whether a sign has a limit that we can read and that matters to a truck."""
    limit = figure(key, value) if key in OPTIONS else None
    return limit is not None and limit <= MOST[key]


def spots(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return up to nine points spread over a map: the middle one, then those farthest out, none close to another."""
    middle = (sum(one[0] for one in points) / len(points), sum(one[1] for one in points) / len(points))
    ends = [min(points, key=lambda one: math.dist(one, middle))]
    for north, east in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)):
        ends.append(max(points, key=lambda one: north * one[0] + east * one[1]))
    kept: list[Point] = []
    for one in ends:
        if all(math.dist(one, other) > 2 * CELL_DEG for other in kept):
            kept.append(one)
    return tuple(kept)


def run_trials(boundaries: Path, points: Sequence[Point], *, country: str, texts: Iterable[Text] = ()) -> tuple[Trial, ...]:
    """Return how the engine obeys the known signs, at each spot of a map, and other texts in its middle.

    Parameters
    ----------
    boundaries
        Folder with the database of boundaries that the tiles are built with.
    points
        Points on roads of the map.
    texts
        Further signs that can be read by us and have a limit.
    """
    middle, *outer = spots(points)
    first = known_texts(country)[0]
    cells = [(first, spot) for spot in outer]
    for number, text in enumerate(dict.fromkeys((*known_texts(country), *texts))):
        cells.append((text, _beside(middle, number)))
    with tempfile.TemporaryDirectory(prefix="bloomhaul-") as folder:
        where = Path(folder)
        _write_map(cells, where / "trial.osm.pbf")
        build_tiles(where, where / "trial.osm.pbf", boundaries=boundaries / ADMINS)
        engine = Engine(where)
        return tuple(_tried(engine, text, at) for text, at in cells)


def _beside(middle: Point, number: int) -> Point:
    """Return the place of a numbered trial, ten in a row around the middle."""
    row, column = divmod(number, 10)
    north = (row + 1) // 2 * (1 if row % 2 else -1)
    return middle[0] + CELL_DEG * north, middle[1] + CELL_DEG * (column - 5)


def _corners(at: Point) -> dict[str, Point]:
    south, west = at
    return {
        "start": (south, west - 2 * BRIDGE_DEG), "near": (south, west), "far": (south, west + BRIDGE_DEG),
        "end": (south, west + 3 * BRIDGE_DEG),
        "up": (south + BRIDGE_DEG, west), "across": (south + BRIDGE_DEG, west + BRIDGE_DEG),
    }  # fmt: skip


def _write_map(cells: Sequence[tuple[Text, Point]], file: Path) -> None:
    import osmium
    from osmium.osm import mutable

    roads: list[tuple[list[int], dict[str, str]]] = []
    with osmium.SimpleWriter(str(file)) as writer:
        number = 0
        for (key, value), at in cells:
            ids = {}
            for name, (latitude, longitude) in _corners(at).items():
                number += 1
                ids[name] = number
                writer.add_node(mutable.Node(id=number, location=(longitude, latitude), version=1))
            for nodes, tags in (("start near", {}), ("near far", {key: value}), ("far end", {}), ("near up across far", {})):
                roads.append(([ids[name] for name in nodes.split()], {"highway": "secondary", **tags}))
        for way, (refs, tags) in enumerate(roads, 1):
            writer.add_way(mutable.Way(id=way, nodes=refs, tags=tags, version=1))


def _tried(engine: Engine, text: Text, at: Point) -> Trial:
    key, value = text
    limit = figure(key, value)
    if limit is None or math.isinf(limit):
        raise ValueError(f"{key}={value} is no limit that can be tried")
    slack = ROUNDING[OPTIONS[key][1]]
    under = _crosses(engine, at, key, limit * UNDER - slack)
    over = _crosses(engine, at, key, limit * OVER + slack)
    return Trial(key, value, at, lets_under=under, stops_over=not over)


def _crosses(engine: Engine, at: Point, key: str, size: float) -> bool:
    """Tell whether a truck of a size takes the bridge: its way is then the straight one, a third shorter."""
    corners = _corners(at)
    ends = [{"lat": corners[name][0], "lon": corners[name][1]} for name in ("start", "end")]
    options = {**SMALL, OPTIONS[key][0]: size}
    answer = engine.ask("route", {"locations": ends, "costing": "truck", "costing_options": {"truck": options}})
    # The way round has two more sides of the square, north and back.
    around_km = 2 * BRIDGE_DEG * 111.0
    straight_km = 5 * BRIDGE_DEG * 111.32 * math.cos(math.radians(at[0]))
    return bool(answer["trip"]["summary"]["length"] < straight_km + around_km / 2)


def must_pass(trials: Iterable[Trial], country: str, file_name: str) -> None:
    """Raise ``SelfTestError`` when a known sign is not obeyed, or an engine turns away what the sign lets through."""
    known = set(known_texts(country))
    failed = [one for one in trials if (one.key, one.value) in known and not (one.lets_under and one.stops_over)]
    if failed:
        raise SelfTestError(
            f"{file_name}: the road engine does not read signs right here, so its tiles are not kept: {failed[0].words}"
            + (f", and {len(failed) - 1} more" if len(failed) > 1 else "") + "."
        )


def misread(trials: Iterable[Trial]) -> Iterator[Text]:
    """Yield the signs over which the engine lets a truck pass that is too large for them."""
    yield from ((one.key, one.value) for one in trials if not one.stops_over)

