"""Lids, straps, screens, reducers, pallets and nets to have at hand: the most needed at once."""

import datetime as dt
from collections.abc import Callable, Sequence

from routing.inputs.hive import HiveBuild
from routing.inputs.operation import Operation
from routing.nights.tour import TruckNight
from routing.plan_record import GearNeed
from routing.readiness.air import warmth
from routing.readiness.departure import Departure, picked_up, set_down
from routing.readiness.travel import build_of, travel_build
from routing.readiness.weak import WeakHives


def gear_needs(
    operation: Operation,
    truck_nights: Sequence[TruckNight],
    *,
    leaving: Sequence[Departure],
    weak: Sequence[WeakHives],
) -> tuple[GearNeed, ...]:
    """Return what to have at hand, without the things of which none is needed.

    Parameters
    ----------
    operation
        Gives the builds and the gear in the shed.
    truck_nights
        What the plan moves.
    leaving
        The departures of those truck-nights.
    weak
        Weak hives, for their reducers.

    Returns
    -------
    tuple of GearNeed
        ``short`` is 0 where the shed was not counted; ``on_hand`` is None then.

    Notes
    -----
    A lid and a strap stay on a hive, and a pallet under it, until it is back in the yard that it started
    from; they are free from the next night on. Screens and nets come back each night. Pallets count only
    where they are not the hive's own floor.
    """
    builds = {group.name: build_of(operation, group) for group in operation.hive_groups}
    needed = {
        "migratory lid": _most_away(truck_nights, leaving, builds, lambda build: build.lid == "telescoping"),
        "hive strap": _most_away(truck_nights, leaving, builds, lambda build: not build.strapped),
        "entrance screen": _most_screens(operation, leaving),
        "entrance reducer": sum(
            one.hives for one in weak if one.seen and _lacks_reducer(builds[one.group.name])
        ),
        "pallet": _most_away(
            truck_nights, leaving, builds, lambda build: build.bottom_board != "pallet", pallets=True
        ),
        "load net": _most_loads(truck_nights),
    }
    return tuple(_need(operation, item, count) for item, count in needed.items() if count)


def _need(operation: Operation, item: str, needed: int) -> GearNeed:
    rows = [row.on_hand for row in operation.gear if row.item == item]
    on_hand = sum(rows) if rows else None
    return GearNeed(
        item=item, needed=needed, on_hand=on_hand, short=0 if on_hand is None else max(0, needed - on_hand)
    )


def _most_away(
    truck_nights: Sequence[TruckNight],
    leaving: Sequence[Departure],
    builds: dict[str, HiveBuild],
    counts: Callable[[HiveBuild], bool],
    *,
    pallets: bool = False,
) -> int:
    """Return the most hives (or pallets) of counting builds that are away from their first yard at once."""
    out: dict[dt.date, int] = {}
    back: dict[dt.date, int] = {}
    home = {one.group.name: one.group.yard for one in leaving}
    for one in leaving:
        if one.from_home and counts(builds[one.group.name]):
            out[one.night] = out.get(one.night, 0) + (one.pallets if pallets else one.hives)
    for night, lot in set_down(truck_nights):
        if lot.destination == home.get(lot.group) and counts(builds[lot.group]):
            back[night] = back.get(night, 0) + (lot.pallets if pallets else lot.hives)
    away = most = 0
    for night in sorted({*out, *back}):
        away += out.get(night, 0)
        most = max(most, away)
        # A hand-made plan may bring home what never left; nothing is owed for it.
        away = max(0, away - back.get(night, 0))
    return most


def _most_screens(operation: Operation, leaving: Sequence[Departure]) -> int:
    screens: dict[dt.date, int] = {}
    for one in leaving:
        tonight = warmth(operation, one.night, (one.place, *one.destinations))
        rides = travel_build(build_of(operation, one.group), needs_screen=tonight.needs_screen)
        if rides.entrance == "screened":
            screens[one.night] = screens.get(one.night, 0) + one.hives
    return max(screens.values(), default=0)


def _most_loads(truck_nights: Sequence[TruckNight]) -> int:
    trucks: dict[dt.date, set[str]] = {}
    for one in truck_nights:
        if any(True for _ in picked_up([one])):
            trucks.setdefault(one.night, set()).add(one.truck)
    return max((len(names) for names in trucks.values()), default=0)


def _lacks_reducer(build: HiveBuild) -> bool:
    return build.entrance == "open" and not build.entrance_reducer
