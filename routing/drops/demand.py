"""The ground that draws on the hives: each block in pieces of about an acre or less, along its tree rows."""

import math
from dataclasses import dataclass

import numpy as np
from shapely import affinity
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from routing.drops.ground import Field, Ground
from routing.drops.problem import PARTS, Floats, Whole

SQUARE_FEET_PER_ACRE = 43_560.0
SLIVER = 0.02
"""A piece smaller than this share of a whole one joins its neighbour's count: it is left out."""


@dataclass(frozen=True)
class PieceOfGround:
    """Some tree rows, or a square where their direction is not given."""

    block: str
    middle: Point
    acres: float
    row_bearing_deg: float | None


def pieces_of(ground: Ground, most: int) -> tuple[PieceOfGround, ...]:
    """Return the ground in at most about ``most`` pieces, each of at most about an acre while that many suffice.

    Acres are the planted acres of the row, shared out over the outline: a block's outline holds lanes as well.
    """
    whole = sum(field.outline.area for field in ground.fields)
    side = math.sqrt(whole / most)
    found = []
    for field in ground.fields:
        cut = _cut(field, side)
        scale = field.block.acres / sum(shape.area for shape in cut)
        found += [
            PieceOfGround(field.block.name, _inside(shape), shape.area * scale, field.block.row_bearing_deg) for shape in cut
        ]
    return tuple(found)


def shares_of(pieces: tuple[PieceOfGround, ...], hives: int) -> Whole:
    """Return the hives that each piece draws, by its acres, in parts whose sum is exact."""
    acres = np.array([piece.acres for piece in pieces])
    exact = acres / acres.sum() * hives * PARTS
    parts: Whole = np.floor(exact).astype(np.int64)
    most_cut = np.argsort(parts - exact)[: hives * PARTS - int(parts.sum())]
    parts[most_cut] += 1
    return parts if (parts > 0).all() else _none_empty(parts)


def distances_ft(points: Floats, pieces: tuple[PieceOfGround, ...], *, crossing: float = 1.0) -> Floats:
    """Return the distance from each point to the middle of each piece. [points x pieces], feet.

    Parameters
    ----------
    crossing
        What a foot across rows counts as, in feet along them, where a block's rows have a direction.
    """
    east = np.array([piece.middle.x for piece in pieces]) - points[:, [0]]
    north = np.array([piece.middle.y for piece in pieces]) - points[:, [1]]
    bearing = np.radians([piece.row_bearing_deg or 0.0 for piece in pieces])
    across_factor = np.array([1.0 if piece.row_bearing_deg is None else crossing for piece in pieces])
    along = east * np.sin(bearing) + north * np.cos(bearing)
    across = east * np.cos(bearing) - north * np.sin(bearing)
    found: Floats = np.hypot(along, across * across_factor)
    return found


def _cut(field: Field, side_ft: float) -> list[BaseGeometry]:
    """Return the block cut by a grid that lies along its rows; a piece is a whole number of rows wide."""
    turn = field.block.row_bearing_deg or 0.0
    middle = field.outline.centroid
    # Turned by its bearing (clockwise from north), rows run up the page.
    upright = affinity.rotate(field.outline, turn, origin=middle)
    west, south, east, north = upright.bounds
    wide = side_ft
    if field.block.row_spacing_ft:
        wide = max(1, round(side_ft / field.block.row_spacing_ft)) * field.block.row_spacing_ft
    columns, rows = max(1, math.ceil((east - west) / wide)), max(1, round((north - south) / (side_ft * side_ft / wide)))
    high = (north - south) / rows
    if not field.block.row_spacing_ft:
        wide = (east - west) / columns
    cells = [
        box(west + column * wide, south + row * high, west + (column + 1) * wide, south + (row + 1) * high).intersection(upright)
        for column in range(columns)
        for row in range(rows)
    ]
    kept = [cell for cell in cells if cell.area > SLIVER * wide * high] or [upright]
    return [affinity.rotate(cell, -turn, origin=middle) for cell in kept]


def _inside(shape: BaseGeometry) -> Point:
    middle = shape.centroid
    return middle if shape.covers(middle) else shape.representative_point()


def _none_empty(parts: Whole) -> Whole:
    """Return the parts with at least one in each piece, one at a time taken from the largest."""
    lifted: Whole = np.maximum(parts, 1)
    for _ in range(int(lifted.sum() - parts.sum())):
        lifted[int(lifted.argmax())] -= 1
    return lifted
