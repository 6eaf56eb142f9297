"""Farming country for made-up operations: real valleys as lines on the map, and names that nobody bears.

A region is a line through its orchards with a half width; places lie beside the line, so every coordinate is in
farmed land. Crops, their nights and terms are common practice, no source; dates are made up for 2027.
"""

import datetime as dt
import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

MI_PER_DEG = 69.0
"""Miles of one degree of latitude, roughly: it only spreads the places."""
Point = tuple[float, float]
"""Latitude and longitude. [deg]"""


@dataclass(frozen=True)
class Crop:
    """One bloom of a region: when its growers want hives, for how long, and on what terms."""

    name: str
    first_in: dt.date
    spread_days: int
    """From the first grower's first night to the last grower's."""
    stay_days: int
    average: tuple[float, ...]
    """Least averages that growers ask for. [frames]"""
    fee_usd: tuple[int, int]


@dataclass(frozen=True)
class Region:
    """A valley or ridge: its line, its crops in order of bloom, its time zone."""

    name: str
    line: tuple[Point, ...]
    half_width_mi: float
    time_zone: str
    crops: tuple[Crop, ...]

    @property
    def length_mi(self) -> float:
        """Length of the line. [mi]"""
        return sum(_apart_mi(*two) for two in pairwise(self.line))


def _crop(name: str, first: tuple[int, int], days: tuple[int, int], average: Sequence[float], fee: tuple[int, int]) -> Crop:
    return Crop(name, dt.date(2027, *first), days[0], days[1], tuple(average), fee)


MICHIGAN = ((42.35, -86.12), (43.2, -86.05), (43.9, -86.22), (44.75, -85.72))
YAKIMA = ((46.75, -120.7), (46.45, -120.35), (46.25, -119.85), (46.25, -119.45))
SAN_JOAQUIN = ((37.7, -121.05), (37.0, -120.45), (36.3, -119.75), (35.5, -119.25))
WILLAMETTE = ((45.35, -123.0), (44.9, -123.1), (44.5, -123.15), (44.15, -123.15))
REGIONS = (
    Region("western Lower Michigan", MICHIGAN, 5.0, "America/Detroit", (
        _crop("sweet cherry", (4, 23), (4, 15), (7, 8, 8, 10), (58, 88)),
        _crop("apple", (5, 3), (6, 15), (7, 7, 8), (60, 76)),
        _crop("highbush blueberry", (5, 17), (7, 21), (7, 8, 8), (86, 108)),
        _crop("cucumber", (6, 24), (8, 22), (6, 7, 7), (62, 76)),
    )),
    Region("Yakima valley", YAKIMA, 4.0, "America/Los_Angeles", (
        _crop("sweet cherry", (4, 6), (4, 13), (8, 8, 10), (62, 90)),
        _crop("pear", (4, 15), (5, 14), (7, 8), (58, 72)),
        _crop("apple", (4, 26), (6, 15), (7, 7, 8), (60, 74)),
        _crop("squash seed", (6, 20), (8, 24), (6, 7, 7), (60, 80)),
    )),
    Region("San Joaquin valley", SAN_JOAQUIN, 9.0, "America/Los_Angeles", (
        _crop("almond", (2, 8), (7, 24), (8, 8, 8, 10), (185, 225)),
        _crop("plum", (3, 8), (5, 14), (6, 7), (52, 70)),
        _crop("orange for seed", (4, 1), (6, 22), (6, 7), (40, 60)),
        _crop("melon", (5, 24), (10, 28), (6, 7, 7), (50, 75)),
    )),
    Region("Willamette valley", WILLAMETTE, 6.0, "America/Los_Angeles", (
        _crop("sweet cherry", (4, 5), (5, 14), (7, 8, 9), (58, 80)),
        _crop("highbush blueberry", (4, 22), (8, 24), (7, 8, 8), (80, 100)),
        _crop("meadowfoam", (5, 14), (6, 18), (6, 7), (50, 64)),
        _crop("clover seed", (6, 18), (8, 28), (6, 7, 7), (48, 66)),
    )),
)  # fmt: skip

FIRSTS = (
    "Thistle", "Marrow", "Pebble", "Quill", "Hazel", "Otter", "Lantern", "Saddle", "Cinder", "Willow", "Tumble", "Raven",
    "Copper", "Bramble", "Fiddle", "Mallow", "Pippin", "Sorrel", "Teasel", "Umber", "Velvet", "Wicket", "Yarrow", "Zephyr",
)  # fmt: skip
SECONDS = ("moor", "gate", "ford", "ridge", "hollow", "field", "bank", "reach", "fold", "mere", "knoll", "croft")
PEOPLE = (
    "Quillfeather", "Mossbottom", "Tumbleby", "Wickersnape", "Larksworthy", "Pennywhisk", "Thornquist-Vale", "Umberleigh",
    "Fennimore-Rook", "Gadabout", "Hobsworthy", "Inkberrow", "Jessamine", "Kettlewick", "Nettleship-Lowe", "Orrisroot",
    "Plumtrellis", "Rushbrand", "Saltgarth", "Vetchling", "Withycombe-Ash", "Yellowhay", "Zinnober", "Appledrift",
)  # fmt: skip


def _apart_mi(one: Point, other: Point) -> float:
    east = (other[1] - one[1]) * math.cos(math.radians(one[0]))
    return MI_PER_DEG * math.hypot(other[0] - one[0], east)


def stretch(region: Region, length_mi: float, draw: random.Random) -> tuple[float, float]:
    """Return the first and last mile of a stretch of a region's line, as long as asked or the whole line. [mi]"""
    length = min(length_mi, region.length_mi)
    start = draw.uniform(0.0, region.length_mi - length)
    return start, start + length


def somewhere(region: Region, miles: tuple[float, float], draw: random.Random) -> Point:
    """Return a point beside a region's line, between two miles of it, to five decimals of a degree."""
    left, aside = draw.uniform(*miles), draw.uniform(-region.half_width_mi, region.half_width_mi)
    for one, other in pairwise(region.line):
        length = _apart_mi(one, other)
        if left <= length or other == region.line[-1]:
            break
        left -= length
    share, shrink = min(left / length, 1.0), math.cos(math.radians(one[0]))
    north, east = (other[0] - one[0]) / length, (other[1] - one[1]) * shrink / length
    latitude = one[0] + share * (other[0] - one[0]) - aside * east
    longitude = one[1] + share * (other[1] - one[1]) + aside * north / shrink
    return round(latitude, 5), round(longitude, 5)


def place_names(draw: random.Random) -> Iterator[str]:
    """Yield made-up names of places, each once, in an order of the draw's own."""
    names = [first + second for first in FIRSTS for second in SECONDS]
    draw.shuffle(names)
    yield from names


def person(draw: random.Random) -> str:
    """Return a made-up person."""
    return f"{draw.choice('ABCDEFGHJKLMNOPRSTVW')}. {draw.choice(PEOPLE)}"
