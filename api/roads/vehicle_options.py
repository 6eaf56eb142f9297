"""A vehicle of ours in the engine's words: metres and metric tonnes, rounded so that no limit is taken for wider."""

import math
from typing import Any

from routing.roads.vehicle import RoadVehicle
from routing.units import CM_PER_INCH, kg_from_lb

KG_PER_TONNE = 1000.0


def truck_options(vehicle: RoadVehicle, *, paved_only: bool = False, tonne_lb: float | None = None) -> dict[str, Any]:
    """Return the costing options of a vehicle.

    Parameters
    ----------
    vehicle
        Sizes in inches, weights in pounds.
    paved_only
        Keep off roads that are not paved, but for the two ends of a way.
    tonne_lb
        Pounds to count as one tonne of the map's signs; None: a metric tonne. A server that may read ``20 st`` as
        20 metric tonnes is asked with 2,000, by which the truck is held against the sign in short tons.
    """
    tonnes = (lambda pounds: pounds / tonne_lb) if tonne_lb else (lambda pounds: kg_from_lb(pounds) / KG_PER_TONNE)
    found: dict[str, Any] = {
        "height": _up(vehicle.height_in * CM_PER_INCH / 100.0), "width": _up(vehicle.width_in * CM_PER_INCH / 100.0),
        "length": _up(vehicle.length_in * CM_PER_INCH / 100.0), "weight": _up(tonnes(vehicle.gross_lb)),
        "axle_load": _up(tonnes(vehicle.axle_lb)), "axle_count": vehicle.axles,
    }  # fmt: skip
    if paved_only:
        found["exclude_unpaved"] = True
    return found


def _up(value: float) -> float:
    return math.ceil(value * 1000.0 - 1e-6) / 1000.0
