"""A truck as its axles feel it: empty weights, what a pound on the deck adds, and every weight limit.

All limits are straight lines in the weights on the axle groups, so that the deck plan and the judge can both
use them: one `Bearing` for each rating, each legal axle limit and each run of axles of the bridge formula.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.finding import Force
from routing.formulas.axle import AxleLayout, Part, Share, axle_positions_in, axle_shares
from routing.formulas.bridge import axle_set_limits
from routing.inputs.constants import own_limit
from routing.inputs.fleet import AxleGroup, TieDown, Truck
from routing.inputs.operation import Constant, Operation
from routing.inputs.rigging import Carried, Hitch, RoadLimit
from routing.limits import Limit, limit
from routing.loads.capacity import payload_for_cargo_lb
from routing.record import Record
from routing.units import feet_from_inches

RATING_SOURCE = "rating in the table of axle groups"
GROUP_NAMES = {1: "axle", 2: "tandem", 3: "tridem", 4: "quad axle"}


class Rig(Record):
    """One truck with its axle groups and its tie-downs: all that the checks of a load ask of the fleet."""

    truck: Truck
    axle_groups: tuple[AxleGroup, ...]
    tie_downs: tuple[TieDown, ...]
    hitch: Hitch | None = None
    carried: tuple[Carried, ...] = ()
    road_limits: tuple[RoadLimit, ...] = ()
    """Those of the user's table that count on this move."""
    constants: tuple[Constant, ...] = ()
    """Figures of the program that the user replaced."""
    deck_end_in: float | None = None
    """Where the deck ends, while ``truck`` is told only as much of it as gear leaves; None: at the truck's own length."""

    def figure(self, name: str) -> Limit:
        """Return the row called ``name``, the user's own value where there is one."""
        return own_limit(self.constants, name)


class Bearing(NamedTuple):
    """One weight limit: the sum over axle groups of ``parts`` times the group's weight."""

    check: str
    parts: tuple[float, ...]
    limit_lb: float
    force: Force
    source: str
    listed: bool = False
    """From the user's own table of road limits: always told."""

    def on(self, groups_lb: Sequence[float]) -> float:
        """Return the weight that this limit is about, from the weight on each axle group. [lb]"""
        return sum(part * weight for part, weight in zip(self.parts, groups_lb, strict=True))


class Vehicle(NamedTuple):
    """What the axles of a rig carry empty, and what one pound on the deck adds to each."""

    names: tuple[str, ...]
    empty_lb: tuple[float, ...]
    """With driver, fuel, helpers, lifting gear and all that is listed as carried."""
    shares: tuple[Share, ...]
    """Of one pound on the deck, in its distance behind the front end of the deck."""
    limits_lb: tuple[float, ...]
    """The least of rating and law, each group on its own."""
    bearings: tuple[Bearing, ...]


def rig_of(operation: Operation, truck_name: str) -> Rig:
    """Return the rig called ``truck_name``; raise ``ValueError`` when there is none."""
    for truck in operation.trucks:
        if truck.name == truck_name:
            return Rig(
                truck=truck,
                axle_groups=tuple(one for one in operation.axle_groups if one.truck == truck_name),
                tie_downs=tuple(one for one in operation.tie_downs if one.truck == truck_name),
                hitch=next((one for one in operation.hitches if one.truck == truck_name), None),
                carried=tuple(one for one in operation.carried if one.truck == truck_name),
                constants=operation.constants,
            )
    raise ValueError(f"No truck is called {truck_name!r}.")


def vehicle(rig: Rig) -> Vehicle:
    """Return the axles of a rig.

    Raises
    ------
    ValueError
        If the axle rows do not make a vehicle that stands: too few groups, out of order, no coupling.
    """
    groups = axle_groups_in_order(rig)
    layout = layout_of(rig)
    on_deck = tuple(_from_deck(share, rig.truck.deck_front_in) for share in axle_shares(layout, rig.truck.deck_on))
    empty_lb = [group.empty_lb for group in groups]
    for one in riding_along(rig):
        shares = axle_shares(layout, one.part)
        empty_lb = [lb + one.weight_lb * share.at(one.arm_in) for lb, share in zip(empty_lb, shares, strict=True)]
    names = _names(groups)
    bearings = (*_ratings(groups, names), *_law(rig.truck, groups, names), *_listed(rig, groups, names))
    alone = tuple(min(one.limit_lb for one in bearings if _is_only(one.parts, place)) for place in range(len(groups)))
    return Vehicle(names, tuple(empty_lb), on_deck, alone, bearings)


def deck_left_of(rig: Rig) -> float:
    """Return the length of the deck that empty gear and other things carried leave. [in]"""
    return max(0.0, rig.truck.deck_length_in - sum(one.deck_length_in for one in rig.carried))


def stands(rig: Rig) -> bool:
    """Tell whether the axle rows of a rig make a vehicle that stands."""
    try:
        layout_of(rig)
    except ValueError:
        return False
    return True


class RidingAlong(NamedTuple):
    """Something heavy beside the cargo, that the empty weights do not hold."""

    what: str
    weight_lb: float
    part: Part
    arm_in: float
    """Behind the steer axle; on a trailer, behind the coupling."""


def payload_of(rig: Rig) -> float:
    """Return what the rig's payload rating leaves for cargo. [lb]"""
    return payload_for_cargo_lb(rig.truck, helper_lb=rig.figure("helper_lb").value, carried=rig.carried)


