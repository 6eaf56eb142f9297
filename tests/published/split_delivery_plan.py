"""Published routes of a split-delivery instance told as a plan, so that the judge can weigh them."""

import datetime as dt
from collections.abc import Sequence
from itertools import pairwise
from string import ascii_uppercase
from zoneinfo import ZoneInfo

from routing.inputs.operation import Operation
from routing.nights.tour import Lot, Stop, TruckNight
from routing.nights.windows import night_window
from routing.plan_record import CostLine, Delivery, GroupShare, Plan
from routing.roads.roads import road_table
from tests.published.split_delivery import DEPOT, FIRST

Route = Sequence[tuple[str, int]]
"""Orchards in the order of the drive, with the hives that each gets."""


def plan_of(operation: Operation, routes: Sequence[Route]) -> Plan:
    """Return the plan in which one truck drives a route a night; what it costs is the miles alone."""
    nights = tuple(_truck_night(operation, number, route) for number, route in enumerate(routes))
    miles = round(sum(night.miles for night in nights), 2)
    places = [(stop.place, night.night) for night in nights for stop in night.stops]
    windows = tuple(found for key in dict.fromkeys(places) if (found := night_window(operation, *key)))
    return Plan(
        cost_usd=miles, lower_bound_usd=0.0, gap=1.0, bound_covers="every plan: none costs less than nothing",
        unkept=(), seconds=0.0, seed=0, steps=0, stopped_early=False,
        income_usd=1000.0 * sum(row.colonies for row in operation.contracts),
        cost_lines=(CostLine(name="miles", usd=miles),), truck_nights=nights, loads=(),
        deliveries=tuple(_delivery(operation, number, nights) for number in range(len(operation.contracts))),
        tasks=(), gear=(), windows=windows, findings=(), cautions=(), operation=operation,
    )  # fmt: skip


def _truck_night(operation: Operation, number: int, route: Route) -> TruckNight:
    roads, night = road_table(operation), FIRST + dt.timedelta(days=number)
    lots = [
        Lot(lot=letter, group="H", hives=hives, pallets=0, origin=DEPOT, destination=place, purpose="in")
        for letter, (place, hives) in zip(ascii_uppercase, route, strict=False)
    ]
    clock = dt.datetime.combine(night, dt.time(22), ZoneInfo(operation.time_zone))
    names = [DEPOT, DEPOT, *(place for place, _ in route), DEPOT]
    stops = [Stop(number=0, place=DEPOT, kind="base", arrive=clock, leave=clock, miles=0.0, drive_min=0.0)]
    for at, (here, there) in enumerate(pairwise(names), start=1):
        clock += dt.timedelta(minutes=roads.minutes(here, there))
        stops.append(Stop(
            number=at, place=there, kind="yard" if at == 1 else "base" if at == len(names) - 1 else "orchard",
            arrive=clock, leave=clock, miles=roads.miles(here, there), drive_min=roads.minutes(here, there),
            picked_up=tuple(lots) if at == 1 else (),
            set_down=tuple(lot for lot in lots if 1 < at < len(names) - 1 and lot.destination == there),
        ))  # fmt: skip
    miles, driving = sum(stop.miles for stop in stops), sum(stop.drive_min for stop in stops)
    return TruckNight(
        id=f"night {number}", truck="T", night=night, driver="D", helpers=0, stops=tuple(stops), miles=miles,
        driving_min=driving, duty_min=driving, cost_usd=round(miles, 2), hours_rule="none told",
    )  # fmt: skip


def _delivery(operation: Operation, number: int, nights: Sequence[TruckNight]) -> Delivery:
    row = operation.contracts[number]
    came = [night.night for night in nights if any(stop.place == row.name for stop in night.stops)]
    return Delivery(
        contract=row.name, crop=row.crop, promised=row.colonies, delivered=row.colonies,
        shares=(GroupShare(group="H", hives=row.colonies, frames=8.0),), average_frames=8.0, in_from=FIRST,
        in_until=operation.last_night, first_in=min(came), last_in=max(came), out_from=None, out_until=None,
        first_out=None, last_out=None, fee_usd=1000.0 * row.colonies, bonus_usd=0.0, penalty_usd=0.0,
    )  # fmt: skip
