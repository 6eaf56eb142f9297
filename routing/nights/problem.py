"""The operation turned into numbers that a search can count with: places, trucks, unit kinds, promises.

A *unit* is what is lifted at once: one pallet with its hives, or one loose hive. A *unit kind* is a hive
group's units of one size; the last, part-filled pallet of a group is a kind of its own.
Nights are counted from the operation's first night; clock minutes run from noon of that day.
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from routing.bloom.window import contract_window
from routing.inputs.away import dates_away
from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.fleet import Driver, Truck
from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.inputs.yard import VEHICLE_CLASSES, HiveGroup
from routing.limits import limit
from routing.loads.capacity import deck_left_in, payload_in, tiers_on_every_move, unit, units_that_fit
from routing.nights.dark import Dark
from routing.nights.draft_night import DraftNight
from routing.nights.told import NOTHING_TOLD, Told, arranged
from routing.roads.closed import closed_for
from routing.roads.roads import Roads, road_table
from routing.strength.group import group_strength, share_below


@dataclass(frozen=True)
class UnitKind:
    """Units of one group, all with the same number of hives."""

    group: str
    yard: str
    units: int
    hives: int
    """Hives of one unit."""
    palletised: bool
    weight_lb: float
    """Heaviest weight of one unit, pallet included."""
    frames: float
    """Frames of bees counted on, each hive."""
    footprint_in: tuple[float, float] = (0.0, 0.0)
    """Length and width on a deck with the air beside it, not yet turned: alike units fill a deck as ``fit`` says."""


@dataclass(frozen=True)
class Rig:
    """One truck, as the search sees it."""

    name: str
    base: str
    places: frozenset[str]
    """Places that it can get into."""
    speed_factor: float
    usd_per_mile: float
    usd_per_night: float
    usd_per_min: float
    """Wages of driver and helpers."""
    fit: Mapping[int, int]
    """Units of each kind that fit the deck when nothing else is on it."""
    tiers: Mapping[int, int]
    """Units of each kind that may stand on each other."""
    deck_in: tuple[float, float]
    """Length and width of the deck, with the air that the last units need no more."""
    payload_lb: float
    duty_min: float
    """Longest duty that some able driver may do."""
    driving_min: float
    nights: frozenset[int]
    driven_by: tuple[str, ...]
    """Able drivers, lowest wage first; empty for a hired truck."""
    hired: bool


@dataclass(frozen=True)
class Promise:
    """One contract, as the search sees it."""

    name: str
    colonies: int
    over: int
    """Colonies beyond the promise that are taken."""
    min_average: float
    kinds: tuple[int, ...]
    """Kinds strong enough in each colony."""
    in_first: int
    in_last: int
    late_last: int
    out: tuple[int, int] | None
    usd_short: float
    """Lost fee and penalty, each colony."""
    usd_late: float
    usd_weak: float | None
    usd_bonus_missed: Mapping[int, float]
    """Bonus not earned by one hive of each kind."""


@dataclass(frozen=True)
class Problem:
    """All that the search and the bound may look at."""

    operation: Operation
    sites: Mapping[str, Place]
    kinds: tuple[UnitKind, ...]
    stock: Mapping[tuple[str, int], int]
    """(yard, kind) -> units that stand there before the first night; absent when there are none."""
    rigs: tuple[Rig, ...]
    promises: Mapping[str, Promise]
    roads: Roads
    dark: Dark
    """(place, night) -> first and last clock minute for hives on the move; absent when there is no night."""
    setup_min: float
    secure_min: float
    usd_left_in: float
    last_night: int
    next_night: int = 0
    """First night still to be planned."""
    done: tuple[DraftNight, ...] = ()
    """What happened on the nights before."""
    told: Told = NOTHING_TOLD
    """What growers and drivers know of the nights to come."""

    def drive_min(self, rig: Rig, origin: str, destination: str) -> float:
        """Return driving minutes of a rig between two places. [min]"""
        return 0.0 if origin == destination else self.roads.minutes(origin, destination) / rig.speed_factor

    def miles(self, origin: str, destination: str) -> float:
        """Return road miles between two places. [mi]"""
        return 0.0 if origin == destination else self.roads.miles(origin, destination)

    def able(self, rig: int, night: int) -> tuple[str, ...]:
        """Return the drivers able to drive a rig who are there on a night, lowest wage first."""
        date = night_date(self.operation, night)
        return tuple(name for name in self.rigs[rig].driven_by if date not in self._away[name])

    @cached_property
    def _away(self) -> Mapping[str, frozenset[dt.date]]:
        return {one.name: dates_away(one.nights_away) for one in self.operation.drivers}

    def handling_min(self, rig: Rig, place: str, kind: int) -> float:
        """Return minutes to lift one unit on or off. [min]"""
        known = self._handling.get((rig.name, place, kind))
        if known is None:
            truck = next(one for one in self.operation.trucks if one.name == rig.name)
            known = handling_min(self.operation, truck, self.sites[place], self.kinds[kind])
            self._handling[rig.name, place, kind] = known
        return known

    @cached_property
    def _handling(self) -> dict[tuple[str, str, int], float]:
        """What was worked out already: the search asks for the same minutes over and over."""
        return {}


def handling_min(operation: Operation, truck: Truck, site: Place, kind: UnitKind) -> float:
    """Return minutes to lift one unit on or off a truck at a site. [min]"""
    gear = {truck.lifting, site.loading}
    means = "forklift" if "forklift" in gear else "boom" if "boom" in gear else "hand"
    if means == "hand":
        alone = 2.0 if truck.helpers == 0 else 1.0
        return kind.hives * constant(operation, "hand_min_per_hive") * alone
    if kind.palletised:
        return constant(operation, f"{means}_min_per_pallet")
    return constant(operation, "boom_min_per_loose_hive")


def night_index(operation: Operation, night: dt.date) -> int:
    """Return the number of a night, 0 for the operation's first."""
    return (night - operation.first_night).days


