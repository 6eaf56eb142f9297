"""Plan -> the drop sheet of one truck for one night."""

import datetime as dt

from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.loads.load import Placement
from routing.nights.tour import Lot, NightWindow, Stop, TruckNight
from routing.plan_record import Plan
from routing.record import Record
from routing.roads.driven import is_measured_way
from routing.sheets import clock
from routing.sheets.calls import calls_of, place_calls
from routing.sheets.cautions import CAUTIONS, joined_cautions, stop_checks
from routing.sheets.dark import dark_words, window_of
from routing.sheets.findings import problems
from routing.sheets.load_sheet import load_sheets, truck_named
from routing.sheets.lot_units import deck_words, labels_of, lot_count_words, placements_of
from routing.sheets.map_figure import orchard_svg, route_svg
from routing.sheets.sheet_record import DropSheet, LotLine, StopSheet
from routing.sheets.stakes import StopStakes, stop_stakes
from routing.sheets.words import counted, hours_and_minutes


class _Site(Record):
    """What the sheet says of one place beside its times."""

    gate: str = ""
    gate_note: str = ""
    contact: str = ""
    phone: str = ""
    pesticide_contact: str = ""
    hazards: str = ""


def drop_sheets(plan: Plan) -> tuple[DropSheet, ...]:
    """Return the drop sheet of every truck-night, in the plan's order."""
    stakes = stop_stakes(plan)
    return tuple(_sheet(plan, truck_night, stakes) for truck_night in plan.truck_nights)


def drop_sheet(plan: Plan, truck_night_id: str) -> DropSheet:
    """Return the drop sheet of one truck-night.

    Raises
    ------
    KeyError
        If the plan has no truck-night of that id.
    """
    for truck_night in plan.truck_nights:
        if truck_night.id == truck_night_id:
            return _sheet(plan, truck_night, stop_stakes(plan))
    raise KeyError(truck_night_id)


def _sheet(plan: Plan, truck_night: TruckNight, stakes: dict[tuple[str, int], StopStakes]) -> DropSheet:
    operation = plan.operation
    truck = truck_named(operation, truck_night.truck)
    stops = _stops(plan, truck_night, stakes)
    helpers = f" and {counted(truck_night.helpers, 'helper')}" if truck_night.helpers else ", alone"
    return DropSheet(
        id=truck_night.id,
        truck=truck.name,
        vehicle_class=truck.vehicle_class,
        night=truck_night.night,
        night_words=clock.night_words(truck_night.night),
        short_night=clock.short_day(truck_night.night),
        operation=operation.name,
        driver=truck_night.driver,
        crew_words=f"{truck_night.driver}{helpers}",
        emergency_contact=operation.emergency_contact,
        calls=calls_of(operation, truck_night.driver),
        place_calls=place_calls(operation, truck_night.stops),
        start_words=f"{stops[0].leave_words} {stops[0].zone}",
        finish_words=f"{stops[-1].arrive_words} {stops[-1].zone}, {stops[-1].date_words}",
        miles_words=f"{truck_night.miles:.0f} miles",
        driving_words=hours_and_minutes(truck_night.driving_min),
        duty_words=hours_and_minutes(truck_night.duty_min),
        hours_rule=truck_night.hours_rule,
        clock_note=_clocks_of_the_night(stops),
        most_on_deck=max(stop.on_deck_after for stop in stops),
        stops=stops,
        loads=load_sheets(plan, truck_night),
        problems=_night_problems(plan, truck_night),
        cautions=joined_cautions(CAUTIONS, plan.cautions),
        map_svg=route_svg(operation, truck_night),
    )


def _clocks_of_the_night(stops: tuple[StopSheet, ...]) -> str:
    changed = [str(stop.number) for stop in stops if stop.clock_note]
    if not changed:
        return ""
    numbers = ", ".join(changed)
    return f"MIND THE CLOCK: it reads otherwise from stop {numbers} on. Read the zone beside each time."


def _night_problems(plan: Plan, truck_night: TruckNight) -> tuple[str, ...]:
    about = tuple(
        finding for finding in plan.findings if finding.subject in (truck_night.id, truck_night.truck)
    )
    found = problems(truck_night.findings + about)
    carries = any(stop.picked_up for stop in truck_night.stops)
    if carries and not any(load.truck_night == truck_night.id for load in plan.loads):
        return (
            "NOT CHECKED: no deck plan was made for this night: weights, height and straps are unknown.",
            *found,
        )
    return found


def _stops(
    plan: Plan, truck_night: TruckNight, stakes: dict[tuple[str, int], StopStakes]
) -> tuple[StopSheet, ...]:
    known = places(plan.operation)
    placements = placements_of(plan, truck_night)
    rows: list[StopSheet] = []
    on_deck = 0
    for stop in truck_night.stops:
        on_deck += sum(lot.hives for lot in stop.picked_up) - sum(lot.hives for lot in stop.set_down)
        row = _Row(
            plan=plan, truck_night=truck_night, stop=stop, place=known[stop.place], on_deck_after=on_deck,
            before=rows[-1].leave if rows else None, last=stop is truck_night.stops[-1],
            stakes=stakes.get((truck_night.id, stop.number), StopStakes()),
        )  # fmt: skip
        rows.append(_stop_row(row, placements))
    return tuple(rows)


