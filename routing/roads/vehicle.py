"""What a truck is for the road: the sizes and weights that posted limits are held against.

Each figure is the worst that the truck may be on any night: the tallest load that the operation can stack on it,
the most that it may weigh, its most heavily rated axle. A way found for it is a way for every load.
"""

import math

from routing.finding import Finding, not_checked
from routing.inputs.build import measure
from routing.inputs.fleet import AxleGroup, Truck
from routing.inputs.operation import Operation
from routing.inputs.yard import VEHICLE_CLASSES, VehicleClass
from routing.limits import limit
from routing.record import Record

TINY_IN = 1e-6


class RoadVehicle(Record):
    """One or more trucks that are the same to the road."""

    trucks: tuple[str, ...]
    vehicle_class: VehicleClass
    height_in: float
    """Top of the tallest load, of the headboard or of the cab."""
    height_measured: bool
    """Is the cab measured, or lower than the load by any usual height?"""
    width_in: float
    """Of the deck; mirrors stand out farther."""
    length_in: float
    length_measured: bool
    gross_lb: float
    rating_lb: float
    """Gross weight rating of all that rolls: what signs about rated weight go by."""
    axle_lb: float
    """Most heavily rated single axle; of axles in a group, each its share."""
    tandem_lb: float
    """Most heavily rated group of two axles; 0 when it has none."""
    axles: int
    axles_known: bool

    @property
    def name(self) -> str:
        """Its trucks, in one line."""
        *most, last = self.trucks
        return f"{', '.join(most)} and {last}" if most else last


def road_vehicles(operation: Operation) -> tuple[RoadVehicle, ...]:
    """Return what the trucks of an operation are for the road; trucks alike in every figure are one.

    Parameters
    ----------
    operation
        Its trucks, axle groups, and the hive groups that may ride.

    Returns
    -------
    tuple[RoadVehicle, ...]
        In the order of the trucks. Sizes in inches, weights in pounds.
    """
    units_in = _unit_heights_in(operation)
    found: dict[RoadVehicle, list[str]] = {}
    for truck in operation.trucks:
        groups = [one for one in operation.axle_groups if one.truck == truck.name]
        found.setdefault(_vehicle(truck, groups, units_in), []).append(truck.name)
    return tuple(one.model_copy(update={"trucks": tuple(names)}) for one, names in found.items())


def _vehicle(truck: Truck, groups: list[AxleGroup], units_in: list[float]) -> RoadVehicle:
    tandems = [one.rating_lb for one in groups if one.axles == 2]
    load_in, cab_in = _load_top_in(truck, units_in), truck.cab_height_in or limit(_CABS[truck.vehicle_class]).value
    return RoadVehicle(
        trucks=(), vehicle_class=truck.vehicle_class,
        height_in=max(load_in, cab_in), height_measured=truck.cab_height_in is not None or load_in >= cab_in,
        width_in=truck.deck_width_in,
        length_in=truck.overall_length_in or _length_in(truck, groups), length_measured=truck.overall_length_in is not None,
        gross_lb=_gross_lb(truck, groups), rating_lb=truck.gross_rating_lb,
        axle_lb=max((one.rating_lb / one.axles for one in groups), default=limit("single_axle_lb").value),
        tandem_lb=max(tandems, default=0.0),
        axles=sum(one.axles for one in groups) or _USUAL_AXLES[truck.vehicle_class], axles_known=bool(groups),
    )  # fmt: skip


# Where no axle group is given: two axles, four with a trailer, five on a semi (common practice, no source).
_USUAL_AXLES = dict(zip(VEHICLE_CLASSES, (2, 4, 2, 5), strict=True))
_CABS = {one: f"cab_height_{one.removesuffix(' with trailer').replace(' ', '_')}_in" for one in VEHICLE_CLASSES}


def _unit_heights_in(operation: Operation) -> list[float]:
    """Return the height of a pallet with its hives, or of a loose hive, of each group that may ride."""
    pallets = {one.name: one.height_in for one in operation.pallets}
    return [
        measure(operation, one.build, travelling=True).height_in + (pallets[one.pallet] if one.pallet else 0.0)
        for one in operation.hive_groups if one.may_travel
    ]  # fmt: skip


def _load_top_in(truck: Truck, units_in: list[float]) -> float:
    """Return the top of the tallest stack that the truck's layers and its own height limit allow."""
    room_in = truck.most_height_in - truck.deck_height_in
    stacks = (min(truck.most_tiers, math.floor((room_in + TINY_IN) / one)) * one for one in units_in)
    return truck.deck_height_in + max(max(stacks, default=0.0), truck.headboard_height_in or 0.0)


def _gross_lb(truck: Truck, groups: list[AxleGroup]) -> float:
    """Return the most that it may weigh: its rating, or empty weight and payload when that is less."""
    if not groups:
        return truck.gross_rating_lb
    return min(truck.gross_rating_lb, sum(one.empty_lb for one in groups) + truck.payload_lb)


def _length_in(truck: Truck, groups: list[AxleGroup]) -> float:
    """Return the length worked out from deck, coupling and axles, bumper and carried forklift added."""
    coupling_in = truck.coupling_in or 0.0
    deck_in = truck.deck_front_in + truck.deck_length_in + (coupling_in if truck.deck_on == "trailer" else 0.0)
    axles_in = (one.centre_in + one.spread_in / 2 + (coupling_in if one.unit == "trailer" else 0.0) for one in groups)
    behind_in = limit("carried_forklift_in").value if truck.lifting_mount == "rear overhang" else 0.0
    return limit("ahead_of_steer_axle_in").value + max(deck_in, *axles_in, 0.0) + behind_in


def vehicle_findings(vehicle: RoadVehicle) -> tuple[Finding, ...]:
    """Return a finding for each figure of a vehicle that had to be worked out instead of measured."""
    found = []
    if not vehicle.height_measured:
        row = limit(_CABS[vehicle.vehicle_class])
        note = f"the cab is not measured; posted heights were held against {vehicle.height_in / 12:.1f} ft"
        found.append(not_checked("height on the road", vehicle.name, force=row.force, source=row.source, note=note))
    if not vehicle.length_measured:
        row = limit("ahead_of_steer_axle_in")
        note = (
            f"overall length is not measured; posted lengths were held against {vehicle.length_in / 12:.1f} ft, "
            "worked out from deck, coupling and axles"
        )
        found.append(not_checked("length on the road", vehicle.name, force=row.force, source=row.source, note=note))
    if not vehicle.axles_known:
        row = limit("single_axle_lb")
        note = f"no axle groups are given; posted axle weights were held against {vehicle.axle_lb:,.0f} lb"
        found.append(not_checked("axle weight on the road", vehicle.name, force=row.force, source=row.source, note=note))
    return tuple(found)