def night_date(operation: Operation, index: int) -> dt.date:
    """Return the date of the evening of a numbered night."""
    return operation.first_night + dt.timedelta(days=index)


def read_problem(operation: Operation) -> Problem:
    """Return the operation in numbers."""
    kinds = unit_kinds(operation)
    sites = places(operation)
    promises = {one.name: _promise(operation, one, kinds) for one in operation.contracts}
    following = max(0, night_index(operation, operation.next_night)) if operation.next_night else 0
    nights = _nights_of_interest(operation, promises.values())
    ahead = [night for night in nights if night >= following]
    rigs = tuple(rig for one in operation.trucks if (rig := _rig(operation, one, kinds, ahead)))
    done, told = arranged(
        operation, {rig.name: index for index, rig in enumerate(rigs)},
        {(kind.group, kind.hives): index for index, kind in enumerate(kinds)},
    )
    return Problem(
        operation=operation, sites=sites, kinds=kinds,
        stock={(kind.yard, index): kind.units for index, kind in enumerate(kinds)},
        rigs=rigs, next_night=following, done=done, told=told,
        promises=promises, roads=road_table(operation),
        dark=Dark(operation, sites, frozenset(nights)),
        setup_min=constant(operation, "stop_setup_min"), secure_min=constant(operation, "secure_load_min"),
        usd_left_in=constant(operation, "left_in_usd_per_colony"),
        last_night=night_index(operation, operation.last_night),
    )


def unit_kinds(operation: Operation) -> tuple[UnitKind, ...]:
    """Return the unit kinds of every group that may travel."""
    found: list[UnitKind] = []
    for group in operation.hive_groups:
        if group.may_travel:
            found += _kinds_of(operation, group)
    return tuple(found)