class _Row(Record):
    """What is needed to write one stop."""

    plan: Plan
    truck_night: TruckNight
    stop: Stop
    place: Place
    on_deck_after: int
    before: dt.datetime | None
    last: bool
    stakes: StopStakes


def _stop_row(row: _Row, placements: dict[str, tuple[Placement, ...]]) -> StopSheet:
    stop, place, night = row.stop, row.place, row.truck_night.night
    operation = row.plan.operation
    arrive, leave = clock.local(stop.arrive, place.time_zone), clock.local(stop.leave, place.time_zone)
    truck = truck_named(operation, row.truck_night.truck)
    up = tuple(
        _lot_line(lot, placements, deck=deck_words(placements.get(lot.lot, ()), truck), up=True)
        for lot in stop.picked_up
    )
    down = tuple(
        _lot_line(lot, placements, deck=deck_words(placements.get(lot.lot, ()), truck), up=False)
        for lot in stop.set_down
    )
    site = _site(operation, stop.place)
    stakes = row.stakes
    return StopSheet(
        number=stop.number, place=stop.place, kind=stop.kind, kind_words=_kind_words(row),
        arrive=arrive, leave=leave,
        arrive_words=clock.time_words(arrive), leave_words=clock.time_words(leave),
        zone=clock.zone_words(arrive), date_words=clock.date_words(arrive, night),
        leave_date_words=clock.date_words(leave, night) if leave.date() != arrive.date() else "",
        after_midnight=arrive.date() > night, clock_note=_clock_note(row, arrive, leave),
        dark_words=dark_words(
            _window(row), lift=bool(up), set_down=bool(down), time_zone=place.time_zone
        ), gate=site.gate, gate_note=site.gate_note,
        latitude_deg=place.latitude_deg, longitude_deg=place.longitude_deg,
        coordinates=f"{place.latitude_deg:.5f}, {place.longitude_deg:.5f}",
        geo_uri=geo_uri(place.latitude_deg, place.longitude_deg),
        contact=site.contact, phone=site.phone,
        pesticide_contact=site.pesticide_contact, hazards=site.hazards,
        way_words=_way_words(row),
        doing_words=_doing_words(up, down), picked_up=up, set_down=down,
        picked_up_hives=sum(line.hives for line in up), set_down_hives=sum(line.hives for line in down),
        on_deck_after=row.on_deck_after, stakes=stakes.stakes if up or down else (),
        stakes_note=stakes.note if up or down else "",
        checks=stop_checks(operation, row.truck_night, stop, on_deck_after=row.on_deck_after),
        figure_svg=orchard_svg(operation, stop.place, stakes.stakes) if stop.kind == "orchard" else "",
    )  # fmt: skip


def geo_uri(latitude_deg: float, longitude_deg: float) -> str:
    """Return the place as a geo URI, RFC 5870 (from memory): latitude first, WGS 84, six decimals."""
    return f"geo:{latitude_deg:.6f},{longitude_deg:.6f}"


def _way_words(row: _Row) -> str:
    stop = row.stop
    if stop.number == 0:
        return ""
    if stop.miles == 0 and stop.drive_min == 0:
        return "the same place, no driving"
    before = next((one.place for one in row.truck_night.stops if one.number == stop.number - 1), "")
    measured = ", measured on a road map" if is_measured_way(row.plan.operation, (before, stop.place)) else ""
    return f"{stop.miles:.1f} miles, {hours_and_minutes(stop.drive_min)}{measured}"


def _kind_words(row: _Row) -> str:
    if row.stop.number == 0:
        return "start"
    return "finish" if row.last else row.place.kind


def _doing_words(up: tuple[LotLine, ...], down: tuple[LotLine, ...]) -> str:
    words = []
    if down:
        words.append(f"SET DOWN {sum(line.hives for line in down)}")
    if up:
        words.append(f"PICK UP {sum(line.hives for line in up)}")
    return ", ".join(words)


def _lot_line(lot: Lot, placements: dict[str, tuple[Placement, ...]], *, deck: str, up: bool) -> LotLine:
    return LotLine(
        lot=lot.lot, group=lot.group, hives=lot.hives, pallets=lot.pallets, count_words=lot_count_words(lot),
        labels=labels_of(placements.get(lot.lot, ())), deck_words=deck,
        other_end=f"to {lot.destination}" if up else f"from {lot.origin}", purpose=lot.purpose,
    )  # fmt: skip


def _clock_note(row: _Row, arrive: dt.datetime, leave: dt.datetime) -> str:
    notes = [clock.clock_change(row.before, arrive)] if row.before else []
    notes.append(clock.clock_change(arrive, leave))
    return " ".join(note for note in notes if note)


def _window(row: _Row) -> NightWindow | None:
    return window_of(row.plan, row.stop.place, row.truck_night.night)


def _site(operation: Operation, name: str) -> _Site:
    for yard in operation.yards:
        if yard.name == name:
            return _Site(contact=yard.contact, phone=yard.phone, hazards=yard.hazards)
    contract = next(contract for contract in operation.contracts if contract.name == name)
    gate = next(gate for gate in operation.gates if gate.contract == name)
    return _Site(
        gate=gate.name, gate_note=gate.note, contact=contract.grower, phone=contract.phone,
        pesticide_contact=contract.pesticide_contact or "NOT GIVEN: ask the grower", hazards=contract.hazards,
    )  # fmt: skip
