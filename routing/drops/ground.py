"""The ground of one orchard on a flat grid of feet: blocks, tracks, gates, what hives keep away from.

The grid is the azimuthal equidistant projection about the middle of the orchard (Snyder, USGS Professional
Paper 1395 (1987) 191-202; from memory). Five miles out it stretches the distance between two points by less
than one part in a million, whatever the longitude, and no zone ends within an orchard.
"""

from dataclasses import dataclass, field

import numpy as np
import shapely
from pyproj import Transformer
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from routing.drops.drop import SitingError
from routing.drops.problem import Floats
from routing.inputs.constants import constant
from routing.inputs.contract import Block, Contract
from routing.inputs.land import BUFFER_FIGURES, LandFeature
from routing.inputs.operation import Operation


class LocalGrid:
    """A flat grid in feet about one place, east and north positive."""

    def __init__(self, latitude_deg: float, longitude_deg: float) -> None:
        self.crs = f"+proj=aeqd +lat_0={latitude_deg!r} +lon_0={longitude_deg!r} +datum=WGS84 +units=ft +no_defs"
        self._there = Transformer.from_crs("EPSG:4326", self.crs, always_xy=True)

    def flat(self, shape: BaseGeometry) -> BaseGeometry:
        """Return a shape in degrees, longitude first, on the grid."""
        return shapely.transform(shapely.force_2d(shape), self._to_feet)

    def around(self, shape: BaseGeometry) -> BaseGeometry:
        """Return a shape of the grid in degrees, longitude first."""
        return shapely.transform(shape, lambda points: np.column_stack(self._back(points)))

    def spot(self, latitude_deg: float, longitude_deg: float) -> Point:
        """Return a place on the grid."""
        return Point(*self._there.transform(longitude_deg, latitude_deg))

    def degrees(self, x_ft: float, y_ft: float) -> tuple[float, float]:
        """Return latitude and longitude of a point of the grid."""
        longitude, latitude = self._there.transform(x_ft, y_ft, direction="INVERSE")
        return float(latitude), float(longitude)

    def _back(self, points: Floats) -> tuple[Floats, Floats]:
        longitude, latitude = self._there.transform(points[:, 0], points[:, 1], direction="INVERSE")
        return longitude, latitude

    def _to_feet(self, points: Floats) -> Floats:
        return np.column_stack(self._there.transform(points[:, 0], points[:, 1]))


@dataclass(frozen=True)
class Field:
    """A block with its outline on the grid."""

    block: Block
    outline: Polygon


@dataclass(frozen=True)
class KeepOff:
    """Ground where no hives may stand."""

    feature: LandFeature
    shape: BaseGeometry
    buffer_ft: float

    @property
    def words(self) -> str:
        """For instance ``within 300 ft of house 'Orchard Cottage'``."""
        name = f"{self.feature.kind} '{self.feature.name}'"
        return f"within {self.buffer_ft:g} ft of {name}" if self.buffer_ft else f"on {name}"


@dataclass(frozen=True)
class Ground:
    """One orchard."""

    contract: Contract
    grid: LocalGrid
    gates: tuple[Point, ...]
    fields: tuple[Field, ...]
    tracks: tuple[tuple[str, LineString], ...]
    keep_off: tuple[KeepOff, ...]
    shade: tuple[BaseGeometry, ...]
    without_outline: tuple[str, ...] = field(default=())
    """Blocks that no map shows."""


def ground_of(operation: Operation, contract_name: str) -> Ground:
    """Return the ground of one contract.

    Raises
    ------
    SitingError
        If there is no such contract, it has no gate, or none of its blocks has an outline.
    """
    contract = contract_named(operation, contract_name)
    gates = [gate for gate in operation.gates if gate.contract == contract.name]
    blocks = [block for block in operation.blocks if block.contract == contract.name]
    shown = [(block, shapely.from_wkt(block.outline)) for block in blocks if block.outline]
    if not gates:
        raise SitingError(f"{contract.name}: no gate is given, so no way in is known; add a row to gates.")
    if not shown:
        raise SitingError(
            f"{contract.name}: none of its {len(blocks)} blocks has an outline; give a map with their polygons, or WKT in blocks."
        )
    middle = shapely.union_all([outline for _, outline in shown]).centroid
    grid = LocalGrid(middle.y, middle.x)
    features = [(one, grid.flat(shapely.from_wkt(one.shape))) for one in operation.land_features if one.contract == contract.name]
    return Ground(
        contract=contract,
        grid=grid,
        gates=tuple(grid.spot(gate.latitude_deg, gate.longitude_deg) for gate in gates),
        fields=tuple(Field(block, _polygon(grid.flat(outline))) for block, outline in shown),
        tracks=tuple((one.name, shape) for one, shape in features if one.kind == "track" and isinstance(shape, LineString)),
        keep_off=tuple(
            KeepOff(one, shape, buffer_of(operation, one)) for one, shape in features if one.kind in BUFFER_FIGURES
        ),
        shade=tuple(shape for one, shape in features if one.kind == "shade"),
        without_outline=tuple(block.name for block in blocks if not block.outline),
    )


def contract_named(operation: Operation, name: str) -> Contract:
    """Return the contract called ``name``; raise ``SitingError`` with the names there are."""
    for contract in operation.contracts:
        if contract.name == name:
            return contract
    known = ", ".join(f"'{contract.name}'" for contract in operation.contracts)
    raise SitingError(f"There is no contract called '{name}'; there are: {known or 'none'}.")


def buffer_of(operation: Operation, feature: LandFeature) -> float:
    """Return how far hives keep from a feature: its own figure, else the user's, else the cited one. [ft]"""
    if feature.buffer_ft is not None:
        return feature.buffer_ft
    return constant(operation, BUFFER_FIGURES[feature.kind])


def _polygon(shape: BaseGeometry) -> Polygon:
    if not isinstance(shape, Polygon):
        raise SitingError(f"An outline is a {shape.geom_type.lower()}, not a polygon.")
    return shape
