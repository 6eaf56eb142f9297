"""Flat rows of the whole plan: every move of a lot, every stop of a truck."""

import datetime as dt

from routing.inputs.places import Place, places
from routing.nights.tour import Lot, Stop, TruckNight
from routing.plan_record import Plan
from routing.record import Record
from routing.sheets.clock import local, zone_words


class Move(Record):
    """One lot from where it is picked up to where it is set down."""

    night: dt.date
    """Date of the evening."""
    truck_night: str
    truck: str
    driver: str
    lot: str
    group: str
    hives: int
    pallets: int
    purpose: str
    origin: str
    origin_stop: int
    origin_latitude_deg: float
    origin_longitude_deg: float
    pick_up_arrive: dt.datetime
    """On the clock of the origin, as all times of picking up."""
    pick_up_leave: dt.datetime
    pick_up_zone: str
    destination: str
    destination_stop: int
    destination_latitude_deg: float
    destination_longitude_deg: float
    set_down_arrive: dt.datetime
    """On the clock of the destination, as all times of setting down."""
    set_down_leave: dt.datetime
    set_down_zone: str
    miles_on_deck: float


class StopRow(Record):
    """One stop of one truck-night."""

    night: dt.date
    truck_night: str
    truck: str
    driver: str
    stop: int
    place: str
    kind: str
    latitude_deg: float
    longitude_deg: float
    arrive: dt.datetime
    leave: dt.datetime
    zone: str
    miles: float
    drive_min: float
    hives_picked_up: int
    hives_set_down: int
    hives_on_deck_after: int


def moves(plan: Plan) -> tuple[Move, ...]:
    """Return every move of the plan in order of truck-night, stop and lot.

    Raises
    ------
    ValueError
        If a lot is picked up and never set down, or the other way round.
    """
    known = places(plan.operation)
    rows: list[Move] = []
    for truck_night in plan.truck_nights:
        for stop in truck_night.stops:
            for lot in stop.picked_up:
                rows.append(
                    _move(truck_night, lot, up=stop, down=_set_down_stop(truck_night, lot, stop), known=known)
                )
    return tuple(rows)


def _set_down_stop(truck_night: TruckNight, lot: Lot, up: Stop) -> Stop:
    for stop in truck_night.stops:
        if stop.number > up.number and any(other.lot == lot.lot for other in stop.set_down):
            return stop
    raise ValueError(f"{truck_night.id}: lot {lot.lot} is picked up at stop {up.number} and never set down.")


def _move(truck_night: TruckNight, lot: Lot, *, up: Stop, down: Stop, known: dict[str, Place]) -> Move:
    origin, destination = known[up.place], known[down.place]
    pick_up, set_down = local(up.arrive, origin.time_zone), local(down.arrive, destination.time_zone)
    return Move(
        night=truck_night.night, truck_night=truck_night.id,
        truck=truck_night.truck, driver=truck_night.driver,
        lot=lot.lot, group=lot.group, hives=lot.hives, pallets=lot.pallets, purpose=lot.purpose,
        origin=up.place, origin_stop=up.number,
        origin_latitude_deg=origin.latitude_deg, origin_longitude_deg=origin.longitude_deg,
        pick_up_arrive=pick_up, pick_up_leave=local(up.leave, origin.time_zone),
        pick_up_zone=zone_words(pick_up),
        destination=down.place, destination_stop=down.number,
        destination_latitude_deg=destination.latitude_deg,
        destination_longitude_deg=destination.longitude_deg,
        set_down_arrive=set_down, set_down_leave=local(down.leave, destination.time_zone),
        set_down_zone=zone_words(set_down),
        miles_on_deck=sum(stop.miles for stop in truck_night.stops if up.number < stop.number <= down.number),
    )  # fmt: skip


def stop_rows(plan: Plan) -> tuple[StopRow, ...]:
    """Return every stop of the plan in order of truck-night and stop, with the running count on deck."""
    known = places(plan.operation)
    rows: list[StopRow] = []
    for truck_night in plan.truck_nights:
        on_deck = 0
        for stop in truck_night.stops:
            up, down = (sum(lot.hives for lot in lots) for lots in (stop.picked_up, stop.set_down))
            on_deck += up - down
            rows.append(_stop_row(truck_night, stop, place=known[stop.place], counts=(up, down, on_deck)))
    return tuple(rows)


def _stop_row(truck_night: TruckNight, stop: Stop, *, place: Place, counts: tuple[int, int, int]) -> StopRow:
    arrive = local(stop.arrive, place.time_zone)
    return StopRow(
        night=truck_night.night, truck_night=truck_night.id,
        truck=truck_night.truck, driver=truck_night.driver,
        stop=stop.number, place=stop.place, kind=stop.kind, latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg, arrive=arrive, leave=local(stop.leave, place.time_zone),
        zone=zone_words(arrive), miles=stop.miles, drive_min=stop.drive_min,
        hives_picked_up=counts[0], hives_set_down=counts[1], hives_on_deck_after=counts[2],
    )  # fmt: skip
