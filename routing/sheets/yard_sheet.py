"""Plan -> what each yard makes ready for each night: tasks, gear, the lots that leave and that come."""

import datetime as dt
from collections.abc import Sequence

from routing.inputs.yard import Yard
from routing.nights.tour import Lot, Stop, TruckNight
from routing.plan_record import Plan
from routing.readiness import readiness
from routing.sheets import clock
from routing.sheets.calls import calls_of
from routing.sheets.cautions import YARD_CAUTIONS
from routing.sheets.dark import dark_words, window_of
from routing.sheets.drop_sheet import geo_uri
from routing.sheets.lot_units import labels_of, lot_count_words, placements_of
from routing.sheets.sheet_record import YardGear, YardLot, YardSheet
from routing.sheets.words import counted
from routing.sheets.yard_tasks import yard_tasks

_LIFTING = {
    "forklift": "forklift at the yard",
    "boom": "boom at the yard",
    "hand": "by hand, or with the truck's own gear",
}
Handled = tuple[TruckNight, Stop, Lot]
GEAR_NOTE = "Counted from how the hives stood when they were listed; what is already done needs no more."


def yard_nights(plan: Plan) -> tuple[dt.date, ...]:
    """Return the nights on which hives leave or come to any yard, in order."""
    yards = {yard.name for yard in plan.operation.yards}
    return tuple(sorted({
        truck_night.night
        for truck_night in plan.truck_nights
        for stop in truck_night.stops
        if stop.place in yards and (stop.picked_up or stop.set_down)
    }))  # fmt: skip


def yard_sheets(plan: Plan, night: dt.date) -> tuple[YardSheet, ...]:
    """Return one sheet for each yard that gives or takes hives on ``night``, in the operation's order."""
    sheets = []
    for yard in plan.operation.yards:
        leaving, coming = _handled(plan, yard.name, night)
        if leaving or coming:
            sheets.append(_yard_sheet(plan, yard, night, leaving=leaving, coming=coming))
    return tuple(sheets)


def _handled(plan: Plan, yard: str, night: dt.date) -> tuple[list[Handled], list[Handled]]:
    visits = [
        (truck_night, stop)
        for truck_night in plan.truck_nights
        if truck_night.night == night
        for stop in truck_night.stops
        if stop.place == yard
    ]
    visits.sort(key=lambda visit: (visit[1].arrive, visit[0].id))
    leaving = [(truck_night, stop, lot) for truck_night, stop in visits for lot in stop.picked_up]
    return leaving, [(truck_night, stop, lot) for truck_night, stop in visits for lot in stop.set_down]


def _yard_sheet(
    plan: Plan, yard: Yard, night: dt.date, *, leaving: list[Handled], coming: list[Handled]
) -> YardSheet:
    operation = plan.operation
    zone = yard.time_zone or operation.time_zone
    tasks, sources = yard_tasks(plan, yard.name, night, leaving={lot.group for _, _, lot in leaving})
    return YardSheet(
        yard=yard.name, night=night, night_words=clock.night_words(night), short_night=clock.short_day(night),
        operation=operation.name, contact=yard.contact, phone=yard.phone, hazards=yard.hazards,
        coordinates=f"{yard.latitude_deg:.5f}, {yard.longitude_deg:.5f}",
        geo_uri=geo_uri(yard.latitude_deg, yard.longitude_deg),
        lifting_words=_LIFTING[yard.loading],
        ready_by_words=_ready_by(leaving, zone),
        dark_words=dark_words(
            window_of(plan, yard.name, night), lift=bool(leaving), set_down=bool(coming), time_zone=zone
        ),
        calls=calls_of(operation, *(truck_night.driver for truck_night, _, _ in (*leaving, *coming))),
        tasks=tasks, sources=sources,
        gear=yard_gear(plan, yard.name, night), gear_note=GEAR_NOTE if leaving else "",
        leaving=_lots(plan, leaving, zone=zone, up=True), coming=_lots(plan, coming, zone=zone, up=False),
        hives_leaving=sum(lot.hives for _, _, lot in leaving),
        hives_coming=sum(lot.hives for _, _, lot in coming), cautions=YARD_CAUTIONS,
    )  # fmt: skip


def _ready_by(leaving: Sequence[Handled], zone: str) -> str:
    if not leaving:
        return "No hive leaves tonight."
    truck_night, stop, _ = leaving[0]
    first = clock.local(stop.arrive, zone)
    return (
        f"Be ready by {clock.time_words(first)} {clock.zone_words(first)}, "
        f"{clock.date_words(first, truck_night.night)}: {truck_night.truck} comes first."
    )


def yard_gear(plan: Plan, yard: str, night: dt.date) -> tuple[YardGear, ...]:
    """Return what the hives need that leave ``yard`` on ``night``, by the rules of the readiness room."""
    tonight = [
        one.model_copy(update={"stops": tuple(_only_leaving(stop, yard) for stop in one.stops)})
        for one in plan.truck_nights
        if one.night == night
    ]
    needs = readiness(plan.operation, tonight).gear
    return tuple(
        YardGear(
            item=need.item, count=need.needed, count_words=counted(need.needed, need.item), why=_WHY[need.item]
        )
        for need in needs
        if need.item in _WHY
    )


def _only_leaving(stop: Stop, yard: str) -> Stop:
    return stop.model_copy(update={"set_down": (), "picked_up": stop.picked_up if stop.place == yard else ()})


# Reducers are for weak hives wherever they stand; the tasks ask for them.
_WHY = {
    "migratory lid": "in place of inner and telescoping covers",
    "hive strap": "lid to bottom board",
    "entrance screen": "closed hives need air",
    "pallet": "under the hives that leave",
    "load net": "over each truck's load",
}


def _lots(plan: Plan, handled: Sequence[Handled], *, zone: str, up: bool) -> tuple[YardLot, ...]:
    rows = []
    for order, (truck_night, stop, lot) in enumerate(handled, start=1):
        arrive, leave = clock.local(stop.arrive, zone), clock.local(stop.leave, zone)
        rows.append(YardLot(
            order=order, truck=truck_night.truck, driver=truck_night.driver,
            time_words=f"{clock.time_words(arrive)} {clock.zone_words(arrive)}",
            leave_words=clock.time_words(leave), lot=lot.lot, group=lot.group,
            date_words=clock.date_words(arrive, truck_night.night),
            count_words=lot_count_words(lot),
            labels=labels_of(placements_of(plan, truck_night).get(lot.lot, ())),
            other_end=f"to {lot.destination}" if up else f"from {lot.origin}",
        ))  # fmt: skip
    return tuple(rows)