def _kinds_of(operation: Operation, group: HiveGroup) -> list[UnitKind]:
    pallet = next((one for one in operation.pallets if one.name == group.pallet), None)
    each = pallet.hives if pallet else 1
    hive_lb = measure(operation, group.build, travelling=True).weight_high_lb
    frames = group_strength(operation, group).counted_frames
    taken, gap_in = unit(operation, group), constant(operation, "least_air_gap_in")
    sizes = [(group.hives // each, each), (1 if group.hives % each else 0, group.hives % each)]
    footprint_in = (taken.length_in + gap_in, taken.width_in + gap_in)
    return [
        UnitKind(group.name, group.yard, units, hives, pallet is not None,
                 hives * hive_lb + (pallet.weight_lb if pallet else 0.0), frames, footprint_in)
        for units, hives in sizes if units
    ]


def _rig(operation: Operation, truck: Truck, kinds: tuple[UnitKind, ...], nights: list[int]) -> Rig | None:
    rank = VEHICLE_CLASSES.index(truck.vehicle_class)
    able = sorted(
        (one for one in operation.drivers if VEHICLE_CLASSES.index(one.drives) >= rank),
        key=lambda one: (one.wage_usd_per_hour, one.name),
    )
    if not truck.hired and not able:
        return None
    own_h = [one.most_duty_hours or 14.0 for one in able] if not truck.hired else [14.0]
    most_h = min(constant(operation, "fatigue_duty_h"), limit("hours_window_h").value)
    wage = 0.0 if truck.hired else able[0].wage_usd_per_hour
    wage += truck.helpers * constant(operation, "helper_wage_usd_per_hour")
    groups = {one.name: one for one in operation.hive_groups}
    gap_in = constant(operation, "least_air_gap_in")
    return Rig(
        name=truck.name, base=truck.base,
        places=frozenset(
            name for name, site in places(operation).items()
            if VEHICLE_CLASSES.index(site.access) >= rank and name not in closed_for(operation, truck.name)
        ),
        speed_factor=truck.speed_factor, usd_per_mile=truck.cost_usd_per_mile, usd_per_night=truck.cost_usd_per_night,
        usd_per_min=wage / 60.0,
        fit={index: units_that_fit(operation, truck, groups[kind.group]) for index, kind in enumerate(kinds)},
        tiers={
            index: tiers_on_every_move(operation, truck, unit(operation, groups[kind.group]).height_in)
            for index, kind in enumerate(kinds)
        },
        deck_in=(deck_left_in(operation, truck) + gap_in, truck.deck_width_in + gap_in),
        payload_lb=payload_in(operation, truck),
        duty_min=60.0 * min(most_h, max(own_h)),
        driving_min=60.0 * min(constant(operation, "fatigue_driving_h"), limit("hours_driving_h").value),
        nights=frozenset(night for night in nights if _truck_is_there(operation, truck, able, night)),
        driven_by=() if truck.hired else tuple(one.name for one in able), hired=truck.hired,
    )


def _truck_is_there(operation: Operation, truck: Truck, able: list[Driver], night: int) -> bool:
    date = night_date(operation, night)
    if (truck.available_from and date < truck.available_from) or (truck.available_until and date > truck.available_until):
        return False
    if date in dates_away(truck.nights_away):
        return False
    return truck.hired or any(date not in dates_away(one.nights_away) for one in able)


def _promise(operation: Operation, contract: Contract, kinds: tuple[UnitKind, ...]) -> Promise:
    window = contract_window(operation, contract)
    groups = {one.name: one for one in operation.hive_groups}
    most_below = constant(operation, "below_floor_share")
    strong = tuple(
        index for index, kind in enumerate(kinds)
        if share_below(operation, groups[kind.group], contract.min_colony_frames) <= most_below
    )
    top = max(contract.bonus_up_to_frames - contract.min_average_frames, 0.0)
    missed = {
        index: contract.bonus_usd_per_frame * (top - min(max(kinds[index].frames - contract.min_average_frames, 0.0), top))
        for index in strong
    }
    largest = max((kinds[index].hives for index in strong), default=1)
    out = None
    if window.out_from and window.out_until:
        out = (night_index(operation, window.out_from), night_index(operation, window.out_until))
    return Promise(
        name=contract.name, colonies=contract.colonies,
        over=0 if contract.over_delivery == "not taken" else largest - 1,
        min_average=contract.min_average_frames, kinds=strong,
        in_first=night_index(operation, window.in_from), in_last=night_index(operation, window.in_until),
        late_last=night_index(operation, window.late_until), out=out,
        usd_short=contract.fee_usd_per_colony + contract.short_usd_per_colony,
        usd_late=contract.late_usd_per_colony_night, usd_weak=contract.weak_usd_per_frame, usd_bonus_missed=missed,
    )


def _nights_of_interest(operation: Operation, promises: Iterable[Promise]) -> list[int]:
    last = night_index(operation, operation.last_night)
    wanted: set[int] = set()
    for promise in promises:
        wanted |= set(range(promise.in_first, promise.late_last + 1))
        if promise.out:
            wanted |= set(range(promise.out[0], promise.out[1] + 1))
    wanted |= {night_index(operation, row.night) for row in operation.arranged if row.done}
    return sorted(night for night in wanted if 0 <= night <= last)