def riding_along(rig: Rig) -> tuple[RidingAlong, ...]:
    """Return helpers, lifting gear and all that is listed as carried; the driver is in the empty weights."""
    truck = rig.truck
    found = [RidingAlong(one.what, one.weight_lb, one.unit, one.behind_in) for one in rig.carried]
    gear_in = _gear_arm_in(rig)
    if gear_in is not None:
        found.append(RidingAlong(truck.lifting, truck.lifting_weight_lb, truck.deck_on, truck.deck_front_in + gear_in))
    if truck.helpers:
        crew_lb = truck.helpers * rig.figure("helper_lb").value
        found.append(RidingAlong("helpers", crew_lb, "truck", rig.figure("seats_behind_steer_in").value))
    return tuple(found)


def axle_groups_in_order(rig: Rig) -> tuple[AxleGroup, ...]:
    """Return the groups of the truck, then those of the trailer, each front to back."""
    return tuple(sorted(rig.axle_groups, key=lambda one: (one.unit == "trailer", one.position)))


def layout_of(rig: Rig) -> AxleLayout:
    """Return where the axle groups of a rig stand; raise ``ValueError`` when they carry no vehicle."""
    groups = axle_groups_in_order(rig)
    under_truck = [one for one in groups if one.unit == "truck"]
    under_trailer = [one for one in groups if one.unit == "trailer"]
    return AxleLayout(
        truck_centres_in=tuple(one.centre_in for one in under_truck),
        truck_ratings_lb=tuple(one.rating_lb for one in under_truck),
        trailer_centres_in=tuple(one.centre_in for one in under_trailer),
        trailer_ratings_lb=tuple(one.rating_lb for one in under_trailer),
        coupling_in=rig.truck.coupling_in if under_trailer else None,
    )


def _from_deck(share: Share, deck_front_in: float) -> Share:
    """Return the share with its arm counted from the front end of the deck."""
    return Share(share.constant + share.per_in * deck_front_in, share.per_in)


def _gear_arm_in(rig: Rig) -> float | None:
    """Return how far behind the deck's front end carried lifting gear weighs; None when none is carried."""
    truck = rig.truck
    if truck.lifting_mount == "rear overhang":
        return (rig.deck_end_in or truck.deck_length_in) + rig.figure("lifting_behind_deck_in").value
    if truck.lifting_mount == "behind cab":
        return -rig.figure("lifting_ahead_of_deck_in").value
    return None


def _names(groups: tuple[AxleGroup, ...]) -> tuple[str, ...]:
    plain = [
        "steer axle"
        if place == 0
        else f"{'rear' if one.unit == 'truck' else 'trailer'} {GROUP_NAMES[one.axles]}"
        for place, one in enumerate(groups)
    ]
    return tuple(
        name if plain.count(name) == 1 else f"{name} {plain[: place + 1].count(name)}"
        for place, name in enumerate(plain)
    )


def _ratings(groups: tuple[AxleGroup, ...], names: tuple[str, ...]) -> list[Bearing]:
    return [
        Bearing(
            f"rating of the {name}", _only(place, len(groups)), group.rating_lb, "own figure", RATING_SOURCE
        )
        for place, (group, name) in enumerate(zip(groups, names, strict=True))
    ]


def _law(truck: Truck, groups: tuple[AxleGroup, ...], names: tuple[str, ...]) -> list[Bearing]:
    """Return the federal limits of single axles and of every run of consecutive axles."""
    single = limit("single_axle_lb")
    found = [
        Bearing(
            f"single axles of the {name}",
            _only(place, len(groups)),
            single.value * group.axles,
            "law",
            single.source,
        )
        for place, (group, name) in enumerate(zip(groups, names, strict=True))
    ]
    axles = _single_axles(truck, groups)
    for run in axle_set_limits([feet_from_inches(position_in) for position_in, _ in axles]):
        inside = [place for _, place in axles[run.first - 1 : run.last]]
        parts = tuple(inside.count(place) / group.axles for place, group in enumerate(groups))
        check = f"{run.rule}, axles {run.first} to {run.last} over {run.length_ft:.1f} ft"
        found.append(Bearing(check, parts, run.limit_lb, "law", "23 USC 127(a)(2), Interstate System"))
    return found


def _listed(rig: Rig, groups: tuple[AxleGroup, ...], names: tuple[str, ...]) -> list[Bearing]:
    """Return the weight limits of the user's table of road limits."""
    found = []
    whole = (1.0,) * len(groups)
    axles_of = {"single axle": 1, "tandem": 2, "tridem": 3}
    for row in rig.road_limits:
        if row.kind == "gross weight":
            found.append(Bearing(f"gross weight, {row.where}", whole, row.value, "law", row.source, listed=True))
        for place, (group, name) in enumerate(zip(groups, names, strict=True)):
            steer = row.kind == "steer axle" and place == 0
            if steer or axles_of.get(row.kind) == group.axles:
                only = _only(place, len(groups))
                found.append(Bearing(f"{name}, {row.where}", only, row.value, "law", row.source, listed=True))
    return found


def _single_axles(truck: Truck, groups: tuple[AxleGroup, ...]) -> list[tuple[float, int]]:
    """Return each axle's distance behind the steer axle, with the place of its group."""
    axles = []
    for place, group in enumerate(groups):
        start_in = (truck.coupling_in or 0.0) if group.unit == "trailer" else 0.0
        spread = axle_positions_in(group.centre_in, spread_in=group.spread_in, axles=group.axles)
        axles += [(start_in + position_in, place) for position_in in spread]
    return axles


def _only(place: int, count: int) -> tuple[float, ...]:
    return tuple(float(other == place) for other in range(count))


def _is_only(parts: tuple[float, ...], place: int) -> bool:
    return parts == _only(place, len(parts))
