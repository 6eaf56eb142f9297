"""Are the miles, the minutes and the hours true? Every stop's times are worked out anew.

Law 1: driving takes the road's minutes / the truck's speed factor; waiting is allowed, hurrying is not.
Law 2: hives are lifted only in the dark hours of that place, and only while the place is open.
Law 3: a driver's duty and driving stay within the law, the user's own limit and the driver's own limit.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from zoneinfo import ZoneInfo

from routing.finding import Finding
from routing.inputs.constants import constant
from routing.inputs.fleet import Truck
from routing.limits import limit
from routing.nights.check_case import Case, drive_min, duty_span, legs, lots_at, minutes, service_min
from routing.nights.check_rule import Rule
from routing.nights.tour import NightWindow, Stop, TruckNight
from routing.nights.windows import night_window

TOLERANCE_MIN = 0.05
"""Three seconds: room for times that are written to the second."""
TOLERANCE_MI = 0.005
TOLD_MIN = 1.0
"""Dark hours are told to the minute, as almanacs print them."""
NOON = dt.time(12)

MILES = Rule(
    check="road miles", tolerance=TOLERANCE_MI, unit="mi", force="own figure", source="the road table"
)
DRIVING = Rule(
    check="driving minutes",
    tolerance=TOLERANCE_MIN,
    unit="min",
    force="own figure",
    source="the road table, the truck's speed factor",
)
ORDER = Rule(check="order of stops", force="practice", source="a night begins and ends at the truck's base")
ROAD_TIME = Rule(
    check="time to drive",
    tolerance=TOLERANCE_MIN,
    unit="min",
    force="own figure",
    source="the road table, the truck's speed factor",
)
WORK_TIME = Rule(
    check="time to work", tolerance=TOLERANCE_MIN, unit="min", force="own figure",
    source="constants stop_setup_min, secure_load_min and minutes of lifting",
)  # fmt: skip
DARK = Rule(
    check="work in the dark hours", tolerance=TOLERANCE_MIN, unit="min", force="practice",
    source="bees fly from dawn to dusk; common practice, no source",
)  # fmt: skip
OPEN = Rule(
    check="opening hours",
    tolerance=TOLERANCE_MIN,
    unit="min",
    force="own figure",
    source="hours of the yard or contract",
)
DUTY = Rule(
    check="duty in one night", tolerance=TOLERANCE_MIN, unit="min", force="law",
    source="least of 49 CFR 395.3(a)(2), fatigue_duty_h and the driver's most_duty_hours",
)  # fmt: skip
WHEEL = Rule(
    check="driving in one night",
    tolerance=TOLERANCE_MIN,
    unit="min",
    force="law",
    source="least of 49 CFR 395.3(a)(3) and fatigue_driving_h",
)
SUMS = Rule(check="sums of a truck-night", tolerance=TOLERANCE_MIN, force="own figure", source="its stops")
ZONES = Rule(
    check="time zone of a stop", unit="min", force="practice", source="times are told in the place's own zone"
)
TOLD_WINDOWS = Rule(
    check="dark hours told",
    tolerance=TOLD_MIN,
    force="practice",
    source="sun, temperatures and constants of the operation",
)


def check_times(case: Case) -> tuple[Finding, ...]:
    """Return the findings on miles, minutes and hours of every truck-night."""
    nights = case.truck_nights
    stops = [(row, stop) for row in nights for stop in row.stops]
    worked = [(row, stop) for row, stop in stops if lots_at(stop)]
    return (
        *ORDER.tell(_order(case, row) for row in nights),
        *MILES.tell(found for row in nights for found in _miles(case, row)),
        *DRIVING.tell(found for row in nights for found in _driving(case, row)),
        *ROAD_TIME.tell(found for row in nights for found in _road_time(case, row)),
        *WORK_TIME.tell(_work_time(case, row, stop) for row, stop in stops),
        *DARK.tell(_dark(case, row, stop) for row, stop in worked),
        *OPEN.tell(found for row, stop in stops for found in _open(case, row, stop)),
        *DUTY.tell(_duty(case, row) for row in nights),
        *WHEEL.tell(_wheel(case, row) for row in nights),
        *SUMS.tell(found for row in nights for found in _sums(case, row)),
        *ZONES.tell(_zone(case, row, stop) for row, stop in stops),
    )


def check_told_windows(case: Case, told: Iterable[NightWindow]) -> tuple[Finding, ...]:
    """Return the findings on the dark hours that a plan tells for its working stops."""
    by_key = {(row.place, row.night): row for row in told}
    wanted = dict.fromkeys(
        (stop.place, row.night) for row in case.truck_nights for stop in row.stops if lots_at(stop)
    )
    return TOLD_WINDOWS.tell(_told_window(case, by_key.get(key), key) for key in wanted)


def _told_window(case: Case, told: NightWindow | None, key: tuple[str, dt.date]) -> Finding | None:
    subject = f"{key[0]}, night of {key[1]}"
    if told is None:
        return TOLD_WINDOWS.holds(subject, False, note="the plan does not tell the dark hours of this stop")
    true = night_window(case.operation, key[0], key[1])
    if true is None:
        return TOLD_WINDOWS.holds(subject, False, note="there is no night at this place on this date")
    gap = max(
        abs(minutes(true.loading_from, told.loading_from)),
        abs(minutes(true.set_down_until, told.set_down_until)),
    )
    return TOLD_WINDOWS.equal(subject, measured=gap, limit=0.0, note="minutes away from the true hours")


def _name(truck_night: TruckNight, stop: Stop) -> str:
    return f"{truck_night.id}, stop {stop.number} {stop.place}"


def _truck(case: Case, truck_night: TruckNight) -> Truck:
    return case.trucks[truck_night.truck]


def _order(case: Case, row: TruckNight) -> Finding | None:
    base = _truck(case, row).base
    stops = row.stops
    wrong = [
        text
        for text, true in (
            (
                "stops are not numbered 0, 1, 2 ...",
                [stop.number for stop in stops] == list(range(len(stops))),
            ),
            (f"it does not start at its base {base}", stops[0].place == base),
            (f"it does not end at its base {base}", stops[-1].place == base),
            ("a stop in between is called a base", all(stop.kind != "base" for stop in stops[1:-1])),
            ("a stop is not of the kind of its place", all(_kind_fits(case, stop) for stop in stops)),
            ("a stop is left before it is reached", all(stop.arrive <= stop.leave for stop in stops)),
            (
                "a stop is reached before the one ahead is left",
                all(b.arrive >= a.leave for a, b in legs(row)),
            ),
        )
        if not true
    ]
    return ORDER.holds(row.id, not wrong, note="; ".join(wrong))


def _kind_fits(case: Case, stop: Stop) -> bool:
    kind = case.places[stop.place].kind
    return stop.kind == kind or (stop.kind == "base" and kind == "yard")


def _miles(case: Case, row: TruckNight) -> Iterator[Finding | None]:
    yield MILES.equal(_name(row, row.stops[0]), measured=row.stops[0].miles, limit=0.0)
    for ahead, stop in legs(row):
        true = case.roads.miles(ahead.place, stop.place)
        yield MILES.equal(_name(row, stop), measured=stop.miles, limit=true)


def _driving(case: Case, row: TruckNight) -> Iterator[Finding | None]:
    yield DRIVING.equal(_name(row, row.stops[0]), measured=row.stops[0].drive_min, limit=0.0)
    for leg in legs(row):
        true = drive_min(case, _truck(case, row), leg)
        yield DRIVING.equal(_name(row, leg[1]), measured=leg[1].drive_min, limit=true)


def _road_time(case: Case, row: TruckNight) -> Iterator[Finding | None]:
    for leg in legs(row):
        needed = drive_min(case, _truck(case, row), leg)
        given = minutes(leg[0].leave, leg[1].arrive)
        yield ROAD_TIME.at_least(_name(row, leg[1]), measured=given, limit=needed)


def _work_time(case: Case, row: TruckNight, stop: Stop) -> Finding | None:
    needed = service_min(case, _truck(case, row), stop)
    given = minutes(stop.arrive, stop.leave)
    return WORK_TIME.at_least(_name(row, stop), measured=given, limit=needed)


def _dark(case: Case, row: TruckNight, stop: Stop) -> Finding | None:
    window = night_window(case.operation, stop.place, row.night)
    if window is None:
        return DARK.holds(_name(row, stop), False, note="there is no night at this place on this date")
    dark_min = minutes(max(stop.arrive, window.loading_from), min(stop.leave, window.set_down_until))
    needed = service_min(case, _truck(case, row), stop)
    note = f"dark for work from {window.loading_from:%H:%M:%S} to {window.set_down_until:%H:%M:%S}"
    return DARK.at_least(_name(row, stop), measured=dark_min, limit=needed, note=note)


def _open(case: Case, row: TruckNight, stop: Stop) -> Iterator[Finding | None]:
    place = case.places[stop.place]
    if stop.kind == "base" and not lots_at(stop):
        # Its own garage is open to a truck at any hour.
        return
    if place.open_from is not None:
        early = minutes(_at(row.night, place.open_from, place.time_zone), stop.arrive)
        yield OPEN.at_least(_name(row, stop), measured=early, limit=0.0, note="comes too early")
    if place.open_until is not None:
        # Hours of the evening belong to the date of the night, hours of the morning to the next day.
        day = row.night if place.open_until >= NOON else row.night + dt.timedelta(days=1)
        spare = minutes(stop.leave, _at(day, place.open_until, place.time_zone))
        yield OPEN.at_least(_name(row, stop), measured=spare, limit=0.0, note="stays too long")


def _at(day: dt.date, clock: dt.time, time_zone: str) -> dt.datetime:
    return dt.datetime.combine(day, clock, ZoneInfo(time_zone))


def _duty(case: Case, row: TruckNight) -> Finding | None:
    limits_h = [limit("hours_window_h").value, constant(case.operation, "fatigue_duty_h")]
    driver = case.drivers.get(row.driver)
    if driver is not None and driver.most_duty_hours is not None:
        limits_h.append(driver.most_duty_hours)
    return DUTY.at_most(row.id, measured=minutes(*duty_span(row)), limit=60.0 * min(limits_h))


def _wheel(case: Case, row: TruckNight) -> Finding | None:
    limits_h = [limit("hours_driving_h").value, constant(case.operation, "fatigue_driving_h")]
    driven = sum(drive_min(case, _truck(case, row), leg) for leg in legs(row))
    return WHEEL.at_most(row.id, measured=driven, limit=60.0 * min(limits_h))


def _sums(case: Case, row: TruckNight) -> Iterator[Finding | None]:
    miles = sum(case.roads.miles(a.place, b.place) for a, b in legs(row))
    driven = sum(drive_min(case, _truck(case, row), leg) for leg in legs(row))
    duty = minutes(*duty_span(row))
    yield SUMS.equal(row.id, measured=row.miles, limit=miles, note="miles")
    yield SUMS.equal(row.id, measured=row.driving_min, limit=driven, note="driving minutes")
    yield SUMS.equal(row.id, measured=row.duty_min, limit=duty, note="minutes on duty")


def _zone(case: Case, row: TruckNight, stop: Stop) -> Finding | None:
    zone = ZoneInfo(case.places[stop.place].time_zone)
    off_min = max(
        abs(_offset_min(moment) - _offset_min(moment.astimezone(zone)))
        for moment in (stop.arrive, stop.leave)
    )
    return ZONES.equal(_name(row, stop), measured=off_min, limit=0.0, note=f"times of {zone.key} are wanted")


def _offset_min(moment: dt.datetime) -> float:
    offset = moment.utcoffset()
    return 0.0 if offset is None else offset.total_seconds() / 60.0
