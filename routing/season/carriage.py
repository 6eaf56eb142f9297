"""What it costs to carry one hive from one place to another, before any tour is planned.

One truck-night for a load: from the base to the one place, on to the other, and back. The load is the share
``load_fill_share`` of what the truck holds, and no more than the orchard wants. Tours replace the estimate by
a factor for each orchard (``CarryCost``).
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import floor

from routing.inputs.away import dates_away
from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.fleet import Driver, Pallet, Truck
from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.inputs.yard import VEHICLE_CLASSES, HiveGroup
from routing.limits import limit
from routing.roads.roads import Roads, road_table
from routing.season.assignment import CarryCost


@dataclass(frozen=True)
class Leg:
    """A way to be driven with hives on one of some nights."""

    origin: str
    destination: str
    first: dt.date
    last: dt.date


@dataclass(frozen=True)
class Carriage:
    """The operation's trucks and roads, asked for the price of one hive on one leg."""

    operation: Operation
    costs: tuple[CarryCost, ...] = ()

    @cached_property
    def sites(self) -> dict[str, Place]:
        """Every yard and orchard."""
        return places(self.operation)

    @cached_property
    def roads(self) -> Roads:
        """Miles and minutes."""
        return road_table(self.operation)

    @cached_property
    def _factor(self) -> dict[str, float]:
        return {one.contract: one.factor for one in self.costs}

    @cached_property
    def _wanted(self) -> dict[str, int]:
        return {one.name: one.colonies for one in self.operation.contracts}

    def usd_per_hive(self, group: HiveGroup, leg: Leg) -> float | None:
        """Return what one hive of a group costs on a leg by the cheapest truck; None when no truck can do it. [USD]"""
        prices = [
            price for truck in self.operation.trucks
            if self._can(truck, leg) and (price := self._price(truck, group, leg)) is not None
        ]  # fmt: skip
        if not prices:
            return None
        ends = [self._factor.get(name, 1.0) for name in (leg.origin, leg.destination) if name in self._wanted]
        return min(prices) * (sum(ends) / len(ends) if ends else 1.0)

    def hives_a_load(self, truck: Truck, group: HiveGroup) -> int:
        """Return the hives of a group that one deck holds by area, tiers and payload."""
        size = measure(self.operation, group.build, travelling=True)
        pallet = next((one for one in self.operation.pallets if one.name == group.pallet), None)
        long_in, wide_in, tall_in = _unit_size(pallet, (size.length_in, size.width_in, size.height_in))
        floor_units = max(
            floor(truck.deck_length_in / a) * floor(truck.deck_width_in / b) for a, b in ((long_in, wide_in), (wide_in, long_in))
        )  # fmt: skip
        tiers = min(truck.most_tiers, max(floor((truck.most_height_in - truck.deck_height_in) / tall_in), 0))
        each = pallet.hives if pallet else 1
        weight_lb = each * size.weight_high_lb + (pallet.weight_lb if pallet else 0.0)
        gear_lb = truck.lifting_weight_lb if truck.lifting_mount != "towed or at site" else 0.0
        units = min(floor_units * tiers, floor((truck.payload_lb - gear_lb) / weight_lb))
        return max(units, 0) * each

    def hives_a_night(self, truck: Truck) -> float:
        """Return the hives that a truck moves in a night: its loads of the group that fills it best."""
        most = max((self.hives_a_load(truck, group) for group in self.operation.hive_groups), default=0)
        return most * constant(self.operation, "loads_per_truck_night")

    def truck_is_there(self, truck: Truck, night: dt.date) -> bool:
        """Tell whether a truck, and a driver for it, are to be had on a night."""
        if (truck.available_from and night < truck.available_from) or (truck.available_until and night > truck.available_until):
            return False
        if night in dates_away(truck.nights_away):
            return False
        return truck.hired or any(night not in dates_away(one.nights_away) for one in _able(self.operation, truck))

    def gets_into(self, truck: Truck, names: Iterable[str]) -> bool:
        """Tell whether a truck is small enough for every place named."""
        rank = VEHICLE_CLASSES.index(truck.vehicle_class)
        return all(VEHICLE_CLASSES.index(self.sites[name].access) >= rank for name in names)

    def _can(self, truck: Truck, leg: Leg) -> bool:
        nights = ((leg.first + dt.timedelta(days=day)) for day in range((leg.last - leg.first).days + 1))
        return self.gets_into(truck, (leg.origin, leg.destination)) and any(self.truck_is_there(truck, one) for one in nights)

    def _price(self, truck: Truck, group: HiveGroup, leg: Leg) -> float | None:
        operation = self.operation
        holds = self.hives_a_load(truck, group)
        load = min(
            constant(operation, "load_fill_share") * holds,
            *(float(self._wanted[name]) for name in (leg.origin, leg.destination) if name in self._wanted), float(holds),
        )  # fmt: skip
        route = ((truck.base, leg.origin), (leg.origin, leg.destination), (leg.destination, truck.base))
        driving_min = sum(0.0 if a == b else self.roads.minutes(a, b) for a, b in route) / truck.speed_factor
        most_h = min(constant(operation, "fatigue_driving_h"), limit("hours_driving_h").value)
        if load < 1.0 or driving_min > 60.0 * most_h:
            return None
        miles = sum(0.0 if a == b else self.roads.miles(a, b) for a, b in route)
        idle_min = 2.0 * constant(operation, "stop_setup_min") + constant(operation, "secure_load_min")
        wage = _wage_usd_per_min(operation, truck)
        a_night = miles * truck.cost_usd_per_mile + truck.cost_usd_per_night + (driving_min + idle_min) * wage
        lifting_min = sum(self._lifting_min(truck, group, name) for name in (leg.origin, leg.destination))
        return a_night / load + lifting_min * wage

    def _lifting_min(self, truck: Truck, group: HiveGroup, place: str) -> float:
        """Return minutes to lift one hive on or off. [min]"""
        operation, gear = self.operation, {truck.lifting, self.sites[place].loading}
        means = "forklift" if "forklift" in gear else "boom" if "boom" in gear else "hand"
        if means == "hand":
            return constant(operation, "hand_min_per_hive") * (2.0 if truck.helpers == 0 else 1.0)
        pallet = next((one for one in operation.pallets if one.name == group.pallet), None)
        if pallet:
            return constant(operation, f"{means}_min_per_pallet") / pallet.hives
        return constant(operation, "boom_min_per_loose_hive")


def _unit_size(pallet: Pallet | None, hive_in: tuple[float, float, float]) -> tuple[float, float, float]:
    if pallet is None:
        return hive_in
    return pallet.length_in, pallet.width_in, pallet.height_in + hive_in[2]


def _able(operation: Operation, truck: Truck) -> list[Driver]:
    rank = VEHICLE_CLASSES.index(truck.vehicle_class)
    return [one for one in operation.drivers if VEHICLE_CLASSES.index(one.drives) >= rank]


def _wage_usd_per_min(operation: Operation, truck: Truck) -> float:
    helpers = truck.helpers * constant(operation, "helper_wage_usd_per_hour")
    own = [] if truck.hired else [one.wage_usd_per_hour for one in _able(operation, truck)]
    return (min(own, default=0.0) + helpers) / 60.0
