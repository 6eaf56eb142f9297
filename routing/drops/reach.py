"""Which blocks share their bees: those within the distance that bees fly, and other bloom that draws them away."""

from collections.abc import Iterator

import shapely
from pyproj import Geod
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from routing.inputs.constants import constant
from routing.inputs.cross_check_outlines import polygon_acres
from routing.inputs.operation import Operation
from routing.record import Record
from routing.units import METRES_PER_MILE

_EARTH = Geod(ellps="WGS84")


class SharedBees(Record):
    """Two pieces of bloom within reach of the same bees."""

    contract: str
    block: str
    other: str
    """Contract of the other block; empty for competing bloom."""
    other_name: str
    other_acres: float
    miles: float
    """From edge to edge."""
    same_crop: bool
    other_hives_per_acre: float | None
    """None for competing bloom, which brings no hives."""


def shared_bees(operation: Operation, contract_name: str | None = None) -> tuple[SharedBees, ...]:
    """Return the blocks of different contracts, and the competing bloom, that lie within reach of the same bees.

    Parameters
    ----------
    operation
        Blocks without an outline are left out: where they lie is not known.
    contract_name
        Of one side; left out, each pair is told once.

    Returns
    -------
    tuple[SharedBees, ...]
        The nearest first. A block of the same contract shares its hives by the siting already.
    """
    found = [one for one in _pairs(operation) if contract_name in (None, one.contract)]
    return tuple(sorted(found, key=lambda one: (one.miles, one.contract, one.block, one.other, one.other_name)))


def _pairs(operation: Operation) -> Iterator[SharedBees]:
    reach = constant(operation, "forage_reach_mi")
    crops = {contract.name: contract.crop.casefold() for contract in operation.contracts}
    dense = _hives_per_acre(operation)
    shapes = [(block, _polygon(block.outline)) for block in operation.blocks if block.outline]
    for block, shape in shapes:
        for other, ground in shapes:
            if other.contract != block.contract and _may_reach(shape, ground, reach):
                miles = _miles(shape, ground)
                if miles <= reach:
                    yield SharedBees(
                        contract=block.contract, block=block.name, other=other.contract, other_name=other.name,
                        other_acres=other.acres, miles=miles, same_crop=crops[block.contract] == crops[other.contract],
                        other_hives_per_acre=dense[other.contract],
                    )  # fmt: skip
        for feature in operation.land_features:
            if feature.kind == "competing bloom" and feature.contract == block.contract:
                bloom = _polygon(feature.shape)
                miles = _miles(shape, bloom)
                if miles <= reach:
                    yield SharedBees(
                        contract=block.contract, block=block.name, other="", other_name=feature.name,
                        other_acres=polygon_acres(bloom), miles=miles, same_crop=False, other_hives_per_acre=None,
                    )  # fmt: skip


def _hives_per_acre(operation: Operation) -> dict[str, float]:
    acres: dict[str, float] = {}
    for block in operation.blocks:
        acres[block.contract] = acres.get(block.contract, 0.0) + block.acres
    return {one.name: one.colonies / acres[one.name] for one in operation.contracts if one.name in acres}


def _polygon(outline: str) -> Polygon:
    shape = shapely.from_wkt(outline)
    return shape if isinstance(shape, Polygon) else Polygon()


def _may_reach(one: BaseGeometry, other: BaseGeometry, miles: float) -> bool:
    """Return whether the boxes of two shapes come within the distance; a degree of latitude is over 68 miles."""
    apart_deg = max(one.bounds[1] - other.bounds[3], other.bounds[1] - one.bounds[3], 0.0)
    return apart_deg * 68.0 <= miles


def _miles(one: BaseGeometry, other: BaseGeometry) -> float:
    begin, end = nearest_points(one, other)
    _, _, metres = _EARTH.inv(begin.x, begin.y, end.x, end.y)
    return float(metres) / METRES_PER_MILE
