"""An orchard drawn in feet about a corner, for tests that know every distance."""

from collections.abc import Callable
from typing import Any

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from fixtures.tiny import tiny_operation
from routing.drops.ground import LocalGrid
from routing.inputs.contract import Block, Drop, Gate
from routing.inputs.land import LandFeature
from routing.inputs.operation import Constant, Operation

CONTRACT = "Early cherries"
GRID = LocalGrid(43.976, -86.288)
Land = dict[str, Any]


def wkt(text: str) -> str:
    """Return WKT in feet as WKT in degrees."""
    shape: BaseGeometry = shapely.from_wkt(text)
    return shapely.to_wkt(GRID.around(shape), rounding_precision=9)


def rectangle(west: float, south: float, east: float, north: float) -> str:
    return f"POLYGON(({west} {south},{east} {south},{east} {north},{west} {north},{west} {south}))"


def draw(
    *, blocks: dict[str, str], land: tuple[tuple[str, str, str], ...] = (), gate: tuple[float, float] = (0.0, 0.0),
    colonies: int = 16, drops: tuple[tuple[float, float, int], ...] = (), figures: dict[str, float] | None = None, **more: Any,
) -> Operation:  # fmt: skip
    """Return the tiny operation with one orchard drawn in feet: kind, name and shape of each feature.

    ``figures`` are the user's own; ``more`` are further columns of every block.
    """
    tiny = tiny_operation()
    contract = next(one for one in tiny.contracts if one.name == CONTRACT).model_copy(update={"colonies": colonies})
    rows = []
    for name, shape in blocks.items():
        acres = shapely.from_wkt(shape).area / 43_560.0
        rows.append(Block(contract=CONTRACT, name=name, acres=acres, outline=wkt(shape), **more))
    features = [
        LandFeature.model_validate({"contract": CONTRACT, "kind": kind, "name": name, "shape": wkt(shape)})
        for kind, name, shape in land
    ]
    south, west = GRID.degrees(*gate)
    stakes = []
    for number, (x, y, most) in enumerate(drops, 1):
        latitude, longitude = GRID.degrees(x, y)
        stakes.append(Drop(contract=CONTRACT, name=str(number), latitude_deg=latitude, longitude_deg=longitude, most_hives=most))
    own = tuple(Constant(name=name, value=value, source="the test") for name, value in (figures or {}).items())
    return tiny.model_copy(update={
        "contracts": (contract,), "blocks": tuple(rows), "land_features": tuple(features), "drops": tuple(stakes),
        "gates": (Gate(contract=CONTRACT, name="Gate", latitude_deg=south, longitude_deg=west),),
        "constants": (*tiny.constants, *own), "distances": (),
    })  # fmt: skip


@pytest.fixture(scope="session")
def orchard() -> Callable[..., Operation]:
    """Return the function that draws an orchard."""
    return draw


@pytest.fixture(scope="session")
def box() -> Callable[[float, float, float, float], str]:
    """Return the function that draws a rectangle from its west, south, east and north."""
    return rectangle
